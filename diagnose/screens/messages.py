"""What a person did, as pages say it: plain values. `of` names the flow that answers."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

from msgspec import Struct

from diagnose.reason.events import Event

if TYPE_CHECKING:
    from diagnose.practice.happenings import Begun
    from diagnose.record.engines import Engine
    from diagnose.tune.needles import Tune
    from diagnose.tune.typed import TypedDay
    from diagnose.tune.well import Card
    from diagnose.tune.window import Window

Of = Literal["read", "walk", "lead", "tune", "practise", "teach", "cars", "car", "outings"]


class PageWanted(Struct, frozen=True):
    """A key was pressed that opens a page, or does what needs no more words; for an engine, where it is about one."""

    of: Of
    what: str
    engine: Engine | None = None


class OfWalk(Struct, frozen=True):
    """What is said of a walk."""

    of: ClassVar[Of] = "walk"


class WalkHappened(OfWalk, frozen=True):
    """Something happened on the walk: it is to be stored, and then the walk moves on."""

    event: Event


class Picked(OfWalk, frozen=True):
    """A symptom was chosen: begin a walk."""

    symptom: str


class Saw(OfWalk, frozen=True):
    """A look was made unasked, before any symptom was chosen; any of them, where none is named."""

    check: str = ""


class Resumed(OfWalk, frozen=True):
    """An open outing was chosen: go on with it."""

    outing: str


class Closed(OfWalk, frozen=True):
    """An open outing is to be stopped where it stands; one that can't be shown is only put away."""

    outing: str
    unread: bool = False


class Read(OfWalk, frozen=True):
    """These cautions were read."""

    cautions: tuple[str, ...]


class Readied(OfWalk, frozen=True):
    """One of the three things is as it must be before the engine runs."""

    name: str


class OfTune(Struct, frozen=True):
    """What is said of the tune: it is to be stored, and then the page is told (`Page.stored`)."""

    of: ClassVar[Of] = "tune"


class DayNoted(OfTune, frozen=True):
    """The day and the fuel were typed, for an engine or (without a name) for none."""

    day: TypedDay
    engine: str


class CardMade(OfTune, frozen=True):
    """A well card was made for an engine."""

    engine: str
    card: Card


class WindowChosen(OfTune, frozen=True):
    """The window of an engine was chosen: its own, or (None) the general one."""

    engine: str
    window: Window | None


class TuneChosen(OfTune, frozen=True):
    """A tune was chosen to go back to."""

    engine: Engine
    tune: Tune


class OfPractice(Struct, frozen=True):
    """What is said at the practice bench."""

    of: ClassVar[Of] = "practise"


class PracticeLooked(OfPractice, frozen=True):
    """A check was chosen: look there."""

    check: str


class PracticeReplied(OfPractice, frozen=True):
    """The question of a lesson was answered."""

    answer: str


class TurnedTo(OfPractice, frozen=True):
    """The turn goes to another seat."""

    seat: int


class SatDown(Struct, frozen=True):
    """One of a class was chosen: it is their turn."""

    of: ClassVar[Of] = "teach"
    nickname: str


class SeatWanted(Struct, frozen=True):
    """A key was pressed about one of a class."""

    of: ClassVar[Of] = "teach"
    what: str
    nickname: str


class Opened(OfPractice, frozen=True):
    """The screens were opened at a practice, for a learner."""

    begun: Begun
    nickname: str


PageDeed = PageWanted | OfWalk | OfTune | OfPractice | SatDown | SeatWanted
