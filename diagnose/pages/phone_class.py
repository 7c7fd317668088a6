"""What a class on phones is told, and what its mentor sees of it: never what is hidden, while it goes on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import capital, minutes
from diagnose.pages.debrief import said
from diagnose.pages.parts import AnswerPart, Field, Heading, Line, Page, Paragraph
from diagnose.pages.practice import YES
from diagnose.practice import explain
from diagnose.practice.class_set import LEVELS
from diagnose.practice.debrief import does
from diagnose.practice.happenings import Begun, Hinted, Looked
from diagnose.practice.lesson import CURED, Practice

CLASS = "The class"
SIT_DOWN = "sit down in the class"
NO_CLASS = "No class is going on here now. Ask the mentor."
NICKNAME = Field("nickname", "A nickname", hint="no real name")
SIT = "sit down"
SIT_TOLD: Page = (
    Paragraph("Everybody works at the same engine, each on their own phone. Nobody knows what is wrong.", "strong"),
    Paragraph("Before each look you say what you expect. After it you say what it tells you."),
    Paragraph("The mentor sees what you do. Your marks are for you alone."),
)
WAIT = "Wait a moment: the mentor has something to say"
WAIT_TOLD: Page = (Paragraph("Everybody's engine waits. This page goes on by itself."),)
STOPPED = "The mentor has stopped everybody for a moment. Your answer was not saved."
EXPLAIN_FIRST = "First say what your last look tells you. This answer was not saved."
NO_QUESTION = "this answer belongs to no question of yours"
HAS_ENDED = "The class has ended"
ENDED_TOLD: Page = (Paragraph("Now you may see what it was.", "strong"),)
MY_WAY, THE_SHEET = "how I looked for it", "the sheet of the whole class"
MY_RULE, MY_CASE, MY_MARKS = "one rule for the next engine", "a new case", "what to try next, and my marks"
NO_DEBRIEF = "What it was is told once the mentor has ended the class, so that nobody gives it away."
DONE = "You have come to an end"
DONE_TOLD: Page = (Paragraph("Give nothing away: the others are still looking."), Paragraph(NO_DEBRIEF, "quiet"))
FROM_MENTOR, READ = "the mentor says", "I have read it"
SO_FAR, OWNER, BACK = "what you did so far", "what the owner says", "back"
TO_CLASS = "back to the class"
WHICH_AREA = "Where do you look?"
MEND_IT, DO_NOT = "mend it", "no, not that"
LEAVE_OUT, ON = "leave it out", "go on"
SEND = "send"
REOPEN = "on their own phone"

MENTOR = "The class, for its mentor"
MENTOR_ONLY = "This page is for the mentor alone."
SET_ONE: Page = (Paragraph("No class is going on. Set the engine, and let the phones come in by the code.", "strong"),)
LOOK_AWAY: Page = (Line("The learners look away now: what is hidden stands on this page.", "!"),)
CHOOSE_ONE = "choose one"
OTHER_SYMPTOM = "let it do something else"
CODES = "the codes for the phones"
PAUSE, GO_ON = "stop everybody for a moment", "go on"
ALL_WAIT = "Everybody waits."
END, END_HEADING = "end the class", "End the class?"
END_TOLD: Page = (
    Paragraph("Whoever has not come to an end stops where they are. Then everybody may see what it was.", "strong"),
)
END_CHOICES = (AnswerPart(YES, "end it, and open the debriefs"),)
NOBODY = "Nobody has sat down yet."
EVERYBODY_DONE = "Everybody has come to an end. End the class to open the debriefs."
LAST_SHEET = "the sheet of the last class"
HINT_WAITS = "a hint waits to be read"
ONE_AT_A_TIME = "That one has a hint to read already."
NO_HINT = "There is nobody at that seat who still looks for it."


class SeatSeen(NamedTuple):
    """What a mentor sees of one seat."""

    nickname: str
    practice: Practice
    since: float
    """Minutes since the last thing was done, while this computer was awake."""
    given: int
    """Hints of the mentor."""
    unread: bool


def levels() -> tuple[AnswerPart, ...]:
    """Return the engines that can be drawn for a class."""
    return tuple(AnswerPart(str(number), f"draw an engine: {what}") for number, what in LEVELS.items())


def still_on(clock: str, seats: int) -> str:
    """Say that a second class can't be begun."""
    return (
        f"a class is still going on, set at {clock}, with {seats} {'seat' if seats == 1 else 'seats'}: "
        "start without --class to go on with it, and end it on the mentor's page before you begin another"
    )


def goes_on(clock: str) -> str:
    """Say that there is a class, of this start or an earlier one."""
    return f"A class is going on, set at {clock}."


def where_mentor(address: str) -> str:
    """Say where the mentor's page is."""
    return f"The mentor's page, on this computer alone: {address}"


def mentor_link(address: str) -> str:
    """Say by which link a mentor watches from another device."""
    return f"The mentor's page on another device, for the mentor alone: {address}"


def jumped(by: float) -> Page:
    """Say that this computer slept: nothing where it did not, in minutes."""
    if not 1 <= by < 24 * 60:
        return ()
    told = f"This computer's clock has moved on by {minutes(by)} at once: it was asleep, or was set."
    return (Line(f"{told} Nobody is counted as stuck for that. The phones go on where they were.", "!"),)


def engine(known: Knowledge, begun: Begun) -> Page:
    """Say what the engine of a class does, as its owner tells it."""
    practice = Practice(known, [begun])
    told = (Paragraph(line) for line in practice.story())
    return (Heading(known.symptoms[begun.symptom].name), Paragraph(capital(practice.variant.says())), *told)


def seen(seat: SeatSeen) -> Page:
    """Say how far one seat is: the step, the last prediction, what was risked, and for how long nothing was done."""
    practice = seat.practice
    risked = sum(bool(line.hazards) for line in practice.lines)
    hints = sum(isinstance(line.event, Hinted) for line in practice.lines)
    count = len(practice.lines)
    step = f"step {count}, {does(practice.knowledge, practice.lines[-1].event)}" if count else "not begun"
    told: list[Line | Paragraph] = [
        Paragraph(f"{step} · {minutes(practice.minutes)} on the clock"),
        *_predicted(practice),
    ]
    if risked:
        names = next(line.hazards for line in reversed(practice.lines) if line.hazards)
        told.append(Line(f"{risked} {'risk' if risked == 1 else 'risks'}; the last: {names[0]}", "!", "warning"))
    if practice.ended:
        told.append(Line(practice.ended, "✓" if practice.ended == CURED else "·"))
    elif seat.since >= 1:
        told.append(Line(f"nothing done for {minutes(seat.since)}", "·"))
    if hints or seat.given:
        waits = f"; {HINT_WAITS}" if seat.unread and not practice.ended else ""
        told.append(Paragraph(f"hints: {hints} asked for, {seat.given} from you{waits}", "quiet"))
    return tuple(told)


def _predicted(practice: Practice) -> list[Paragraph]:
    """Return the last prediction, what came instead, and what was made of it."""
    looks = explain.looks(practice)
    if not looks:
        return []
    last, check = looks[-1], practice.knowledge.checks[looks[-1].check]
    assert isinstance(last.line.event, Looked)
    if not last.expected:
        return [Paragraph(f"{check.name}: looked without a guess")]
    expected = said(practice, last.line._replace(answer=last.expected))
    came = "and it came" if last.expected == last.line.answer else f"but saw: {said(practice, last.line)}"
    return [Paragraph(f"{check.name}: expected “{expected}”, {came}")]


def everybody_ended(seats: Sequence[SeatSeen]) -> bool:
    """Say whether all who sit there have come to an end."""
    return bool(seats) and all(seat.practice.ended for seat in seats)


def debrief_of(nickname: str) -> str:
    """Name the debrief of one."""
    return f"how {nickname} looked for it"


def hint_for(nickname: str) -> str:
    """Name the key that gives one a hint."""
    return f"a hint for {nickname}"
