"""A lesson on paper: what the learner fills in, and what whoever teaches holds beside it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from random import Random

from diagnose.graph.model import Knowledge
from diagnose.graph.say import say
from diagnose.graph.wording import capital, minutes
from diagnose.pages import hazards
from diagnose.pages.completion import in_a_line
from diagnose.pages.debrief import NOTICED, replies, said
from diagnose.pages.parts import AnswerPart, Field, Heading, Line, Page, Paragraph, PickPart, Table, Timed
from diagnose.practice import setting, worked
from diagnose.practice.check_answers import see
from diagnose.practice.debrief import debrief
from diagnose.practice.happenings import Looked
from diagnose.practice.lesson import Practice

PREDICT = "Write down what you expect before each look. Then ask what it shows, and write down what that rules out."
INVENTED = "This engine is an invented one, and nothing here has to run. On a real car both guards come first."
COLUMNS = ("I look at", "I expect", "It shows", "That rules out", "min")
ROWS, FEW_ROWS = 8, 3
"""Looks for which there is room; fewer where the looks are made, so that it stays on one page."""
KEEP = "For whoever teaches. When the learner names a look, say what it shows, and no more."
NOT_NOW = "nobody can tell as it is now"
SOUND = "Any other look that can be made shows what it should."


def lesson_sheet(known: Knowledge, name: str) -> Page:
    """Return the sheet of a lesson for the learner; raises `DiagnoseError` when there is no such lesson."""
    practice, lesson = _set(known, name), known.lessons[name]
    made = _made(known, practice)
    rows = FEW_ROWS if made else ROWS
    return (
        Paragraph(capital(practice.variant.says()), "lead"),
        Field("learner", "Learner"),
        Field("day", "Day"),
        Heading("the owner says"),
        Paragraph(say(lesson.text, known)),
        *(Paragraph(line) for line in practice.story()),
        *made,
        Heading("before it runs"),
        *(Timed(line, "") for line in _guards(practice)),
        Paragraph(INVENTED),
        Heading("look for it"),
        Paragraph(PREDICT),
        Table((COLUMNS, *(("",) * len(COLUMNS),) * rows), head=True),
        Field("was", "What it was"),
        Field("mend", "What puts it right"),
        Heading("and now"),
        PickPart(
            "reply", say(lesson.question.ask, known), tuple(AnswerPart(one.id, one.say) for one in replies(practice))
        ),
        Field("rule", "A rule for next time, in my own words"),
    )


def lesson_answers(known: Knowledge, name: str) -> Page:
    """Return the answers of a lesson: what is wrong, what each look shows, what there is to notice, and which is right.

    Raises `DiagnoseError` when there is no such lesson.
    """
    practice, lesson = _set(known, name), known.lessons[name]
    found = debrief(practice)
    handed = "" if found.program_cured else ", and it hands over"
    return (
        Paragraph(KEEP, "lead"),
        Heading("what it is"),
        *(_fault(practice, fault) for fault in found.faults),
        *hazards.named(chain(*(known.faults[fault].mend.cautions for fault in found.faults)), known),
        Paragraph(
            f"The program takes {minutes(found.program_minutes)}{handed}. "
            f"A mechanic who knows it beforehand takes {minutes(found.best_minutes)}."
        ),
        Heading("what each look shows"),
        Table((("look", "it shows", "min"), *_shown(practice)), head=True),
        Paragraph(SOUND),
        Heading(NOTICED),
        *(Line(say(line, known)) for line in lesson.notice),
        Heading(say(lesson.question.ask, known)),
        *(
            Line(f"{capital(say(reply.say, known))}. {say(reply.because, known)}", "✓" if reply.right else "✗")
            for reply in lesson.question.answers.values()
        ),
    )


def _set(known: Knowledge, name: str) -> Practice:
    return Practice(known, (setting.from_lesson(known, name),))


def _made(known: Knowledge, practice: Practice) -> Page:
    """Say what was seen, in a lesson in which the looks are made."""
    begun = worked.begin(known, practice.begun)
    seen = [
        f"{in_a_line(known.checks[line.event.check].name, said(begun, line))}."
        for line in begun.lines
        if isinstance(line.event, Looked) and line.answer
    ]
    return (Heading("what was seen"), Paragraph(" ".join(seen))) if seen else ()


def _guards(practice: Practice) -> Iterator[str]:
    for guard in practice.scope.guards:
        check = practice.scope.checks[guard]
        yield in_a_line(check.name, say(check.answers[check.healthy].say, practice.knowledge, practice.variant))


def _fault(practice: Practice, name: str) -> Line:
    """Say what is wrong, and what puts it right."""
    fault = practice.scope.faults[name]
    put_right = " ".join(say(line, practice.knowledge, practice.variant) for line in fault.mend.do)
    return Line(f"{capital(fault.name)}. {put_right}", "!")


def _shown(practice: Practice) -> Iterator[tuple[str, str, str]]:
    """Yield what is owed in its order with what an eye that never errs sees, then whatever else shows a fault."""
    known, scope, now = practice.knowledge, practice.scope, practice.hands.now
    seen = practice.hands.engine.seen(practice.complaint)
    owed = [line.check for line in practice.walk.view(now).owed]
    for name in (*owed, *(one for one in scope.checks if one not in owed)):
        check = scope.checks[name]
        shows = see(name, check, seen, Random(0), noise=0.0)
        reading = ""
        if isinstance(shows, float) and check.reading is not None:
            reading, shows = f"{shows:g} {check.reading.unit}: ", known.band(check, shows, practice.variant)
        if name not in owed and shows in (None, check.healthy):
            continue
        told = say(check.answers[shows].say, known, practice.variant) if isinstance(shows, str) else NOT_NOW
        yield capital(check.name), reading + told, minutes(check.minutes)
