"""What is kept of a learner: a nickname, what was done in each practice, and its result. Nothing else is asked for.

Each learner has a stream ``practice/<nickname>`` in the journal: the events of one practice after another, each with
its result behind it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.practice.debrief import Debrief
from diagnose.practice.happenings import Begun, Event, Happening, Replied, to_json
from diagnose.practice.lesson import Practice
from diagnose.record.journal import Journal, JournalError

PREFIX = "practice/"
LONGEST = 24
"""Characters of a nickname."""


class Scored(Happening, frozen=True):
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


class Result(Struct, frozen=True):
    """A result with its learner."""

    learner: str
    scored: Scored


_decoder: msgspec.json.Decoder[Event | Scored] = msgspec.json.Decoder(Event | Scored)


def nickname(text: str) -> str:
    """Return a nickname fit for lists; raises `DiagnoseError` with the reason when it is none."""
    name = unicodedata.normalize("NFC", " ".join(text.split()))
    if not name:
        raise DiagnoseError("a nickname has at least one letter")
    if len(name) > LONGEST:
        raise DiagnoseError(f"the nickname has {len(name)} characters; {LONGEST} at most")
    if not name.isprintable():
        raise DiagnoseError("the nickname holds characters that can't be shown; use letters, digits and spaces")
    return name


def keep(journal: Journal, learner: str, practice: Practice, from_event: int, at: float) -> None:
    """Store the events of a practice from number `from_event` on; `at` in seconds. Raises `JournalError`."""
    _append(journal, learner, [to_json(event) for event in practice.events[from_event:]], at)


def keep_result(journal: Journal, learner: str, practice: Practice, found: Debrief, at: float) -> Scored:
    """Store what a practice came to, and return it. Raises `JournalError`."""
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
    )
    _append(journal, learner, [msgspec.json.encode(made).decode()], at)
    return made


def _append(journal: Journal, learner: str, bodies: Sequence[str], at: float) -> None:
    stream = PREFIX + nickname(learner)
    journal.append(stream, len(journal.read(stream)), bodies, at)


def learners(journal: Journal) -> list[str]:
    """Return the nicknames that are known, the newest last."""
    return [stream.name.removeprefix(PREFIX) for stream in journal.streams(PREFIX)]


def results(journal: Journal, learner: str = "") -> list[Result]:
    """Return the results of a learner, or of all; raises `JournalError` for a record that is none."""
    names = [nickname(learner)] if learner else learners(journal)
    found: list[Result] = []
    for name in names:
        last: Scored | None = None
        for one in _read(journal, name):
            if isinstance(one, Scored):
                last = one
                found.append(Result(name, one))
            elif isinstance(one, Replied) and last is not None:  # the question came after the result
                last = replace(last, reply=one.answer)
                found[-1] = Result(name, last)
            elif isinstance(one, Begun):
                last = None
    return sorted(found, key=lambda one: one.scored.at)


def practices(journal: Journal, learner: str, knowledge: Knowledge) -> list[Practice]:
    """Return the practices of a learner, oldest first, to be looked through step by step."""
    found: list[list[Event]] = []
    for one in _read(journal, nickname(learner)):
        if isinstance(one, Begun):
            found.append([one])
        elif not isinstance(one, Scored) and found:
            found[-1].append(one)
    return [Practice(knowledge, events) for events in found]


def _read(journal: Journal, learner: str) -> list[Event | Scored]:
    try:
        return [_decoder.decode(body) for body in journal.read(PREFIX + learner)]
    except msgspec.MsgspecError as error:
        raise JournalError(f"the journal holds a practice that can't be read: {error}") from error


def right(knowledge: Knowledge, scored: Scored) -> bool | None:
    """Say whether the lesson's question was answered rightly; None where there was none, or no answer."""
    lesson = knowledge.lessons.get(scored.lesson)
    return None if lesson is None or not scored.reply else scored.reply == lesson.question.right
