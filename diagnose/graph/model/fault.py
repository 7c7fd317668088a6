"""What can be wrong, and how it is mended."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, field

from diagnose.graph.model.base import (
    FormName,
    Model,
    Name,
    Number,
    Only,
    Probability,
    Screw,
    Setting,
    Short,
    Steps,
    Text,
    Weight,
    Work,
)
from diagnose.graph.model.form import WHOLE, Form


class Mend(Work, frozen=True):
    """How a fault is put right. `back` marks going back to the record, `gap` setting the stop by its gap."""

    do: Steps
    minutes: Number
    tools: tuple[Short, ...] = ()
    parts: tuple[Short, ...] = ()
    """What may have to be renewed."""
    cautions: tuple[Name, ...] = ()
    after: tuple[Name, ...] = ()
    """The checks that must be healthy before it is offered: what they can show looks the same."""
    touches: tuple[Name, ...] = ()
    """The areas that it disturbs: what was answered about them is owed again."""
    where: Name | None = None
    """The drawing that shows where to work."""
    recheck: Text | None = None
    """What to look at again once it is done, before the engine runs."""
    stop_when: Text | None = field(default=None, name="stop when")
    """When to stop and get help."""
    back: bool = False
    retest_tells: bool = field(default=False, name="re-test tells")
    """True when trying it again is the answer: nothing that the mend has closed is opened once more to look."""


class Fault(Model, frozen=True):
    """Something that can be wrong. It is mechanical unless it is a screw's setting."""

    name: Short
    area: Name
    kind: Literal["mechanical", "screw"]
    what: Text
    explains: dict[Name, Weight]
    mend: Mend
    first_look: Literal["owed", "always", "none"] = field(default="owed", name="first look")
    because: Text | None = None
    """Why there is no first look for it."""
    screw: Screw | None = None
    setting: Setting | None = None
    people_say: tuple[Short, ...] = field(default=(), name="people say")
    """What a search finds it by, besides its own texts."""
    only: Only = Only()
    normal: bool = False
    """True when nothing is broken, set or fitted wrongly: the tank is only empty, the engine only new."""
    tool: Short | None = None
    """The tool that it is a fault of: who has none has no such fault either."""
    forms: Annotated[dict[Name, Form], Meta(min_length=2)] = {}
    """The forms that it takes, where it takes several that look different."""
    acts_like: FormName | None = field(default=None, name="acts like")
    """The fault, or the form of one, that it is like on the practice bench: it does the same to the engine there."""
    how_badly: tuple[Probability, Probability] = field(default=(0.0, 1.0), name="how badly")
    """Of that fault, what it is like at the mildest and at the worst."""

    def hypotheses(self, name: str) -> dict[str, Form]:
        """Return its forms by hypothesis; a fault without any, whose id is `name`, is one itself."""
        return {f"{name}.{form}": one for form, one in self.forms.items()} or {name: WHOLE}

    @property
    def mechanical(self) -> bool:
        """Say whether this is something other than a screw's setting."""
        return self.kind == "mechanical"

    @property
    def turned(self) -> bool:
        """Say whether only an adjustment (not a mend at the bench) puts this right."""
        return self.kind == "screw" and self.setting in ("rich", "lean")
