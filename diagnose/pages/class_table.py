"""A class at one engine: what is set, who sits there, and whose turn it is. It never says what is wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Screw
from diagnose.graph.wording import amount, capital
from diagnose.pages.dates import date_and_clock
from diagnose.pages.parts import AnswerPart, Field, Heading, Line, Page, Paragraph
from diagnose.pages.stand import too
from diagnose.pages.turns import HOUR_IS
from diagnose.practice import explain
from diagnose.practice.allowed import MOST_AT_ONCE
from diagnose.practice.class_set import LEVELS, ClassWish
from diagnose.practice.feedback import EVERY_SCREW
from diagnose.practice.happenings import Begun
from diagnose.practice.lesson import TURNED, Practice
from diagnose.reason.view import Choice
from diagnose.workshop.classes import ClassSeat, PracticeClass

HEADING = "A class: one same engine for everybody"
SET_NEW = "Set the engine"
LEVEL, CHOSEN, SAME, KNOWN, ANOTHER, OPEN = "level/", "chosen", "same", "known", "another", "open/"
CHOOSE = AnswerPart(CHOSEN, "choose what it does, and what is hidden")
WHO = Field("nicknames", "Who sits there?", hint="kim, ben, ana, or 6")
WHO_TOLD = (
    "Nicknames, one after another, with a comma between them; or a number, and the seats are numbered. Each has its "
    "turn at this same engine, and the others look away. A nickname is enough: no real names."
)
WAYS_TOLD: Page = (
    Paragraph("Everybody works at this same engine, one after another, and nobody knows what is hidden.", "strong"),
    Paragraph("Before each look they say what they expect, and after it what it tells. Then there is one sheet."),
)
KEEP_IT = "The next ones look away: it is the same engine for everybody."
LATER = "The debrief waits until all have had their turn, so that nobody gives it away. A mentor may open it before."
ALL_HAD_IT = "Everybody has had a turn. Press d for a debrief, s for the one sheet."
WHICH_BAD = "How badly is it there?"
DRAWN = "drawn"
BAD = (
    AnswerPart("0.9", "badly: plain to see"),
    AnswerPart("0.6", "fairly"),
    AnswerPart("0.3", "a little: hard to see"),
    AnswerPart(DRAWN, "let it be drawn"),
)
SECOND = "A second fault?"
NO_SECOND = AnswerPart("none", "no: one is enough")
TWICE = "the second fault is the first one again: choose another, or none"
TICK = "Who of them sits there?"
TICKED = "go on with those"
TICK_TOLD: Page = (Paragraph("They get the seats in the order in which you choose them."),)
IN_ORDER, OFF_ENOUGH, RIGHT = "in order", "enough", "0"
STORY = Field("story", "What else does the owner say?", hint="it was fine last week")
STORY_TOLD = "It must be true. Leave it empty, and the owner says only what is always asked."
OFF_TOLD = f"{HOUR_IS} It may be off by up to {MOST_AT_ONCE:g} hours."
WHAT_TELLS = "What does that tell you?"
BY_WORD = {explain.SOUND: "all is well there", explain.UNCLEAR: "nothing yet"}


def ways(open_classes: Sequence[tuple[str, str]]) -> tuple[AnswerPart, ...]:
    """Return how a class is begun; `open_classes` are ids with what they are."""
    return (
        *(AnswerPart(f"{LEVEL}{number}", f"draw an engine: {said}") for number, said in LEVELS.items()),
        CHOOSE,
        *(AnswerPart(OPEN + key, f"go on: {said}") for key, said in open_classes),
    )


def who_again(same: Sequence[str], known: Sequence[str]) -> tuple[AnswerPart, ...]:
    """Return how it may be said who sits there: those of the last class again, some who are known, or nicknames."""
    return (
        *((AnswerPart(SAME, f"the same again: {', '.join(same)}"),) if same else ()),
        *((AnswerPart(KNOWN, "choose from those who have practised before"),) if known else ()),
        AnswerPart(ANOTHER, "type nicknames, or how many seats"),
    )


def off_heading(off: Mapping[Screw, float]) -> str:
    """Ask whether a screw is off, or another one."""
    return "Is another screw off?" if off else "Are its screws off?"


def off_told(off: Mapping[Screw, float]) -> Page:
    """Say which screws are off so far, and what the owner says of it."""
    if not off:
        return (Paragraph("A screw that is off is found only after the mechanical looks. Most classes need none."),)
    so_far = tuple(Line(f"{screw}: {amount(abs(hours))} {too(screw, hours)}") for screw, hours in off.items())
    return (*so_far, Paragraph(f"The owner will say: {TURNED}"))


def off_choices(off: Mapping[Screw, float]) -> tuple[AnswerPart, ...]:
    """Return the screws that may be off."""
    no = AnswerPart(OFF_ENOUGH, "no more of them") if off else AnswerPart(IN_ORDER, "no, they stand right")
    return (no, *(AnswerPart(screw, f"the {screw}") for screw in EVERY_SCREW if screw not in off))


def off_which_way(screw: Screw) -> str:
    """Ask which way a screw is off."""
    return f"{capital(screw)}: which way is it off?"


def off_ways(screw: Screw) -> tuple[AnswerPart, ...]:
    """Return the ways in which a screw may be off: a positive and a negative number."""
    return tuple(AnswerPart(sign, too(screw, float(sign))) for sign in ("1", "-1"))


def off_how_far(screw: Screw, sign: float) -> Field:
    """Ask by how many hours a screw is off."""
    return Field("hours", f"By how many hours is it {too(screw, sign)}?", hint="2, or 1/2")


def off_amounts(screw: Screw) -> tuple[AnswerPart, ...]:
    """Return by how much a screw may be off in whole hours, either way: for a page that asks for all at once."""
    most = int(MOST_AT_ONCE)
    hours = (*range(1, most + 1), *range(-1, -most - 1, -1))
    off = (AnswerPart(str(one), f"{amount(abs(one))} {too(screw, one)}") for one in hours)
    return (AnswerPart(RIGHT, "stands right"), *off)


def wish(
    symptom: str,
    faults: tuple[str, str],
    bad: str,
    seed: str,
    off: Mapping[Screw, float] | None = None,
    story: str = "",
) -> ClassWish:
    """Return what a mentor wants, by the ids of the answers. Raises `DiagnoseError` where one fault is named twice."""
    hidden = [one for one in faults if one != NO_SECOND.id]
    if len(set(hidden)) < len(hidden):
        raise DiagnoseError(TWICE)
    badly = None if bad == DRAWN else float(bad)
    return ClassWish(symptom, dict.fromkeys(hidden, badly), seed, story, off or {})


def class_line(known: Knowledge, of: PracticeClass, seats: Sequence[ClassSeat]) -> str:
    """Return in a line what a class is: when, what it does, how many have come to an end."""
    ended = sum(seat.kept.scored is not None for seat in seats)
    return f"{known.symptoms[of.begun.symptom].name} · {date_and_clock(of.at)} · {ended} of {len(seats)} done"


def table(known: Knowledge, begun: Begun) -> Page:
    """Say what the engine does, as its owner tells it."""
    practice = Practice(known, [begun])
    return (
        Heading(known.symptoms[begun.symptom].name),
        Paragraph(capital(practice.variant.says())),
        *(Paragraph(line) for line in practice.story()),
        Line(KEEP_IT, "!"),
    )


def seat_line(seat: ClassSeat, *, due: bool) -> str:
    """Return in a line who sits there, and how far: never what was seen."""
    scored = seat.kept.scored
    steps = sum(not isinstance(one, Begun) for one in seat.kept.events)
    if scored is not None:
        return f"{seat.nickname}: {scored.ended}, {scored.minutes:.0f} min"
    place = f"{steps} {'thing' if steps == 1 else 'things'} done" if steps else "not begun"
    return f"{seat.nickname}: {place}{', has the turn' if due else ''}"


def is_set(name: str) -> str:
    """Say that a class has been set."""
    return f"Class {name} is set."


def sits_down(nickname: str) -> str:
    """Say whose turn it is."""
    return f"{nickname} sits down."


def had_a_turn(nickname: str) -> str:
    """Say that one has been through."""
    return f"{nickname} has had a turn. Press d for the debrief."


def reopen(nickname: str) -> str:
    """Say how a debrief is opened again on a screen."""
    return f"mark {nickname} in the list of the class, and press d"


def no_debrief_yet(nickname: str) -> str:
    """Say that there is no debrief yet."""
    return f"{nickname} has come to no end yet, so there is no debrief."


def explanations(practice: Practice) -> list[Choice]:
    """Return what may be said of the last look."""
    choices = explain.choices(practice)
    return [Choice(one, BY_WORD.get(one, f"it speaks of: {one}")) for one in choices]
