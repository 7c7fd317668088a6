"""What a page is made of. Values only: no front end, no width and no colour is known here.

A page is a tuple of parts, read from top to bottom. The screens render it as text for a width, the plain walk as lines;
paper and phones can do the same with no new sentence.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Literal, NamedTuple

from msgspec import Struct

from diagnose.graph.model.shelf import Level
from diagnose.graph.wording import capital
from diagnose.reason.view import Choice, Turn

if TYPE_CHECKING:  # no first screen waits for the tune bench
    from diagnose.tune.slope import Logged, Slope
    from diagnose.tune.trend import Point

Tone = Literal["", "lead", "strong", "quiet", "urgent", "warning"]
"""How much a text matters; a front end makes it stand out, bold, dim or loud."""


class Heading(Struct, frozen=True):
    """Names what follows."""

    text: str


class Paragraph(Struct, frozen=True):
    """A text that stands by itself."""

    text: str
    tone: Tone = ""


class Line(Struct, frozen=True):
    """A line behind its mark: ``✓``, ``!``, ``?``, ``→``, ``·`` or a few words that introduce it."""

    text: str
    mark: str = "·"
    tone: Tone = ""


class HowTo(Struct, frozen=True):
    """One thing that the hands do; with a number where the order is said."""

    text: str
    number: int = 0


class CautionPart(Struct, frozen=True):
    """A hazard: its name, what to do about it, how bad it is, and how many more there are that are not shown."""

    name: str
    text: str = ""
    level: Level = "caution"
    more: int = 0

    @property
    def head(self) -> str:
        """Its level, its name, and how many more there are; a front end says which key opens them."""
        return f"{capital(self.level)}: {self.name}{f' · {self.more} more' if self.more else ''}"


class AnswerPart(Struct, frozen=True):
    """What can be said to the page: `id` goes back to the walk."""

    id: str
    text: str
    means: str = ""


class DrawingPart(Struct, frozen=True):
    """A picture in text, and the same in words for where it does not fit or can't be seen."""

    picture: str
    words: str


class Faces(Struct, frozen=True):
    """Screws as twelve-hour faces, and in words what they show."""

    turns: tuple[Turn, ...]
    words: tuple[str, ...]


class Dial(Struct, frozen=True):
    """A screw as a twelve-hour face: the hours out at which it stands, None where nobody counted, and other marks."""

    name: str
    hours: float | None
    marks: tuple[tuple[float, str], ...] = ()
    words: str = ""
    """The same in words."""
    below: tuple[str, ...] = ()
    """The same in a few words, for below the face."""


class Dials(Struct, frozen=True):
    """Screws as faces, and what the faces mean to those who see them."""

    dials: tuple[Dial, ...]
    legend: str
    """Where the hour that the slot points to stands in brackets."""
    legend_of_hands: str
    """Where it is drawn as a hand."""


class Trend(Struct, frozen=True):
    """How a screw moved, as a line under its heading. What matters of it is said in words elsewhere."""

    heading: str
    points: tuple[Point, ...]


class Fit(Struct, frozen=True):
    """Good tunes with the line through them, and what the signs mean to those who see them."""

    tunes: tuple[Logged, ...]
    line: Slope
    legend: str


class Bar(Struct, frozen=True):
    """A share of one, as a bar, with what it is of, and how likely that is in words."""

    text: str
    share: float
    likely: str


class Belief(Struct, frozen=True):
    """How strongly something was believed in after each step, and from which step on it was put right; 0 is never."""

    name: str
    wrong: bool
    shares: tuple[float, ...]
    right_from: int = 0


class Beliefs(Struct, frozen=True):
    """Beliefs over the same steps, one below the other."""

    rows: tuple[Belief, ...]


class Table(Struct, frozen=True):
    """Rows of cells; the first row names the columns where `head` says so."""

    rows: tuple[tuple[str, ...], ...]
    head: bool = False


class Tree(Struct, frozen=True):
    """Lines that follow one another below a root."""

    root: str
    lines: tuple[Line, ...]


class Timed(Struct, frozen=True):
    """Something to do, and how long it takes."""

    text: str
    time: str


class Term(Struct, frozen=True):
    """A word, and what it means."""

    name: str
    text: str


class Field(Struct, frozen=True):
    """A number or a word that may be typed, with an example; its text is left out below a heading that asks."""

    id: str
    text: str = ""
    unit: str = ""
    hint: str = ""

    @property
    def said(self) -> str:
        """All of it in one line."""
        asked = f"{self.text} ({self.unit})" if self.unit else self.text
        return ": ".join(filter(None, (asked, self.hint)))


class PickPart(Struct, frozen=True):
    """A question with a few answers, of which one is always taken."""

    id: str
    text: str
    answers: tuple[AnswerPart, ...]


class Gap(Struct, frozen=True):
    """An empty line: what follows is another matter."""


TextPart = Heading | Paragraph | Line | HowTo | CautionPart | AnswerPart | Term | Gap
Shown = DrawingPart | Faces | Dials | Trend | Fit | Bar | Beliefs | Table | Tree | Timed
Part = TextPart | Shown | Field | PickPart
Page = tuple[Part, ...]


SAVE = "save"
"""The answer that keeps what a form holds."""


class FormPage(NamedTuple):
    """What is asked all at once, and what can be done with it."""

    heading: str
    asked: Page
    answers: tuple[AnswerPart, ...]


def trouble(why: str) -> Page:
    """Return why something can't be shown, if it can't, with a gap below it."""
    return (Line(why, "!", "urgent"), Gap()) if why else ()


def answers(choices: tuple[Choice, ...]) -> tuple[AnswerPart, ...]:
    """Return the choices of a step as parts."""
    return tuple(AnswerPart(choice.id, choice.say, choice.means) for choice in choices)


def choices(answers: Iterable[AnswerPart]) -> tuple[Choice, ...]:
    """Return the same as choices that a front end offers."""
    return tuple(Choice(answer.id, answer.text, answer.means) for answer in answers)


def grouped(*groups: Page) -> Page:
    """Return groups of parts with a gap between each; empty groups leave none."""
    found: list[Part] = []
    for group in groups:
        if group:
            found += [*([Gap()] if found else []), *group]
    return tuple(found)
