"""A practice: who sits there, what was done and seen, and what there is to know before a step."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.graph.say import say
from diagnose.graph.wording import minutes
from diagnose.pages.dates import date_and_clock
from diagnose.pages.home import NOT_FINISHED
from diagnose.pages.parts import AnswerPart, Gap, Heading, Line, Page, Paragraph
from diagnose.pages.step import hazard
from diagnose.practice.debrief import does
from diagnose.practice.explain import areas
from diagnose.practice.happenings import GaveUp, Hinted, Looked, Ran, SetBack, Tried
from diagnose.practice.hints import COSTS, SAID
from diagnose.practice.lesson import LessonLine as Step
from diagnose.practice.lesson import Practice
from diagnose.practice.table import PracticeTable, Seat
from diagnose.reason.events import SKIPPED
from diagnose.reason.view import Choice
from diagnose.workshop.learners import LeftPractice

OFF = "Its engine is off. Press r before it is started."
REAL = (
    "Before it runs, look at the two guards: the barrel rests on its stop, and the fail-safe shuts it.",
    "Of the real cars at this table only one engine runs at a time.",
)
EXPECT = "what do you expect to see?"
BEFORE_HINT: Page = (Paragraph("A hint takes points off. The strongest one of each fault counts.", "strong"),)
BEFORE_END: Page = (
    Paragraph("Stop here, and see what it was? What you have done so far is looked at step by step.", "strong"),
)
BEGIN_NEW = "begin the new one"
WHICH_LOOK = "What do you look at?"
WHICH_MEND = "What do you mend?"
WHICH_TURN = "Which screw, which way?"
WHICH_HINT = "How strong a hint?"
WHERE_FIRST = "Before a hint: where do you think it is?"
NO_IDEA = AnswerPart(SKIPPED, "I have no idea yet")
JUST_LOOK = AnswerPart(SKIPPED, "I don't know: just look")
END_FIRST = "The end of the work comes first, since all the looks are for it. Whenever it goes well, more is yours."
LOOKS_MADE = "This lesson is about the screws, so the looks that come before them are made."
YES, NO = "yes", "no"
GIVE_UP = "Give up?"
OR_GO_ON = (AnswerPart(YES, "stop here"), AnswerPart(NO, "go on"))


def heading(seat: Seat) -> str:
    """Return who sits there, how long it has taken, and at what."""
    if seat.practice is None:
        return " · ".join(filter(None, (seat.called, "real car", seat.place)))
    ended = f" · {seat.practice.ended}" if seat.practice.ended else ""
    return f"{seat.called} · {minutes(seat.practice.minutes)}{ended} · {seat.practice.variant.says()}"


def bench(practice: Practice) -> Page:
    """Say what came of the last step, what was done, and what the owner says."""
    known = practice.knowledge
    lesson = known.lessons.get(practice.begun.lesson)
    done: Page = ()
    if practice.lines:
        told = handed_over(practice) if len(practice.lines) == practice.begun.shown else came_of(practice.lines[-1])
        done = (*told, Gap(), *so_far(practice), Gap())
    return (
        Heading(known.symptoms[practice.complaint].name),
        *done,
        Heading("the owner says"),
        *([Paragraph(say(lesson.text, known))] if lesson else []),
        *(Paragraph(line) for line in practice.story()),
    )


def came_of(step: Step) -> Page:
    """Say what came of a step, what was dangerous about it first."""
    hazards = tuple(Line(hazard, "!", "warning") for hazard in step.hazards)
    return (*hazards, *(Paragraph(told, "" if number else "strong") for number, told in enumerate(step.told)))


def handed_over(practice: Practice) -> Page:
    """Say how many steps were done for the learner, and why; the rest is the learner's."""
    shown = practice.begun.shown
    steps = "The first step is done for you" if shown == 1 else f"The first {shown} steps are done for you"
    lesson = practice.knowledge.lessons.get(practice.begun.lesson)
    why = LOOKS_MADE if lesson is not None and lesson.looks_made else END_FIRST
    return (
        Paragraph(f"{steps}. From here on it is yours.", "strong"),
        Paragraph("Read below what was seen, and why each step was taken. What does it come to? What do you do next?"),
        Paragraph(why),
    )


def so_far(practice: Practice) -> Page:
    """Say what was done, and in a line what was seen; of what was done for the learner, why."""
    done: list[Line | Paragraph] = []
    for number, line in enumerate(practice.lines, 1):
        said = line.came if isinstance(line.event, (Looked, Ran, Tried, Hinted)) else ""
        done.append(Line(f"{does(practice.knowledge, line.event)}. {said}".strip(), f"{number:2}"))
        if number <= practice.begun.shown and (why := program_why(line)):
            done.append(Line(why, "    why:"))
    return (Heading("so far"), *(done or [Paragraph("Nothing yet.")]))


def program_why(line: Step) -> str:
    """Return why the program took a step; nothing where it has no reason to give."""
    step = line.before.step(line.minutes * 60)
    return step.why if step is not None else ""


def look(practice: Practice, name: str) -> Page:
    """Say how a look is done, and what to beware of."""
    known, check = practice.knowledge, practice.scope.checks[name]
    return (
        Paragraph(say(check.ask, known, practice.variant), "strong"),
        *(Line(say(line, known, practice.variant)) for line in check.how),
        *(Line(known.cautions[caution].name, "!") for caution in check.cautions),
    )


def what_to_do(practice: Practice) -> str:
    """Say how long it has taken, and ask what is done."""
    return f"{minutes(practice.minutes)} on the clock. What do you do?"


def to_do(known: Knowledge) -> tuple[AnswerPart, ...]:
    """Return what hands can do."""
    return (
        AnswerPart("look", "look at something"),
        AnswerPart("mend", "mend something"),
        AnswerPart("turn", "turn a screw"),
        AnswerPart("run", does(known, Ran())),
        AnswerPart("laps", does(known, Ran(laps=True))),
        AnswerPart("try", does(known, Tried())),
        AnswerPart("back", does(known, SetBack())),
        AnswerPart("hint", "a hint"),
        AnswerPart("stop", does(known, GaveUp())),
    )


def beware(practice: Practice, fault: str) -> Page:
    """Name the worst of what there is to beware of at a mend, as at a real engine."""
    return hazard(practice.scope.faults[fault].mend.cautions, practice.knowledge)


def look_name(practice: Practice, name: str) -> str:
    """Name a look, with its minutes."""
    return f"{practice.scope.checks[name].name}, {minutes(practice.scope.checks[name].minutes)}"


def mend_name(practice: Practice, fault: str) -> str:
    """Name what is mended, with its minutes."""
    return f"{practice.scope.faults[fault].name}, {minutes(practice.scope.faults[fault].mend.minutes)}"


def expected(practice: Practice, name: str) -> list[Choice]:
    """Return what a look may show."""
    answers = practice.scope.checks[name].answers.items()
    return [Choice(key, say(answer.say, practice.knowledge, practice.variant)) for key, answer in answers]


def hints() -> list[Choice]:
    """Return the hints, the weakest first, and what each costs."""
    return [Choice(str(n), f"{said}: it costs {COSTS[n]} points") for n, said in SAID.items()]


def guesses(practice: Practice) -> list[Choice]:
    """Return the areas in which a learner may look for it, asked before a hint."""
    return [Choice(area, area) for area in areas(practice.scope)]


def unfinished_by(nickname: str) -> str:
    """Return what stands above the practices that a learner has left."""
    return f"{nickname}: {NOT_FINISHED}"


def left_at(known: Knowledge, left: LeftPractice) -> str:
    """Return in a few words what was left, and when: never what is wrong with the engine."""
    lesson = known.lessons.get(left.begun.lesson)
    name = lesson.name if lesson else known.symptoms[left.begun.symptom].name
    steps = len(left.events) - 1
    return f"{name} · {steps} {'step' if steps == 1 else 'steps'} · {date_and_clock(left.at)}"


def unfinished(more: int) -> Page:
    """Ask whether to go on with what was left; `more` were left before what is offered."""
    older = (Paragraph(f"There are {more} more, left before these."),) if more else ()
    return (Paragraph("Go on with what you left?", "strong"), Paragraph("You find it exactly as it was."), *older)


def real_car(table: PracticeTable) -> Page:
    """Say what there is to know of the real car whose turn it is: what has to be done now first."""
    seat, beside = table.seat, table.beside
    if seat is None:
        return ()
    shown: Page
    if seat.waits and beside is not None:
        number = table.seats.index(beside) + 1
        waits = f"The next step runs this engine, and that of {beside.called} is running. Only one runs at a time."
        stop = f"Stop that one first: press {number}, then r. Then come back here, and press enter."
        shown = (Line(waits, "!", "warning"), Line(stop, "!", "warning"))
    elif seat.waits:
        shown = (Paragraph("No other engine is running now. Press enter to go on.", "strong"),)
    elif seat.outing:
        shown = (Paragraph(f"{seat.place}. Press enter to go on.", "strong"),)
    else:
        ended = (Paragraph(f"The walk has ended: {seat.place}."),) if seat.place else ()
        shown = (*ended, Paragraph("Press enter to say what it does.", "strong"))
    running = "Its engine is running. Press r once it has stopped." if seat.running else OFF
    return (*shown, *(Paragraph(line) for line in (running, *REAL)))
