"""What texts and proofs look up: facts, words, cautions, drawings, and generic settings to start from."""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from msgspec import Meta, field

from diagnose.graph.model.base import BenchState, Grounding, Model, Name, Number, Only, Screw, Short, Text

LengthUnit = Literal["mm", "cm", "m"]
TimeUnit = Literal["s", "min", "hours", "months"]
FactUnit = Literal["", "%", "times", "turns", "°C", "°F", TimeUnit, LengthUnit, "ml", "g", "bar", "psi", "rpm", "V"]


class Fact(Model, frozen=True):
    """A number, its unit, and where it comes from."""

    unit: FactUnit
    provenance: Literal["published", "common practice, no source", "from memory", "judgement, unchecked"]
    value: float | None = None
    range: tuple[float, float] | None = None
    source: Text | None = None
    note: Text | None = None


class Word(Model, frozen=True):
    """A term of the trade, explained."""

    say: Text
    also: tuple[str, ...] = ()
    """Other names of it that stand in texts."""
    people_say: tuple[Short, ...] = field(default=(), name="people say")
    """What people call it who type a search; no text does."""
    guarded: bool = False
    """True for a part that the throttle hangs on: a mend that takes it off makes both guards owed again."""
    thing: bool = False
    """True where its name is a verb or an everyday word as well: in a text it is meant only behind an article."""
    everyday: bool = False
    """True where nearly everybody knows the thing: one step at a time it is explained only to who asks."""


class Alike(Model, frozen=True):
    """Everyday words that mean the same as the entry's name, for who types a search."""

    people_say: Annotated[tuple[Short, ...], Meta(min_length=1)] = field(name="people say")


class Always(Model, frozen=True):
    """What is so whatever else is written: the labels of faults and answers are held against it, both ways."""

    why: Text
    first_look: tuple[Name, ...] = field(default=(), name="first look")
    """The faults whose first look is owed whatever the symptom."""
    grounds: Grounding | None = None
    """What these answers find; no engine runs while it is open."""
    answers: dict[Name, tuple[Name, ...]] = {}
    """The answers of each check that ground it."""


class Owed(Model, frozen=True):
    """Where a caution must be shown."""

    states: tuple[BenchState, ...] = ()
    tools: tuple[Short, ...] = ()


Level = Literal["warning", "caution", "notice"]
LEVELS: tuple[Level, ...] = get_args(Level)
"""How bad it can get: harm that lasts; what heals, or a ruined engine; a nuisance that hurts nobody."""


class Caution(Model, frozen=True):
    """A hazard, and what to do about it. `now` makes it part of the something-is-wrong page."""

    name: Short
    say: Text
    level: Level = "caution"
    act: tuple[Name, ...] = ()
    """Words of the act that keeps one safe: one of them stands in the steps of whatever lists the hazard."""
    now: tuple[Text, ...] = ()
    owed: Owed = Owed()


class Drawing(Model, frozen=True):
    """A small picture in text, at most 40 columns, and the same in words."""

    picture: str
    words: Text
    apart: tuple[Name, ...] = ()
    """The checks of which it shows the answers apart."""


class StartSettings(Model, frozen=True):
    """A generic place to start from, when an engine has no record."""

    name: Short
    only: Only
    turns: dict[Screw, Number]
    say: Text
    sits: dict[Screw, Text] = {}
    """Where each screw sits, in words."""
    where: Name | None = None
    """The drawing that shows where its screws sit."""
