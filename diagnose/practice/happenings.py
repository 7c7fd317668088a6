"""What can happen in a practice. Nothing else is stored: all that is shown of it is worked out from these."""

from __future__ import annotations

from msgspec import Struct

from diagnose.graph.model import Screw
from diagnose.practice.engine import MadeWrong


class PracticeHappening(Struct, frozen=True, tag_field="kind", tag=str.lower, omit_defaults=True):
    """The base of all of them."""


class Begun(PracticeHappening, frozen=True):
    """A practice began at this engine: the seed of the sound one, and what was made wrong with it."""

    seed: str
    symptom: str
    troubles: tuple[MadeWrong, ...]
    recorded: bool = True
    """Its settings are written down, so that a person can go back to them."""
    lesson: str = ""
    knowledge: str = ""
    """The digest of the knowledge."""
    turned: tuple[tuple[Screw, float], ...] = ()
    """Signed hours that somebody has turned screws off the record: richer (or in) is positive."""
    owner: str = ""
    """What a mentor lets the owner say besides."""
    group: str = ""
    """The class that works at it; empty for somebody alone."""
    seat: int = 0
    """The number of the seat in the class, from 1."""
    shown: int = 0
    """How many of the first steps the program did, to show how."""


class Looked(PracticeHappening, frozen=True):
    """A check was made; `expected` is the answer that the learner said would come."""

    check: str
    expected: str = ""


class MendedPart(PracticeHappening, frozen=True, tag="mended"):
    """A fault was put right, whether or not it was there."""

    fault: str


class TurnedScrew(PracticeHappening, frozen=True, tag="turned"):
    """A screw was turned by signed hours: richer (or in) is positive."""

    screw: Screw
    hours: float
    stop: float = 0.0
    """Hours that the idle stop follows the low needle."""


class SetBack(PracticeHappening, frozen=True, tag="wentback"):
    """The screws went back to the record, the needles an hour to the rich side."""


class Ran(PracticeHappening, frozen=True):
    """The engine was run until it was warm, and its head was read."""

    laps: bool = False
    """It was driven a few fast laps for it, and the head was read as it came in; else it was warmed on the stand."""


class Tried(PracticeHappening, frozen=True):
    """The symptom was looked for again."""


class Hinted(PracticeHappening, frozen=True):
    """A hint was asked for: 1 which area, 2 which check, 3 the step itself, with its reason and what it shows."""

    strength: int
    guess: str = ""
    """The area in which the learner looks for it; empty when that was left open."""


class MadeOfIt(PracticeHappening, frozen=True):
    """The learner said what the last look tells: an area, that all is well there, or nothing yet."""

    about: str


class GaveUp(PracticeHappening, frozen=True):
    """The learner stopped."""


class Replied(PracticeHappening, frozen=True):
    """The question at the end of a lesson was answered."""

    answer: str


class Reflected(PracticeHappening, frozen=True):
    """Before anything was told, the learner named the own best step and the one to skip, by number; 0 is none."""

    best: int
    skip: int


class Ruled(PracticeHappening, frozen=True):
    """The learner put one rule in own words."""

    rule: str


class NamedInCase(PracticeHappening, frozen=True):
    """The learner named what is wrong in a new case; `right` is what was."""

    fault: str
    right: str


Spoken = MadeOfIt | Replied | Reflected | Ruled | NamedInCase
"""What a learner says. Nothing is done to the engine by it, and it takes no time."""
PracticeEvent = Begun | Looked | MendedPart | TurnedScrew | SetBack | Ran | Tried | Hinted | GaveUp | Spoken
