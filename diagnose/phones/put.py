"""What one page of a phone puts: a heading, parts to read, and what can be tapped. Values only."""

from __future__ import annotations

from msgspec import Struct

from diagnose.pages.parts import AnswerPart, Page


class Tap(Struct, frozen=True):
    """Opens a page, and changes nothing."""

    to: str
    text: str
    means: str = ""


class Sent(Struct, frozen=True):
    """A form: what it does, what it is about, and how it is answered."""

    do: str
    answers: tuple[AnswerPart | Tap, ...] = ()
    about: str = ""
    """The step, or the question."""
    several: str = ""
    """Where more than one can be true: what stands on the button that sends what is ticked."""
    doubt: bool = False
    """One can say that one is not quite sure."""
    field: str = ""
    """What a field asks for that is typed into; its value is sent without an answer."""
    hint: str = ""
    longest: int = 20
    """Signs that are typed at most."""
    number: bool = False
    send: str = ""


class Put(Struct, frozen=True):
    """One page of a walk."""

    heading: str
    text: Page = ()
    forms: tuple[Sent, ...] = ()
    more: tuple[Tap, ...] = ()
    over: str = ""
    """A quiet line above the heading."""
    told: str = ""
    """What went wrong with what was sent."""
    home: bool = False
    """The way to the first page is offered."""
    steps: bool = False
    """It stands at a step: taking back and ending are offered."""
