"""After a practice: the learner's own view, what it was, both ways side by side, marks last; and the questions."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.graph.model import Knowledge, Lesson
from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.pages.parts import (
    AnswerPart,
    Belief,
    Beliefs,
    Field,
    Gap,
    Heading,
    Line,
    Page,
    Paragraph,
    choices,
    grouped,
)
from diagnose.pages.practice import program_why
from diagnose.pages.stand import were_off
from diagnose.pages.way import EXAMPLE
from diagnose.practice.debrief import Debrief, DebriefStep, does
from diagnose.practice.happenings import GaveUp, Looked, NamedInCase, Reflected, Ruled
from diagnose.practice.lesson import CURED, LessonLine, Practice
from diagnose.practice.new_case import NewCase, shuffled
from diagnose.reason.belief import OTHER
from diagnose.reason.view import Choice

HEADING = "How you looked for it, and what it was"
NOTICED = "what there was to notice"
ROWS = 5
"""Faults whose belief is shown."""
BEST = "It has ended: which was your best look?"
SKIP = "Which step would you leave out?"
NONE = AnswerPart("0", "none of them")
RULE = Field("rule", "One rule for the next engine, in your own words", hint="look at ... before ...")
RULE_TOLD = "What would you tell somebody who stands before such an engine tomorrow? One sentence is enough."
NEW_CASE = "A new case: what is wrong with it?"
NO_CASE = "This knowledge has no other case with the same complaint."
OWN = "your marks, for nobody but you"
SAYS_LITTLE = "Looks were made for you, so these say little yet."


def debrief(practice: Practice, found: Debrief, after: str = "", *, marks: bool = True) -> Page:
    """Say all that there is to say about a practice: the learner's own view first, marks last.

    `after` says in a line what to practise next. Without `marks` it is for somebody else than the learner.
    """
    return grouped(own_way(practice, found), at_last(practice, found, after, marks=marks))


def own_way(practice: Practice, found: Debrief) -> Page:
    """Say what the learner held of it, what it was, and the own way beside the program's."""
    known = practice.knowledge
    return _titled(
        ("what you said of it", _said(practice, found)),
        ("what it was", (*_was(known, found), *were_off(practice.begun.turned))),
        ("your way, beside the program's", _way(practice, found)),
        ("the first wasteful step", _waste(found)),
        ("belief over time", (_beliefs(known, found), Paragraph("* was wrong"))),
        ("minutes", _took(found)),
    )


def at_last(practice: Practice, found: Debrief, after: str = "", *, marks: bool = True) -> Page:
    """Say the learner's own rule, what to practise next, and the marks."""
    rule = practice.said(Ruled)
    return _titled(
        ("your rule", (Paragraph(rule.rule),) if rule is not None else ()),
        ("one fault to try next", (Paragraph(capital(after)),) if after else ()),
        (f"{OWN}: {found.score.points} of 100", (*_not_all_own(practice), *_points(found)) if marks else ()),
    )


def _titled(*groups: tuple[str, Page]) -> Page:
    return grouped(*((Heading(title), *said) for title, said in groups if said))


def best_looks(practice: Practice) -> list[Choice]:
    """Return the looks that were made, by the number of the step, to name the best of them."""
    return [*_steps(practice, looks=True), *choices((NONE,))]


def to_skip(practice: Practice) -> list[Choice]:
    """Return the steps that were made, by number, to name one that could be left out."""
    return [*_steps(practice, looks=False), *choices((NONE,))]


def _steps(practice: Practice, *, looks: bool) -> list[Choice]:
    return [
        Choice(str(number), does(practice.knowledge, line.event))
        for number, line in enumerate(practice.lines, 1)
        if number > practice.begun.shown
        and (isinstance(line.event, Looked) or (not looks and not isinstance(line.event, GaveUp)))
    ]


def _said(practice: Practice, found: Debrief) -> Page:
    """Say what the learner named beforehand, beside what the program holds of the same steps."""
    said = practice.said(Reflected)
    if said is None:
        return ()
    told: list[Line] = []
    if 1 <= said.best <= len(found.steps):
        best = found.steps[said.best - 1]
        agreed = f"There the program: {best.program}" if best.program else "The program would have made it too"
        told.append(Line(f"Your best look: step {best.number}, {best.did}. {agreed}.", ""))
    if 1 <= said.skip <= len(found.steps):
        skip = found.steps[said.skip - 1]
        held = skip.remark or ("The program would have done it too." if not skip.program else "It did no harm.")
        told.append(Line(f"You would leave out: step {skip.number}, {skip.did}. {held}", ""))
    elif said.skip == 0:
        told.append(Line("You would leave out none of it.", ""))
    return tuple(told)


def worked_example(practice: Practice) -> Page:
    """Tell how the program itself goes about an engine, step by step, and why."""
    known = practice.knowledge
    told: list[Line] = []
    for number, line in enumerate(practice.lines, 1):
        saw = f": {said(practice, line)}" if isinstance(line.event, Looked) else ""
        told.append(Line(f"{does(known, line.event)}{saw}.", f"{number:2}"))
        if why := program_why(line):
            told.append(Line(why, "    why:"))
    was = ", ".join(known.faults[one.fault].name for one in practice.begun.troubles)
    owner: Page = (
        Heading(known.symptoms[practice.begun.symptom].name),
        *(Paragraph(line) for line in practice.story()),
    )
    return (
        Paragraph(EXAMPLE, "strong"),
        *owner,
        Heading("what the program does, and why"),
        *told,
        Line(was, "it was:"),
    )


def new_case(case: NewCase) -> Page:
    """Tell a new case: what its owner says, and what was seen; of what was looked at again, the last word."""
    practice = case.practice
    known = practice.knowledge
    seen = {line.event.check: line for line in practice.lines if isinstance(line.event, Looked)}
    told = (Line(f"{known.checks[check].name}: {said(practice, line)}") for check, line in seen.items())
    return (*(Paragraph(line) for line in practice.story()), Heading("what was seen"), *told)


def said(practice: Practice, line: LessonLine) -> str:
    """Return what a look showed, in words."""
    if not line.answer or not isinstance(line.event, Looked):
        return "nobody could tell"
    return say(practice.knowledge.checks[line.event.check].answers[line.answer].say, practice.knowledge)


def case_choices(case: NewCase) -> list[Choice]:
    """Return the faults of which one is what is wrong in a new case."""
    return [Choice(fault, case.practice.knowledge.faults[fault].name) for fault in case.offered]


def case_named(known: Knowledge, named: NamedInCase) -> Page:
    """Say whether the right fault was named in a new case."""
    right = known.faults[named.right].name
    if named.fault == named.right:
        return (Line(f"{capital(right)}.", "✓ yes:"),)
    return (Line(f"{capital(known.faults[named.fault].name)}.", "✗ no:"), Line(f"{capital(right)}.", "it was:"))


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


def _not_all_own(practice: Practice) -> Page:
    return (Paragraph(SAYS_LITTLE),) if practice.begun.shown else ()


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


def _way(practice: Practice, found: Debrief) -> Page:
    """Say what the learner did, step by step; what was done beforehand, in a line."""
    shown = practice.begun.shown
    done, which = ("This was", " 1") if shown == 1 else ("These were", f"1-{shown}")
    first: Page = (Line(f"{done} done for you.", which),) if shown else ()
    return (*first, *(line for step in found.steps[shown:] for line in _step(step)))


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


def replies(practice: Practice) -> list[Choice]:
    """Return what may be replied to the question of a practice's lesson, shuffled."""
    known = practice.knowledge
    answers = known.lessons[practice.begun.lesson].question.answers
    return [Choice(key, say(answers[key].say, known)) for key in shuffled(practice, answers)]


def replied(known: Knowledge, found: Lesson, reply: str) -> Page:
    """Say whether a reply to a lesson's question is right, and what would be better."""

    def because(one: str) -> str:
        return f"{say(answers[one].say, known)}. {say(answers[one].because, known)}"

    answers = found.question.answers
    if answers[reply].right:
        return (Line(because(reply), "✓ yes:"),)
    return (Line(because(reply), "✗ no:"), Line(because(found.question.right), "better:"))
