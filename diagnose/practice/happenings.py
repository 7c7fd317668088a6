"""What can happen in a practice. Nothing else is stored: all that is shown of it is worked out from these."""

from __future__ import annotations

from msgspec import Struct

from diagnose.graph.model import Screw
from diagnose.practice.engine import Trouble


class Happening(Struct, frozen=True, tag_field="kind", tag=str.lower, omit_defaults=True):
    """The base of all of them."""


class Begun(Happening, frozen=True):
    """A practice began at this engine: the seed of the sound one, and what was made wrong with it."""

    seed: str
    symptom: str
    troubles: tuple[Trouble, ...]
    recorded: bool = True
    """Its settings are written down, so that a person can go back to them."""
    lesson: str = ""
    knowledge: str = ""
    """The digest of the knowledge."""


class Looked(Happening, frozen=True):
    """A check was made; `expected` is the answer that the learner said would come."""

    check: str
    expected: str = ""


class Mended(Happening, frozen=True):
    """A fault was put right, whether or not it was there."""

    fault: str


class Turned(Happening, frozen=True):
    """A screw was turned by signed hours: richer (or in) is positive."""

    screw: Screw
    hours: float
    stop: float = 0.0
    """Hours that the idle stop follows the low needle."""


class WentBack(Happening, frozen=True):
    """The screws went back to the record, the needles an hour to the rich side."""


class Ran(Happening, frozen=True):
    """The engine was run on the stand until it was warm, and its head was read."""


class Tried(Happening, frozen=True):
    """The symptom was looked for again."""


class Hinted(Happening, frozen=True):
    """A hint was asked for: 1 which area, 2 which check, 3 what it shows."""

    strength: int


class GaveUp(Happening, frozen=True):
    """The learner stopped."""


class Replied(Happening, frozen=True):
    """The question at the end of a lesson was answered."""

    answer: str


Event = Begun | Looked | Mended | Turned | WentBack | Ran | Tried | Hinted | GaveUp | Replied
