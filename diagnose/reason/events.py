"""What can happen on a walk. Nothing else is stored: everything that a screen shows is computed from these.

`at` is in seconds since the epoch; the caller brings it, since nothing here knows a clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec
from msgspec import Struct

from diagnose.graph.model import Screw, Variant, Way
from diagnose.graph.model.parts import SCREWS
from diagnose.reason.learned import Learned

CANT_TELL = "can't tell"
NO_TOOL = "no tool now"
NOT_ANSWERS = frozenset({CANT_TELL, NO_TOOL})
"""Always offered; never evidence."""

ALSO = "also"
"""The question that tells of a second symptom."""

SKIPPED = "skipped"

DAY_NOTE = "the day's note"
"""Stands for an outing where the day's note has answered a check."""

PrepareOutcome = Literal["ready", "too cool", "too hot", "won't run"]
Outcome = Literal["cured", "better", "same", "worse"]
Incident = Literal["started", "refuelled", "opened", "crashed", "nothing", "another day"]
"""What may have happened since the last answer. Nobody is asked about another day: the calendar says it."""


class Happening(Struct, frozen=True, tag_field="kind", tag=str.lower, omit_defaults=True):
    """The base of all events."""

    at: float


class Carried(Struct, frozen=True):
    """An answer of an earlier outing that still counts: a healthy one, or what was found and not mended."""

    check: str
    answer: str
    at: float
    outing: str


class Target(Struct, frozen=True, omit_defaults=True):
    """Where a screw goes when the walk goes back: its record, corrected to the rich side for the day and the fuel."""

    screw: Screw
    hours: float
    """Hours outwards from what `kind` says."""
    said: str
    """What the hands do, in a sentence or two."""
    kind: Literal["closed", "flush", "caliper"] = "closed"
    pitch: float = 0.0
    """With a caliper: the thread's mm a turn."""


class Drift(Struct, frozen=True, omit_defaults=True):
    """What is left of a tune's drift once air and fuel are taken off: an answer like any other, that nobody gave."""

    answer: str
    said: str
    """It in one line."""
    mechanical: float
    """P(answer | a mechanical fault of one of `areas`)."""
    needle: float
    """P(answer | a needle that stands wrong, in the way of `setting` where there is one)."""
    otherwise: float
    """P(answer | anything else)."""
    setting: Literal["", "lean", "rich"] = ""
    areas: tuple[str, ...] = ()


class Started(Happening, frozen=True):
    """A walk began, on this knowledge (its digest), for this engine."""

    knowledge: str
    symptom: str
    engine: str
    variant: Variant
    carried: tuple[Carried, ...] = ()
    turned: dict[Screw, float] = {}
    """Hours that each screw stands from its last good tune: leaner (or out) is negative, richer (or in) positive."""
    explained: dict[Screw, float] = {}
    """Of those, the hours that air and fuel explain at the least: rule 2 does not count them."""
    recorded: bool = False
    """True when the engine has recorded settings to go back to."""
    back: tuple[Target, ...] = ()
    """Where each screw goes on this day and with this fuel."""
    back_because: str = ""
    """Why there."""
    back_blind: bool = False
    """An hour to the rich side of the record stands for a day or a fuel that nobody noted."""
    drift: Drift | None = None
    """None when there is nothing to compare with."""
    open: tuple[str, ...] = ()
    """What the engine's newest outing left open."""
    found: tuple[Carried, ...] = ()
    """What that outing found, and nobody has mended."""
    well: dict[str, float] = {}
    """What checks read while it ran well, by check, in the check's unit."""
    led: bool = False
    """True when it began one thing at a time: each look is read first, and no round makes several quicker."""
    learned: Learned | None = None
    """What the club's own outings say of how often each fault is behind a symptom; None where nothing is learned."""


class Told(Happening, frozen=True):
    """A history question was answered, or skipped."""

    question: str
    answer: str
    more: tuple[str, ...] = ()
    """The further answers, where a question takes several."""

    @property
    def said(self) -> tuple[str, ...]:
        """What was answered; nothing where it was skipped."""
        return () if self.answer == SKIPPED else (self.answer, *self.more)


class Answered(Happening, frozen=True):
    """A check was answered: an answer's id, or one of `NOT_ANSWERS`."""

    check: str
    answer: str
    sure: bool = True
    before: bool = False
    """It was seen before, while the engine ran: it counts like "not quite sure", and nothing is run for it."""


class Measured(Happening, frozen=True):
    """A check that asks for a reading got one, in the check's unit."""

    check: str
    value: float


class Prepared(Happening, frozen=True):
    """A preparation came out so; `head` in °C where it was read, `drop` when a water drop stood in for it."""

    preparation: str
    outcome: PrepareOutcome
    head: float | None = None
    drop: bool = False
    node: str = ""
    """The node of the route that asked for it."""


class Mended(Happening, frozen=True):
    """A fault was put right."""

    fault: str


class Deferred(Happening, frozen=True):
    """A fault that was found can't be mended now."""

    fault: str
    begun: bool = False
    """The mend was begun, and had to stop half-way."""


class Adjusted(Happening, frozen=True):
    """One screw was turned; in older walks with the stop that follows it, in one go."""

    screw: Screw
    way: Way
    hours: float
    follow: dict[Screw, float] = {}
    node: str = ""
    """The node of the route that asked for it."""
    follows: bool = False
    """It follows the turn before it: the engine was listened to in between, and asked for it."""


class Listened(Happening, frozen=True):
    """The engine was listened to after a turn, and the screw that could follow stays where it is."""

    screw: Screw


class HeadRead(Happening, frozen=True):
    """The head was read after a turn, or going back, that cured it: °C, or None where nobody could read it."""

    head: float | None = None


class Undone(Happening, frozen=True):
    """The last adjustment was turned back."""


class Restored(Happening, frozen=True):
    """Screws went back to the record."""

    node: str = ""
    """The node of the route that asked for it."""
    only: tuple[Screw, ...] = ()
    """Which of them; empty for all."""

    @property
    def screws(self) -> tuple[Screw, ...]:
        """The screws that went back."""
        return self.only or SCREWS


class Retested(Happening, frozen=True):
    """The symptom was looked for again."""

    outcome: Outcome
    symptom: str = ""
    """The symptom that was looked for: a door may have led to it."""


class Retracted(Happening, frozen=True):
    """An earlier event of this walk (by its number, from 0) was taken back."""

    number: int


class Happened(Happening, frozen=True):
    """Something happened to the car that makes older answers stale; or nothing did, as the person said."""

    what: Incident
    today: Started | None = None
    """On another day: how the walk would start now, for what the day and the ledger say."""


class Deadline(Happening, frozen=True):
    """So many minutes are left; None takes the deadline away."""

    minutes: float | None = None


class Noted(Happening, frozen=True):
    """A note."""

    text: str


class Parked(Happening, frozen=True):
    """The walk waits at a step: for what it needs, or for somebody. It changes nothing else."""

    step: str
    """A check, a fault or a preparation."""
    needs: tuple[str, ...] = ()


class Reopened(Happening, frozen=True):
    """A walk that had ended goes on: what ended it (an event by its number, from 0) was a mistake."""

    number: int


class Redirected(Happening, frozen=True):
    """It is another symptom than the one that the walk was about: it goes on with that one, and keeps what was said."""

    symptom: str


class HandedOver(Happening, frozen=True):
    """The walk was handed over, for this reason."""

    because: str


class FoundNormal(Happening, frozen=True):
    """The walk ended with nothing wrong: what it does is as it should be."""

    because: str


class Ended(Happening, frozen=True):
    """The person stopped the walk."""


Event = (
    Started
    | Told
    | Answered
    | Measured
    | Prepared
    | Mended
    | Deferred
    | Adjusted
    | Listened
    | HeadRead
    | Undone
    | Restored
    | Retested
    | Retracted
    | Happened
    | Deadline
    | Noted
    | Parked
    | Reopened
    | Redirected
    | HandedOver
    | FoundNormal
    | Ended
)

DONE_TO_THE_ENGINE = (Mended, Adjusted, Undone, Restored)
"""Taking one of these back needs hands, not a key: a retraction of one counts for nothing."""

STEPPED = (Answered, Measured, Prepared, Mended, Deferred, Adjusted, Listened, Undone, Restored, Retested)
"""The events that answer a step."""


def tells_of_the_car(event: Event) -> bool:
    """Say whether somebody who was at the car made this event: minutes and notes are set from anywhere."""
    return not isinstance(event, (Deadline, Noted, Parked))


def told_only(event: Event) -> bool:
    """Say whether this tells what was seen before: no hands have moved for it."""
    return isinstance(event, Answered) and event.before


def back_at(events: Sequence[Event], number: int) -> tuple[Target, ...]:
    """Return where the record went on the day of event `number`: another day gives new targets."""
    days = (event.today for event in reversed(events[:number]) if isinstance(event, Happened) and event.today)
    first = events[0]
    return next((today.back for today in days), first.back if isinstance(first, Started) else ())


def another_day(event: Event) -> bool:
    """Say whether the calendar wrote this event: no key takes it back."""
    return isinstance(event, Happened) and event.what == "another day"


def counts_for_nothing(events: Sequence[Event], retraction: int) -> bool:
    """Say whether what event number `retraction` takes back has to stay.

    Hands, not a key, undo what was done to the engine; and a re-test stays after which something was done to it.
    """
    taken = events[retraction]
    assert isinstance(taken, Retracted)
    number = taken.number
    if not 0 < number < retraction:  # nothing that was there
        return True
    event = events[number]
    if isinstance(event, DONE_TO_THE_ENGINE) or another_day(event):
        return True
    return isinstance(event, Retested) and any(
        isinstance(later, DONE_TO_THE_ENGINE) for later in events[number + 1 : retraction]
    )


_decoder: msgspec.json.Decoder[Event] = msgspec.json.Decoder(Event)


def to_json(event: Event) -> str:
    """Write an event as one line of JSON, for the journal."""
    return msgspec.json.encode(event).decode()


def from_json(text: str) -> Event:
    """Read what `to_json` wrote; raises `msgspec.MsgspecError` on anything else."""
    return _decoder.decode(text)
