"""What is kept of a learner: a nickname, what was done in each practice, and its result. Nothing else is asked for.

Each learner has a stream ``practice/<nickname>`` in the journal: the events of one practice after another, each with
its result behind it. Where an earlier practice is gone on with, a line of its own says which one.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.graph.problem import did_you_mean
from diagnose.graph.wording import clean
from diagnose.practice.debrief import Debrief
from diagnose.practice.happenings import Begun, Hinted, NamedInCase, PracticeEvent, PracticeHappening, Replied
from diagnose.practice.hints import STRENGTHS
from diagnose.practice.lesson import Practice
from diagnose.record.deleting import delete_learner
from diagnose.record.journal import Journal, JournalError

PREFIX = "practice/"
LONGEST = 24
"""Characters of a nickname."""


class Scored(PracticeHappening, frozen=True):
    """What a practice came to."""

    at: float
    """Seconds since the epoch."""
    symptom: str
    faults: tuple[str, ...]
    lesson: str
    ended: str
    points: int
    minutes: float
    program_minutes: float
    best_minutes: float
    reply: str = ""
    """The answer to the lesson's question."""
    hazards: int | None = None
    """Steps by which something was risked; None in results of before this was counted."""
    early: int | None = None
    """Screws that were turned too early; None likewise."""
    hints: int | None = None
    worked: bool = False
    """The last hint was asked for, which shows the step."""
    earned: tuple[str, ...] = ()
    """Faults that were put right after something had shown them."""
    shown: int = 0
    """Steps that the program did first."""
    group: str = ""
    """The class."""
    case: bool | None = None
    """The question on a new case was answered rightly; None where it was not answered."""


class WentOn(PracticeHappening, frozen=True):
    """What follows belongs to an earlier practice of this learner: the one with this number, from 0."""

    number: int


class LeftPractice(Struct, frozen=True):
    """A practice without a result: it can be gone on with."""

    events: tuple[PracticeEvent, ...]
    at: float
    """When the last of it was stored, in seconds since the epoch."""

    @property
    def begun(self) -> Begun:
        """How it began."""
        assert isinstance(self.events[0], Begun)
        return self.events[0]


class Unfinished(Struct, frozen=True):
    """What a learner has left unfinished."""

    left: tuple[LeftPractice, ...] = ()
    """What can be gone on with, the newest first."""
    told: str = ""
    """Why what the learner did last can't be; nothing when it can, or has a result."""


class LearnerResult(Struct, frozen=True):
    """A result with its learner."""

    learner: str
    scored: Scored


class KeptPractice(Struct, frozen=True):
    """One practice as it is kept, with its result if it has one; times in seconds since the epoch."""

    learner: str
    events: tuple[PracticeEvent, ...]
    scored: Scored | None
    begun_at: float
    at: float

    @property
    def begun(self) -> Begun:
        """How it began."""
        assert isinstance(self.events[0], Begun)
        return self.events[0]


@dataclass
class _Kept:
    """One practice, as it is folded out of a learner's stream."""

    number: int
    events: list[PracticeEvent] = field(default_factory=list)
    scored: Scored | None = None
    first: int = 0
    """The number in the stream of the first line of it."""
    last: int = 0
    """The number in the stream of the last line of it."""


Stored = PracticeEvent | Scored | WentOn
_decoder: msgspec.json.Decoder[Stored] = msgspec.json.Decoder(Stored)


def nickname(text: str) -> str:
    """Return a nickname fit for lists; raises `DiagnoseError` with the reason when it is none."""
    name = unicodedata.normalize("NFC", " ".join(text.split()))
    if not name:
        raise DiagnoseError("a nickname has at least one letter")
    if len(name) > LONGEST:
        raise DiagnoseError(f"the nickname '{clean(name[:LONGEST])}…' has {len(name)} characters; {LONGEST} at most")
    if not name.isprintable():
        raise DiagnoseError(
            f"the nickname '{clean(name)}' holds characters that can't be shown; use letters, digits and spaces"
        )
    return name


def keep(journal: Journal, learner: str, practice: Practice, from_event: int, at: float) -> None:
    """Store the events of a practice from number `from_event` on; `at` in seconds. Raises `JournalError`."""
    _append(journal, learner, practice, from_event, [], at)


def keep_result(journal: Journal, learner: str, practice: Practice, found: Debrief, at: float) -> Scored:
    """Store what a practice came to, and return it. Raises `JournalError`."""
    own = practice.lines[practice.begun.shown :]
    made = Scored(
        at=at,
        symptom=practice.begun.symptom,
        faults=found.faults,
        lesson=practice.begun.lesson,
        ended=practice.ended,
        points=found.score.points,
        minutes=round(practice.minutes, 1),
        program_minutes=round(found.program_minutes, 1),
        best_minutes=round(found.best_minutes, 1),
        reply=practice.reply,
        hazards=sum(bool(line.hazards) for line in own),
        early=sum(bool(line.early) for line in own),
        hints=sum(isinstance(line.event, Hinted) for line in practice.lines),
        worked=any(isinstance(line.event, Hinted) and line.event.strength == max(STRENGTHS) for line in practice.lines),
        earned=found.earned,
        shown=practice.begun.shown,
        group=practice.begun.group,
    )
    _append(journal, learner, practice, len(practice.events), [made], at)
    return made


def _append(
    journal: Journal, learner: str, practice: Practice, from_event: int, then: Sequence[Scored], at: float
) -> None:
    """Store what is new of a practice, and `then` behind it.

    Nothing but the events tells one practice from another. If none of those stored is what this one was before, as it
    could not be saved then or another window has gone on with it, all of it is stored as a practice of its own.
    """
    name = nickname(learner)
    stored = _read(journal, name)
    kept = _fold(stored)
    before = list(practice.events[:from_event])
    mine = next((one for one in kept if before and one.events == before), None)
    first: list[Stored] = [WentOn(mine.number)] if mine is not None and mine is not kept[0] else []
    events = practice.events[from_event if mine is not None else 0 :]
    bodies = [msgspec.json.encode(one).decode() for one in (*first, *events, *then)]
    journal.append(PREFIX + name, len(stored), bodies, at)


def learners(journal: Journal) -> list[str]:
    """Return the nicknames that are known, the newest last."""
    return [stream.name.removeprefix(PREFIX) for stream in journal.streams(PREFIX)]


def forget(journal: Journal, learner: str, at: float) -> int:
    """Delete all that is kept of a learner, for good; return how many events that were. Raises `DiagnoseError`."""
    name = nickname(learner)
    if name not in (known := learners(journal)):
        raise DiagnoseError(f"nothing is kept of '{name}'{did_you_mean(name, known)}")
    return delete_learner(journal, [PREFIX + name], at)


def results(journal: Journal, learner: str = "") -> list[LearnerResult]:
    """Return the results of a learner, or of all; raises `JournalError` for a record that is none."""
    names = [nickname(learner)] if learner else learners(journal)
    found = [
        LearnerResult(name, one.scored)
        for name in names
        for one in _fold(_read(journal, name))
        if one.scored is not None
    ]
    return sorted(found, key=lambda one: one.scored.at)


def practices(journal: Journal, learner: str, knowledge: Knowledge) -> list[Practice]:
    """Return the practices of a learner, oldest first, to be looked through step by step."""
    kept = sorted(_fold(_read(journal, nickname(learner))), key=lambda one: one.number)
    return [Practice(knowledge, one.events) for one in kept]


def kept_practices(journal: Journal, learner: str) -> list[KeptPractice]:
    """Return what is kept of a learner's practices, oldest first; nothing is folded for it."""
    name = nickname(learner)
    times = journal.times(PREFIX + name)
    kept = sorted(_fold(_read(journal, name)), key=lambda one: one.number)
    return [KeptPractice(name, tuple(one.events), one.scored, times[one.first], times[one.last]) for one in kept]


def unfinished(journal: Journal, learner: str, knowledge: Knowledge) -> Unfinished:
    """Return the practices of a learner that have no result yet. Nothing is folded that is not gone on with.

    Raises `JournalError` for a record that is none.
    """
    name = nickname(learner)
    times = journal.times(PREFIX + name)
    kept = _fold(_read(journal, name))
    found = [LeftPractice(tuple(one.events), times[one.last]) for one in kept if one.scored is None]
    why = _not_now(found[0].begun, knowledge) if found and kept[0].scored is None else ""
    return Unfinished(
        tuple(one for one in found if not _not_now(one.begun, knowledge)),
        f"The practice that was left last can't be gone on with: {why}. It is kept all the same." if why else "",
    )


def _not_now(begun: Begun, knowledge: Knowledge) -> str:
    """Return why a practice can't be gone on with; nothing when it can."""
    if begun.lesson and begun.lesson not in knowledge.lessons:
        return f"the lesson '{begun.lesson}' is gone"
    return "" if begun.knowledge == knowledge.digest else "the knowledge has changed since"


def resumed(knowledge: Knowledge, left: LeftPractice) -> Practice:
    """Return a practice exactly as it was left; raises `DiagnoseError` when it can't be folded any more."""
    practice = Practice(knowledge, left.events)
    try:
        _ = practice.lines  # all of it, here
    except (ValueError, KeyError, IndexError) as error:  # left with another version of the simulated engine
        raise DiagnoseError("this practice can't be gone on with: the simulated engine has changed since") from error
    return practice


def _fold(stored: Sequence[Stored]) -> list[_Kept]:
    """Return the practices of a stream, the one that was gone on with last first."""
    kept: list[_Kept] = []
    now: _Kept | None = None
    for number, one in enumerate(stored):
        match one:
            case Begun():
                now = _Kept(len(kept), [one], first=number)
                kept.append(now)
            case WentOn():
                if not 0 <= one.number < len(kept):
                    raise JournalError(f"the journal holds a practice that can't be read: there is no {one.number}")
                now = kept[one.number]
            case Scored() if now is not None:
                now.scored = one
            case _ if now is not None and not isinstance(one, Scored):
                now.events.append(one)
                if isinstance(one, Replied) and now.scored is not None:  # the question came after the result
                    now.scored = replace(now.scored, reply=one.answer)
                if isinstance(one, NamedInCase) and now.scored is not None:
                    now.scored = replace(now.scored, case=one.fault == one.right)
        if now is not None:
            now.last = number
    return sorted(kept, key=lambda one: -one.last)


def _read(journal: Journal, learner: str) -> list[Stored]:
    try:
        return [_decoder.decode(body) for body in journal.read(PREFIX + learner)]
    except msgspec.MsgspecError as error:
        raise JournalError(f"the journal holds a practice that can't be read: {error}") from error


def right(knowledge: Knowledge, scored: Scored) -> bool | None:
    """Say whether the lesson's question was answered rightly; None where there was none, or no answer."""
    lesson = knowledge.lessons.get(scored.lesson)
    return None if lesson is None or not scored.reply else scored.reply == lesson.question.right
