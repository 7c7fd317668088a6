"""What happened on an outing, to take along: what was told, looked at and done, and how it ended."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from diagnose.graph.say import say
from diagnose.graph.wording import capital, minutes
from diagnose.pages import conditions, hazards, stand, turns
from diagnose.pages.beside import mark
from diagnose.pages.completion import in_a_line
from diagnose.pages.completion import line as in_short
from diagnose.pages.dates import date_and_clock
from diagnose.pages.end import HEADINGS
from diagnose.pages.parts import Heading, Line, Page, Paragraph, Part, Timed
from diagnose.reason import events as ev
from diagnose.reason.hand_over import please
from diagnose.reason.passing import at_the_car
from diagnose.reason.view import Turn
from diagnose.reason.walk import Walk
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Ledger, as_it_stood

OPEN = "It has not ended yet."
AGAIN = "On another day, all of the looks are owed again."
NO_DAY = "Nobody noted the day or the fuel."


def report(walk: Walk, at: float, day: Conditions, ledger: Ledger | None = None, *, in_full: bool = True) -> Page:
    """Return the branch that was taken, the turns as faces, and the verdict, with what to beware of.

    `at`: when it was last written to. `day`: the air and the fuel of that day. `ledger`: of its engine, if it has one,
    for where the screws stood then. What to beware of is told `in_full`, or by its names.
    """
    view, known, verdict = walk.view(at), walk.knowledge, walk.verdict()
    adjusted = [Turn(one.screw, one.way, one.hours) for one in walk.state.adjustments]
    ended: tuple[Part, ...] = (Paragraph(OPEN, "strong"),)
    if verdict is not None:
        ended = (
            Paragraph(f"{HEADINGS[verdict.outcome]}: {verdict.because.rstrip('.')}.", "strong"),
            *(Line(known.faults[fault].name, "→ mended:") for fault in verdict.mended),
        )
    owed = () if verdict is not None and verdict.cured else view.owed
    took = minutes(at_the_car(walk.events))
    spent = f"So far {took}" if verdict is None else f"It took {took}"
    settings = stand.dials(as_it_stood(ledger, at), walk.variant.needles) if ledger is not None else ()
    beware = _hazards(walk, [line.check for line in owed])
    told = hazards.side_by_side(beware, known, walk.variant) if in_full else hazards.named(beware, known)
    return (
        Paragraph(f"{capital(view.engine)}, {date_and_clock(walk.started.at)}. {spent} at the car.", "lead"),
        *(conditions.day(day) or (Line(NO_DAY),)),
        Heading("how it ended"),
        *ended,
        *(Line(opening, "! still open:") for opening in view.open),
        *((Heading("still owed before a needle, when it was left"),) if owed else ()),
        *(Timed(in_short(line), minutes(line.minutes)) for line in owed),
        *((Paragraph(please(owed), "strong"), Paragraph(AGAIN)) if owed else ()),
        Heading("what was looked at and done"),
        *_branch(walk, at),
        *((Heading("what was turned"), turns.faces(adjusted)) if adjusted else ()),
        *((Heading("where the screws stood then"), *settings) if settings else ()),
        *((Heading("beware"), *told) if beware else ()),
    )


def _branch(walk: Walk, at: float) -> Iterator[Line]:
    """Yield what was done in its order: a question with what was told, a look with the state that it showed."""
    checks, told = walk.scope.checks, dict(enumerate(walk.events))
    for line in walk.view(at).trail:
        said, event = line.what, told.get(line.number)
        if line.mark == "ok" and line.check:
            check = checks[line.check]
            state = say(check.answers[check.healthy].say, walk.knowledge, walk.variant)
            said = in_a_line(f"{said}, from before" if line.carried else said, state)
        elif isinstance(event, ev.Told) and event.question in walk.knowledge.history:
            said = f"{say(walk.knowledge.history[event.question].ask, walk.knowledge, walk.variant)} {capital(said)}."
        yield Line(said if line.noted else capital(said), mark(line))


def _hazards(walk: Walk, owed: Sequence[str]) -> tuple[str, ...]:
    """Return what there is to beware of for whoever goes on: as it is tried again, at what is owed or was mended."""
    verdict = walk.verdict()
    mends = verdict.mended if verdict is not None and not owed else ()
    known, looks = walk.knowledge, (walk.scope.checks[name].cautions for name in owed)
    again = known.symptoms[walk.symptom].retest.cautions
    return known.worst_first(chain(again, *looks, *(known.faults[fault].mend.cautions for fault in mends)))
