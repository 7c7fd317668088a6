"""After a practice: what it was, the score, belief over time, the steps; and the question of a lesson."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.graph.model import Knowledge, Lesson
from diagnose.graph.say import say
from diagnose.pages.parts import Belief, Beliefs, Gap, Heading, Line, Page, Paragraph
from diagnose.practice.debrief import Debrief, DebriefStep
from diagnose.practice.lesson import CURED
from diagnose.reason.belief import OTHER
from diagnose.reason.view import Choice

HEADING = "What it was, and how you looked for it"
NOTICED = "what there was to notice"
ROWS = 5
"""Faults whose belief is shown."""


def debrief(knowledge: Knowledge, found: Debrief) -> Page:
    """Say all that there is to say about a practice."""
    groups = (
        ("what it was", _was(knowledge, found)),
        (f"score: {found.score.points} of 100", _points(found)),
        ("minutes", _took(found)),
        ("the first wasteful step", _waste(found)),
        ("belief over time", (_beliefs(knowledge, found), Paragraph("* was wrong"))),
    )
    titled = (part for title, said in groups for part in (Heading(title), *said, Gap()))
    return (*titled, Heading("step by step"), *(line for step in found.steps for line in _step(step)))


def _was(knowledge: Knowledge, found: Debrief) -> Page:
    def names(faults: Sequence[str]) -> str:
        return ", ".join(knowledge.faults[fault].name for fault in faults)

    was = [Line(f"{names(found.faults)}.", "")]
    if found.earned:
        was.append(Line(f"Put right after it was seen: {names(found.earned)}.", "✓"))
    if found.lucky:
        was.append(Line(f"Put right by luck: {names(found.lucky)}."))
    if found.left:
        was.append(Line(f"Still there: {names(found.left)}.", "?"))
    if found.ended != CURED and not found.left:
        was.append(Line("It was not tried again, or was stopped before.", ""))
    return tuple(was)


def _points(found: Debrief) -> Page:
    points = tuple(Paragraph(f"{part.points:+.0f}  {part.what}") for part in found.score.parts)
    return points or (Paragraph("Nothing was found, and nothing was lost."),)


def _took(found: Debrief) -> Page:
    program = f"{found.program_minutes:.0f} min" + ("" if found.program_cured else ", and it handed over")
    return (
        Paragraph(f"You: {found.minutes:.0f} min."),
        Paragraph(f"The program, from the start: {program}."),
        Paragraph(f"A mechanic who knew it beforehand, and still keeps the rules: {found.best_minutes:.0f} min."),
    )


def _waste(found: Debrief) -> Page:
    waste = found.first_waste
    if not found.steps:
        return (Paragraph("Nothing was done."),)
    if waste is None:
        return (Line("No step was wasted.", "✓"),)
    instead = Line(f"The program: {waste.program}. {waste.program_why}".rstrip(), "→")
    shown = (Line(f"Step {waste.number}, {waste.did}.", "!"), Line(waste.remark, ""))
    return (*shown, instead) if waste.program else shown


def _step(step: DebriefStep) -> Page:
    """Say what was done and seen, what the program would have done, and what there is to say of it."""
    mark = "!" if step.wasteful else "✓" if not step.program else "·"
    took = f" ({step.minutes:.1f} min)" if step.minutes else ""
    shown = [Line(f"{step.did}{took}{f': {step.saw}' if step.saw else ''}", f"{step.number:2} {mark}")]
    if step.program:
        shown.append(Line(f"the program: {step.program}", "   →"))
    if step.remark:
        shown.append(Line(step.remark, "    "))
    return tuple(shown)


def _beliefs(knowledge: Knowledge, found: Debrief) -> Beliefs:
    return Beliefs(
        tuple(
            Belief(
                knowledge.faults[fault].name,
                fault in found.faults,
                tuple(step.belief.get(fault, 0.0) for step in found.steps),
                next((step.number for step in found.steps if fault in step.put_right), 0),
            )
            for fault in _believed(found)
        )
    )


def _believed(found: Debrief) -> list[str]:
    """Return the faults that are shown: what was wrong, and what was believed in most at any time."""
    most: dict[str, float] = {}
    for step in found.steps:
        for fault, share in step.belief.items():
            if fault != OTHER:
                most[fault] = max(most.get(fault, 0.0), share)
    rest = sorted((fault for fault in most if fault not in found.faults), key=lambda fault: (-most[fault], fault))
    return [*found.faults, *rest][: max(ROWS, len(found.faults))]


def lesson(known: Knowledge, found: Lesson, reply: str = "") -> Page:
    """Say what there was to notice in a lesson, and its question; with a reply, whether that is right."""
    return (
        Heading(NOTICED),
        *(Line(say(line, known)) for line in found.notice),
        Gap(),
        Paragraph(say(found.question.ask, known), "strong"),
        *(replied(known, found, reply) if reply else ()),
        Gap(),
    )


def replies(known: Knowledge, found: Lesson) -> list[Choice]:
    """Return what may be replied to a lesson's question."""
    return [Choice(key, say(one.say, known)) for key, one in found.question.answers.items()]


def replied(known: Knowledge, found: Lesson, reply: str) -> Page:
    """Say whether a reply to a lesson's question is right, and what would be better."""

    def because(one: str) -> str:
        return f"{say(answers[one].say, known)}. {say(answers[one].because, known)}"

    answers = found.question.answers
    if answers[reply].right:
        return (Line(because(reply), "✓ yes:"),)
    return (Line(because(reply), "✗ no:"), Line(because(found.question.right), "better:"))
