"""What the engine does, and the route from there: five kinds of node, no more."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from msgspec import Meta, field

from diagnose.graph.model.base import (
    BenchState,
    LookKind,
    Model,
    Name,
    Number,
    Only,
    Screw,
    Short,
    Steps,
    Text,
    Way,
    Work,
)
from diagnose.graph.model.presumption import Presumption, shut_out


class Sweep(Model, frozen=True, tag="sweep", tag_field="node"):
    """Look for every fault of these areas that explains the symptom."""

    sweep: tuple[Name, ...]
    then: Name
    look: LookKind = "first"
    only: Only = Only()
    otherwise: Name | None = field(default=None, name="else")


class Ask(Model, frozen=True, tag="ask", tag_field="node"):
    """Make one check, and branch on its answer."""

    ask: Name
    branches: dict[Name, Name]
    rather: dict[Name, tuple[Name, ...]] = {}
    """The symptoms that an answer shows in place of this one: the walk says so at once, and can go on with one."""
    only: Only = Only()
    otherwise: Name | None = field(default=None, name="else")


class Follow(Model, frozen=True):
    """What the idle stop does along with the low needle."""

    way: Way
    hours: float


class Adjust(Model, frozen=True, tag="adjust", tag_field="node"):
    """Turn one screw by at most one hour, re-test, and branch on what came of it."""

    adjust: Screw
    way: Way
    hours: float
    better: Name
    same: Name
    worse: Name
    follow: dict[Screw, Follow] = {}
    hear: Text | None = None
    only: Only = Only()
    otherwise: Name | None = field(default=None, name="else")


class Prepare(Model, frozen=True, tag="prepare", tag_field="node"):
    """Bring the engine to a state that a later step needs."""

    prepare: Name
    then: Name
    too_cool: Name | None = field(default=None, name="too cool")
    too_hot: Name | None = field(default=None, name="too hot")
    wont_run: Name | None = field(default=None, name="won't run")
    only: Only = Only()
    otherwise: Name | None = field(default=None, name="else")


class Refer(Model, frozen=True, tag="refer", tag_field="node"):
    """Hand over, honestly."""

    refer: Text
    stay_out: bool = field(default=False, name="stay out")
    """True when it keeps the car off the track: then no last word of its symptom says *race*."""
    nothing_wrong: bool = field(default=False, name="nothing wrong")
    """True when it ends with this: what it does is as it should be."""
    see: tuple[Name, ...] = ()
    """The symptoms that fit better. What was looked at belongs to them, so no look is made again before this end."""
    only: Only = Only()
    otherwise: Name | None = field(default=None, name="else")


Node = Sweep | Ask | Adjust | Prepare | Refer
"""The five kinds of node, no more."""


def exits(node: Node) -> dict[str, str]:
    """Return where a node can lead, by the key that says so; `else`, for the engines that it is not for, is none."""
    found: dict[str, str | None]
    match node:
        case Sweep():
            found = {"then": node.then}
        case Ask():
            found = {**node.branches}
        case Adjust():
            found = {"better": node.better, "same": node.same, "worse": node.worse}
        case Prepare():
            found = {"then": node.then, "too cool": node.too_cool, "too hot": node.too_hot, "won't run": node.wont_run}
        case Refer():
            found = {}
    return {key: target for key, target in found.items() if target is not None}


NODE_KINDS: dict[str, type[Any]] = {"sweep": Sweep, "ask": Ask, "adjust": Adjust, "prepare": Prepare, "refer": Refer}


class Retest(Work, frozen=True):
    """How to find out whether the symptom is gone."""

    do: Steps
    minutes: Number
    state: BenchState
    cautions: tuple[Name, ...] = ()


class Symptom(Model, frozen=True):
    """What the engine does, and the route from there. Its first node is where the walk begins."""

    name: Short
    when: Literal["starting", "at idle", "pulling away", "at speed", "any time"]
    does: Text
    retest: Retest
    route: Annotated[dict[Name, Node], Meta(min_length=1)]
    people_say: tuple[Short, ...] = field(default=(), name="people say")
    """What a search finds it by, besides its own texts."""
    sounds: Text | None = None
    runs: bool = True
    """False when the engine will not keep running: then nothing is ever adjusted."""
    runs_away: bool = field(default=False, name="runs away")
    """True when it can run away: stopping it comes before any question."""
    looks_first: bool = field(default=False, name="looks first")
    """True when the engine is not started before everything owed is looked for, not even to try a mend."""
    race: Literal["race", "stay out"] = "stay out"
    """The last word when everything looked for is sound, nothing speaks of lean or heat, and the time is up."""
    sign: dict[Screw, Literal["rich", "lean"]] = {}
    cautions: tuple[Name, ...] = ()
    under: tuple[Name, ...] | None = None
    """The conditions that there can be where it shows; left out, all. A form that needs another does not explain it."""
    excludes: tuple[Presumption, ...] | None = None
    """What is out of the question while it shows; left out, idling where it will not keep running."""
    few: Text | None = None
    """Why fewer than five mechanical faults explain it."""

    @property
    def doors(self) -> frozenset[str]:
        """The symptoms that its route leads to, for one kind of engine or another."""
        leads = {target for node in self.route.values() for target in (*exits(node).values(), node.otherwise)}
        return frozenset(target for target in leads - self.route.keys() if target is not None)

    @property
    def excluded(self) -> frozenset[Presumption]:
        """All that is out of the question while it shows: no look that presumes it is asked for."""
        said: tuple[Presumption, ...] = () if self.runs else ("idles",)
        return shut_out(said if self.excludes is None else self.excludes)

    @property
    def start(self) -> str:
        """The id of the first node."""
        return next(iter(self.route))
