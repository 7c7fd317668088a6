"""A class at one engine: what is set, who sits there, and whose turn it is. It never says what is wrong."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Screw
from diagnose.graph.wording import capital
from diagnose.pages.dates import date_and_clock
from diagnose.pages.parts import AnswerPart, Field, Heading, Line, Page, Paragraph
from diagnose.practice import explain
from diagnose.practice.class_set import LEVELS, ClassWish
from diagnose.practice.happenings import Begun
from diagnose.practice.lesson import Practice
from diagnose.reason.view import Choice
from diagnose.workshop.classes import ClassSeat, PracticeClass

HEADING = "A class: one same engine for everybody"
SET_NEW = "Set the engine"
LEVEL, CHOSEN, SAME, OPEN, SEATS, SHEET, ANOTHER = "level/", "chosen", "same", "open/", "seats", "sheet", "another"
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
OFF = "Are its needles off?"
OFF_CHOICES = (AnswerPart(DRAWN, "no"), AnswerPart("2", "yes: the high needle, two hours rich"))
STORY = Field("story", "What does the owner say besides? It must be true.", hint="it was fine last week")
STORY_TOLD = "Leave it empty, and the owner says only what is always asked."
WHAT_TELLS = "What does that tell you?"
BY_WORD = {explain.SOUND: "all is well there", explain.UNCLEAR: "nothing yet"}


def ways(open_classes: Sequence[tuple[str, str]]) -> tuple[AnswerPart, ...]:
    """Return how a class is begun; `open_classes` are ids with what they are."""
    return (
        *(AnswerPart(f"{LEVEL}{number}", f"draw an engine: {said}") for number, said in LEVELS.items()),
        CHOOSE,
        *(AnswerPart(OPEN + key, f"go on: {said}") for key, said in open_classes),
    )


def wish(symptom: str, faults: tuple[str, str], bad: str, off: str, story: str, seed: str) -> ClassWish:
    """Return what a mentor wants, by the ids of the answers. Raises `DiagnoseError` where one fault is named twice."""
    hidden = [one for one in faults if one != NO_SECOND.id]
    if len(set(hidden)) < len(hidden):
        raise DiagnoseError(TWICE)
    badly = None if bad == DRAWN else float(bad)
    turned: dict[Screw, float] = {} if off == DRAWN else {"high needle": float(off)}
    return ClassWish(symptom, dict.fromkeys(hidden, badly), seed, story, turned)


def who_again(same: Sequence[str]) -> tuple[AnswerPart, ...]:
    """Return whether the same learners sit there again."""
    return (AnswerPart(SAME, f"the same again: {', '.join(same)}"), AnswerPart(ANOTHER, "others"))


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
