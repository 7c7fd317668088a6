"""What the events of one outing say by themselves: whose it was, about what, how it ended, and what was written.

No knowledge is needed for it, so it can't grow old: it changes when events are added, and never else.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason.carry import ends
from diagnose.reason.state import effective

GistEnding = Literal["open", "ended", "unsure", "damaged"]
"""``unsure``: it was cured by a turn, and the sign that opened the turn may still have to be looked at.
``damaged``: its events can't be read."""

LastAnswer = tuple[str, str]
"""A check, and what it was answered with last."""

SaidNote = tuple[int, float, str]
"""A note that was made in a walk: the number of its event, when, and its text."""


class Gist(Struct, frozen=True, omit_defaults=True):
    """One outing at a glance; times in seconds since the epoch, everything else by id."""

    begun: float
    last_at: float
    ending: GistEnding
    engine: str = ""
    knowledge: str = ""
    """The digest of the knowledge that it began with."""
    symptoms: tuple[str, ...] = ()
    """What it was about: first as it began, then what it became."""
    faults: tuple[str, ...] = ()
    """What was mended, or put off."""
    answers: tuple[LastAnswer, ...] = ()
    words: tuple[str, ...] = ()
    """Why it was handed over."""
    noted: tuple[SaidNote, ...] = ()
    """What people noted in it."""


class ReadOuting(Struct, frozen=True):
    """A gist, and the events that a ledger is made of: those that stand, behind the bare beginning of the walk."""

    gist: Gist
    screws: tuple[ev.Event, ...] = ()


def read(bodies: Sequence[str], times: Sequence[float]) -> ReadOuting:
    """Return what stored events come to; `times` are the journal's own. At least one of each."""
    events = [_event(body) for body in bodies]
    first = events[0]
    begun = Gist(times[0], max(times), "ended" if isinstance(events[-1], ev.Ended) else "damaged")
    if not isinstance(first, ev.Started):
        return ReadOuting(begun)
    began = replace(begun, begun=first.at, engine=first.engine, knowledge=first.knowledge, symptoms=(first.symptom,))
    whole = [event for event in events if event is not None]
    if len(whole) < len(events):  # home names it until somebody puts it away
        return ReadOuting(began)
    standing = effective(whole)
    stands = [event for _, event in standing]
    symptoms, faults, answers, words = [first.symptom], list[str](), dict[str, str](), list[str]()
    for event in stands:
        match event:
            case ev.Redirected(symptom=symptom) | ev.Retested(symptom=symptom) if symptom:
                symptoms.append(symptom)
            case ev.Mended(fault=fault) | ev.Deferred(fault=fault):
                faults.append(fault)
            case ev.Answered(check=check, answer=answer) if answer not in ev.NOT_ANSWERS:
                answers[check] = answer
            case ev.HandedOver(because=text) | ev.FoundNormal(because=text):
                words.append(text)
            case _:
                pass
    gist = replace(
        began,
        ending=_ending(stands),
        symptoms=tuple(dict.fromkeys(symptoms)),
        faults=tuple(dict.fromkeys(faults)),
        answers=tuple(answers.items()),
        words=tuple(words),
        noted=tuple((number, event.at, event.text) for number, event in standing if isinstance(event, ev.Noted)),
    )
    return ReadOuting(gist, _screws(first, stands))


def _event(body: str) -> ev.Event | None:
    try:
        return ev.from_json(body)
    except ValueError:
        return None


def _ending(stands: Sequence[ev.Event]) -> GistEnding:
    """Return whether a walk has ended, as far as its events alone can tell."""
    last = next((number for number in range(len(stands) - 1, -1, -1) if ends(stands[number])), None)
    if last is None:
        return "open"
    if not isinstance(stands[last], ev.Retested):
        return "ended"
    done = next((event for event in reversed(stands[:last]) if isinstance(event, ev.DONE_TO_THE_ENGINE)), None)
    read = any(isinstance(event, ev.HeadRead) for event in stands[last:])
    return "unsure" if isinstance(done, ev.Adjusted) and not read else "ended"


def _screws(first: ev.Started, stands: Sequence[ev.Event]) -> tuple[ev.Event, ...]:
    """Return the events that a ledger is made of (`ledger.done`, `ledger.heads`); none where nothing was done."""
    found = [event for event in stands if _counts(event)]
    if all(isinstance(event, ev.Happened) for event in found):
        return ()
    back = any(isinstance(event, (ev.Restored, ev.Mended)) for event in found)
    bare = [_bare(event, back=back) for event in found if back or not isinstance(event, ev.Happened)]
    return (_begun(first, back=back), *bare)


def _begun(first: ev.Started, *, back: bool) -> ev.Started:
    return ev.Started(first.at, "", first.symptom, first.engine, Variant(), back=first.back if back else ())


def _bare(event: ev.Event, *, back: bool) -> ev.Event:
    """Return an event, of another day only where the record went then."""
    today = event.today if isinstance(event, ev.Happened) else None
    return replace(event, today=_begun(today, back=back)) if today is not None else event


def _counts(event: ev.Event) -> bool:
    match event:
        case ev.Prepared() | ev.HeadRead():
            return event.head is not None
        case ev.Measured() | ev.Retested():
            return True
        case ev.Happened():
            return event.today is not None
        case _:
            return isinstance(event, ev.DONE_TO_THE_ENGINE)


_screws_decoder = msgspec.json.Decoder(tuple[ev.Event, ...])
_gist_decoder = msgspec.json.Decoder(Gist)


def gist(text: str) -> Gist:
    """Read a stored gist; raises `msgspec.MsgspecError`."""
    return _gist_decoder.decode(text)


def screws(text: str) -> tuple[ev.Event, ...]:
    """Read stored events; raises `msgspec.MsgspecError`."""
    return _screws_decoder.decode(text)
