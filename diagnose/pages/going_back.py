"""Going back to the record: what the hands do, and where each screw comes to stand."""

from __future__ import annotations

from diagnose.graph.wording import capital
from diagnose.pages.conditions import figures
from diagnose.pages.parts import AnswerPart, Dial, Dials, Gap, HowTo, Line, Page, Paragraph
from diagnose.pages.stand import AT_TWELVE, each_kept
from diagnose.tune.back import GoingBack, in_a_line
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Ledger

SIGNS = f"r is the record. {AT_TWELVE}"
LEGEND = f"The hour in brackets is where the slot must point. {SIGNS}"
OF_HANDS = f"The hand points where the slot must point. {SIGNS}"
HEADING = "Going back to the record"
DONE, DAY = "done", "day"
DAY_FIRST = AnswerPart(DAY, "write down the day first")
OTHER = "another"
ASKED_WHICH = "To which tune?"
WRITTEN = "Written down."
NO_RECORD = "There is no recorded setting to go back to. Count the screws in, and write them down first."


def answers(ledger: Ledger) -> tuple[AnswerPart, ...]:
    """Return what can be done with it; another tune is offered where there is one."""
    other = (AnswerPart(OTHER, "to another tune, or to the baseline"),) if len(ledger.kept) > 1 else ()
    leave = AnswerPart("no", "leave them as they are")
    return AnswerPart(DONE, "done: they are set so"), DAY_FIRST, leave, *other


def tunes(ledger: Ledger) -> tuple[AnswerPart, ...]:
    """Return the tunes that there are to go back to by their number, the newest first and the baseline last."""
    return tuple(AnswerPart(str(number), said) for number, said in enumerate(each_kept(ledger)))


def going_back(found: GoingBack, now: Conditions) -> Page:
    """Say why the screws go where they go, and how, and show them there."""
    dials = tuple(Dial(capital(one.screw), one.depth.hours, ((one.record.hours, "r"),)) for one in found.targets)
    return (
        Paragraph(found.because, "strong"),
        Paragraph(f"Now: {', '.join(figures(now)) or 'neither the day nor the fuel is known'}.", "quiet"),
        Gap(),
        *(HowTo(step, number) for number, step in enumerate(found.how, 1)),
        Gap(),
        Dials(dials, LEGEND, OF_HANDS),
    )


def went_back(found: GoingBack, *, air_screw: bool) -> Page:
    """Say where each screw stands once that is done."""
    return (*(Line(in_a_line(target, air_screw)) for target in found.targets), Paragraph(WRITTEN))
