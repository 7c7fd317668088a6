"""What is known, as frozen values: symptoms, checks, faults, routes, and the engine that they are asked about.

The field names are the words of the YAML files (``good for`` is ``good_for`` here). Minutes are minutes, weights are
1 to 10, probabilities are 0 to 1. Nothing in this module reads a file or knows a clock.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta, Struct, field

FORMAT = 1
"""The format number that every knowledge file carries."""

FLOOR = 0.01
"""No answer has less than this probability under any fault, so that one wrong answer rules nothing out for good."""

CAN_SHOW_AT_LEAST = 0.65
CAN_SHOW_RATIO = 5.0

NAME = r"^[a-z0-9][a-z0-9']*([ -][a-z0-9']+)*$"
Name = Annotated[str, Meta(pattern=NAME, max_length=60, description="lower-case words joined by hyphens or spaces")]
Text = Annotated[str, Meta(min_length=1, max_length=1200, description="plain text; <fact-id> quotes a number")]
Short = Annotated[str, Meta(min_length=1, max_length=80, description="a few words")]
Steps = Annotated[tuple[Text, ...], Meta(min_length=1, max_length=8, description="steps, in order")]
Number = Annotated[
    float, Meta(description="a number, or the id of a fact", extra_json_schema={"type": ["number", "string"]})
]
"""In a file this may be the id of a fact; the reader has put the fact's value in its place."""
Probability = Annotated[float, Meta(ge=0, le=1, description="a probability, 0 to 1")]
Weight = Annotated[float, Meta(gt=0, le=10, description="how often, by judgement: 1 to 10")]

Screw = Literal["low needle", "mid needle", "high needle", "idle stop"]
Setting = Literal["rich", "lean", "open", "shut", "off"]
Way = Literal["leaner", "richer", "in", "out"]
State = Literal["parked", "plug out", "running on the stand", "warm", "on the track", "cooling", "stripped"]
Look = Literal["first", "strip"]
GoodFor = Literal["start", "tank", "outing", "day"]
Guard = Literal["barrel", "fail-safe"]
Grounding = Literal[
    "the throttle does not shut",
    "the fail-safe does not shut it",
    "fuel leaks",
    "the engine is locked",
    "knock or grit",
    "a loose flywheel or wheel",
    "the head is above its stop temperature",
]
Starter = Literal["box", "pull", "electric"]

RUNNING: frozenset[str] = frozenset({"running on the stand", "warm", "on the track"})
"""The bench states in which the engine runs: both guards come first."""


class Model(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The base of everything that stands in a file."""


class Only(Model, frozen=True):
    """The engines that an item is for. What is left out does not matter."""

    needles: Literal[2, 3] | None = None
    starter: tuple[Starter, ...] | None = None
    run_in: bool | None = field(default=None, name="run in")

    def fits(self, engine: Variant) -> bool:
        """Say whether `engine` is one of those meant."""
        return (
            self.needles in (None, engine.needles)
            and (self.starter is None or engine.starter in self.starter)
            and self.run_in in (None, engine.run_in)
        )


class Variant(Struct, frozen=True, omit_defaults=True):
    """What about an engine decides which faults it can have."""

    needles: Literal[2, 3] = 3
    starter: Starter = "box"
    run_in: bool = field(default=True, name="run in")
    air_screw: bool = field(default=False, name="air screw")
    """True when the low screw lets in air: it turns the other way round, and no check or route differs for it."""
    own: dict[str, float] = {}
    """Facts that are this engine's own (its warm window, say), by fact id, in the fact's unit."""

    def says(self) -> str:
        """Describe the engine in a few words."""
        count = "two needles" if self.needles == 2 else "three needles"
        low = ", low screw for air" if self.air_screw else ""
        return f"{count}, {self.starter} start, {'run in' if self.run_in else 'new'}{low}"


def every_variant() -> Iterator[Variant]:
    """Yield the twelve kinds of engine that the proofs cover."""
    needles: tuple[Literal[2, 3], ...] = (2, 3)
    starters: tuple[Starter, ...] = ("box", "pull", "electric")
    for count, starter, run_in in product(needles, starters, (True, False)):
        yield Variant(needles=count, starter=starter, run_in=run_in)


class Answer(Model, frozen=True):
    """One answer of a check or of a history question."""

    say: Text
    healthy: bool = False
    given: dict[Name, Probability] = field(default={}, name="if")
    """P(this answer | that fault), for the faults that change it."""
    otherwise: Probability | None = field(default=None, name="else")
    """P(this answer | any other fault)."""
    means: Text | None = None
    """What this answer looks, sounds, smells or feels like, and what it says."""
    sign: dict[Screw, Literal["rich", "lean"]] = {}
    mends: Name | None = None
    """For a swap: the fault that this answer has mended."""
    grounds: Grounding | None = None
    up_to: float | Name | None = field(default=None, name="up to")
    """For a reading: the band ends below this number, or below the engine's own value of this fact."""


class Reading(Model, frozen=True):
    """A number that a check asks for; its answers are bands, lowest first, the last one open above."""

    unit: Literal["°C", "mm", "V", "s"]
    least: float
    most: float


class Check(Model, frozen=True):
    """A look that can show faults."""

    name: Short
    ask: Text
    how: Annotated[tuple[Text, ...], Meta(min_length=1, max_length=5)]
    why: Text
    minutes: Number
    state: State
    look: Look
    answers: Annotated[dict[Name, Answer], Meta(min_length=2)]
    good_for: GoodFor = field(name="good for")
    opens: Short | None = None
    """For a strip-down: what it opens."""
    guard: Guard | None = None
    remembered: bool = False
    """True when it asks what the person remembers: the past can't change, so it is asked once and never again."""
    cautions: tuple[Name, ...] = ()
    tools: tuple[Short, ...] = ()
    misleads: Text | None = None
    where: Name | None = None
    """The drawing that shows where to look."""
    reading: Reading | None = None
    only: Only = Only()

    @property
    def healthy(self) -> str:
        """The id of the healthy answer."""
        return next(name for name, answer in self.answers.items() if answer.healthy)

    @property
    def runs(self) -> bool:
        """Say whether the engine runs while this is looked at."""
        return self.state in RUNNING

    def chance(self, answer: str, fault: str | None) -> float:
        """Return P(answer | fault), floored at `FLOOR`; `None` stands for any fault that is not named."""
        return _chances(self.answers, fault)[answer]

    def chances(self, fault: str | None) -> dict[str, float]:
        """Return the same for every answer."""
        return _chances(self.answers, fault)

    def shows(self, fault: str | None) -> float:
        """Return P(any unhealthy answer | fault)."""
        return 1 - self.chance(self.healthy, fault)

    def can_show(self, fault: str) -> bool:
        """Say whether an unhealthy answer is likely under `fault` and much likelier than without it."""
        return well_shown(self.shows(fault), self.shows(None))

    def named(self) -> frozenset[str]:
        """Return every fault that some answer of this check names."""
        return frozenset(fault for answer in self.answers.values() for fault in answer.given)


class Question(Model, frozen=True):
    """A history question: it opens no gate, and may be skipped."""

    ask: Text
    answers: dict[Name, Answer]

    def chance(self, answer: str, fault: str | None) -> float:
        """Return P(answer | fault), floored at `FLOOR`."""
        return self.chances(fault)[answer]

    def chances(self, fault: str | None) -> dict[str, float]:
        """Return the same for every answer."""
        return _chances(self.answers, fault)


def well_shown(shown: float, otherwise: float) -> bool:
    """Say whether P(unhealthy | fault) is enough to show the fault, against P(unhealthy | any other)."""
    return shown >= CAN_SHOW_AT_LEAST and shown >= CAN_SHOW_RATIO * otherwise


def _chances(answers: Mapping[str, Answer], fault: str | None) -> dict[str, float]:
    """Spread one unit of probability over the answers: the healthy one takes what the others leave."""
    raw: dict[str, float] = {}
    rest = 1.0
    for name, answer in answers.items():
        if answer.healthy:
            raw[name] = 0.0
            continue
        chance = answer.otherwise or 0.0
        if fault is not None:
            chance = answer.given.get(fault, chance)
        raw[name] = max(chance, FLOOR)
        rest -= raw[name]
    healthy = next((name for name, answer in answers.items() if answer.healthy), None)
    if healthy is not None:
        raw[healthy] = max(rest, FLOOR)
    total = sum(raw.values())
    return {name: chance / total for name, chance in raw.items()}


class Mend(Model, frozen=True):
    """How a fault is put right. `back` marks going back to the record, `gap` setting the stop by its gap."""

    do: Steps
    minutes: Number
    state: State = "parked"
    tools: tuple[Short, ...] = ()
    parts: tuple[Short, ...] = ()
    """What may have to be renewed."""
    cautions: tuple[Name, ...] = ()
    touches: tuple[Name, ...] = ()
    """The areas that it disturbs: what was answered about them is owed again."""
    where: Name | None = None
    """The drawing that shows where to work."""
    recheck: Text | None = None
    """What to look at again once it is done, before the engine runs."""
    stop_when: Text | None = field(default=None, name="stop when")
    """When to stop and get help."""
    back: bool = False


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
    only: Only = Only()

    @property
    def mechanical(self) -> bool:
        """Say whether this is something other than a screw's setting."""
        return self.kind == "mechanical"

    @property
    def turned(self) -> bool:
        """Say whether only an adjustment (not a mend at the bench) puts this right."""
        return self.kind == "screw" and self.setting in ("rich", "lean")


class Sweep(Model, frozen=True, tag="sweep", tag_field="node"):
    """Look for every fault of these areas that explains the symptom."""

    sweep: tuple[Name, ...]
    then: Name
    look: Look = "first"
    only: Only = Only()
    otherwise: Name | None = field(default=None, name="else")


class Ask(Model, frozen=True, tag="ask", tag_field="node"):
    """Make one check, and branch on its answer."""

    ask: Name
    branches: dict[Name, Name]
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
    only: Only = Only()
    otherwise: Name | None = field(default=None, name="else")


Node = Sweep | Ask | Adjust | Prepare | Refer
"""The five kinds of node, no more."""

NODE_KINDS: dict[str, type[Any]] = {"sweep": Sweep, "ask": Ask, "adjust": Adjust, "prepare": Prepare, "refer": Refer}


class Retest(Model, frozen=True):
    """How to find out whether the symptom is gone."""

    do: Steps
    minutes: Number
    state: State
    cautions: tuple[Name, ...] = ()


class Symptom(Model, frozen=True):
    """What the engine does, and the route from there. Its first node is where the walk begins."""

    name: Short
    when: Literal["starting", "at idle", "pulling away", "at speed", "any time"]
    does: Text
    retest: Retest
    route: Annotated[dict[Name, Node], Meta(min_length=1)]
    sounds: Text | None = None
    runs: bool = True
    """False when the engine will not keep running: then nothing is ever adjusted."""
    runs_away: bool = field(default=False, name="runs away")
    """True when it can run away: stopping it comes before any question."""
    looks_first: bool = field(default=False, name="looks first")
    """True when the engine is not started before everything owed is looked for, not even to try a mend."""
    race: Literal["race", "race one hour richer", "stay out"] = "stay out"
    """The last word when everything looked for is sound, and the time is up."""
    sign: dict[Screw, Literal["rich", "lean"]] = {}
    cautions: tuple[Name, ...] = ()
    few: Text | None = None
    """Why fewer than five mechanical faults explain it."""

    @property
    def start(self) -> str:
        """The id of the first node."""
        return next(iter(self.route))


class Preparation(Model, frozen=True):
    """A state that a step demands, and how to bring it about."""

    name: Short
    do: Steps
    minutes: Number
    state: State
    cautions: tuple[Name, ...] = ()
    tools: tuple[Short, ...] = ()
    head: bool = False
    """True when it ends in a head reading."""
    back: bool = False
    """True when it goes back to the recorded settings."""
    on_its_own: bool = field(default=False, name="on its own")
    """True when no route asks for it: ``diagnose prepare`` shows it."""


class Bench(Model, frozen=True):
    """The minutes to get into a bench state and out of it again."""

    into: Number
    out: Number
    say: Short


class Fact(Model, frozen=True):
    """A number, its unit, and where it comes from."""

    unit: Literal["", "°C", "°F", "min", "s", "mm", "hours", "turns", "%", "V", "times", "months"]
    provenance: Literal["published", "common practice, no source", "from memory"]
    value: float | None = None
    range: tuple[float, float] | None = None
    source: Text | None = None
    note: Text | None = None


class Word(Model, frozen=True):
    """A term of the trade, explained."""

    say: Text
    also: tuple[str, ...] = ()


class Owed(Model, frozen=True):
    """Where a caution must be shown."""

    states: tuple[State, ...] = ()
    tools: tuple[Short, ...] = ()


class Caution(Model, frozen=True):
    """A hazard, and what to do about it. `now` makes it part of the something-is-wrong page."""

    name: Short
    say: Text
    now: tuple[Text, ...] = ()
    owed: Owed = Owed()


class Drawing(Model, frozen=True):
    """A small picture in text, at most 40 columns, and the same in words."""

    picture: str
    words: Text


class StartSettings(Model, frozen=True):
    """A generic place to start from, when an engine has no record."""

    name: Short
    only: Only
    turns: dict[Screw, Number]
    say: Text
    where: Name | None = None
    """The drawing that shows where its screws sit."""


class Case(Model, frozen=True):
    """A worked case: answers in, verdict out. Also the file that ``diagnose walk --answers`` reads."""

    symptom: Name
    format: Literal[1] = 1
    story: Text | None = None
    engine: Annotated[
        dict[str, Any] | str, Meta(description="the name of a recorded engine, or needles, starter, run in")
    ] = {}
    history: dict[Name, Name] = {}
    answers: dict[Name, Annotated[str | float | tuple[str | float, ...], Meta()]] = {}
    otherwise: Literal["healthy", "can't tell", "stop"] = "healthy"
    faults: tuple[str | dict[Name, float], ...] | None = None
    expect: Expect | None = None


class Expect(Model, frozen=True):
    """What a worked case must come to."""

    verdict: Literal["cured", "handed over", "stopped"]
    mended: tuple[Name, ...] = ()
    adjustments: int | None = None


class EngineKind(Model, frozen=True):
    """The kind of engine that a lesson is about."""

    needles: Literal[2, 3] = 3
    starter: Starter = "box"
    run_in: bool = field(default=True, name="run in")


class Reply(Model, frozen=True):
    """One answer to a lesson's question, and why it is right or not."""

    say: Text
    because: Text
    right: bool = False


class LastQuestion(Model, frozen=True):
    """What a lesson asks at its end."""

    ask: Text
    answers: Annotated[dict[Name, Reply], Meta(min_length=2, max_length=6)]

    @property
    def right(self) -> str:
        """The id of the right answer."""
        return next(name for name, reply in self.answers.items() if reply.right)


class Lesson(Model, frozen=True):
    """A lesson at the practice bench: an engine with something wrong, what to notice, and a question at the end."""

    name: Short
    text: Text
    symptom: Name
    faults: Annotated[dict[Name, Probability], Meta(min_length=1, max_length=3, description="how badly, 0 to 1")]
    notice: Annotated[tuple[Text, ...], Meta(min_length=1, max_length=5)]
    question: LastQuestion
    engine: EngineKind = EngineKind()

    @property
    def variant(self) -> Variant:
        """The engine that it is set on."""
        return Variant(self.engine.needles, self.engine.starter, self.engine.run_in)


KINDS: dict[str, type[Any]] = {
    "symptoms": Symptom,
    "checks": Check,
    "faults": Fault,
    "preparations": Preparation,
    "history": Question,
    "bench": Bench,
    "facts": Fact,
    "words": Word,
    "cautions": Caution,
    "drawings": Drawing,
    "engines": StartSettings,
    "lessons": Lesson,
}
"""The kinds of file: a folder of that name, or one file ``<kind>.yaml``."""

CASES = "cases"
"""The folder of the worked cases: one file each, read only to prove the knowledge and to write more of it."""


class Knowledge(Struct, frozen=True):
    """Everything that the files say, with every number in its place and every name known to exist."""

    symptoms: dict[str, Symptom] = {}
    checks: dict[str, Check] = {}
    faults: dict[str, Fault] = {}
    preparations: dict[str, Preparation] = {}
    history: dict[str, Question] = {}
    bench: dict[str, Bench] = {}
    facts: dict[str, Fact] = {}
    words: dict[str, Word] = {}
    cautions: dict[str, Caution] = {}
    drawings: dict[str, Drawing] = {}
    engines: dict[str, StartSettings] = {}
    lessons: dict[str, Lesson] = {}
    digest: str = ""
    bare: tuple[str, ...] = ()
    """Places of numbers that no fact stands behind: the author's own judgement."""
    fewer: tuple[str, ...] = ()
    """Faults that the shipped knowledge looks for and this, with its overlays, does not."""

    def explaining(self, symptom: str, engine: Variant) -> dict[str, float]:
        """Return the faults that explain `symptom` on `engine`, with their weights."""
        return {
            name: fault.explains[symptom]
            for name, fault in self.faults.items()
            if symptom in fault.explains and fault.only.fits(engine)
        }

    def checks_for(self, engine: Variant) -> dict[str, Check]:
        """Return the checks that can be made on `engine`."""
        return {name: check for name, check in self.checks.items() if check.only.fits(engine)}

    def first_owed(self, symptom: str, engine: Variant) -> frozenset[str]:
        """Return the mechanical faults whose first look is owed before any adjustment (M1, and those always owed)."""
        return frozenset(
            name
            for name, fault in self.faults.items()
            if fault.mechanical
            and fault.only.fits(engine)
            and (fault.first_look == "always" or (fault.first_look == "owed" and symptom in fault.explains))
        )

    def strip_owed(self, symptom: str, engine: Variant) -> frozenset[str]:
        """Return the mechanical faults that only a strip-down looks for (M2)."""
        return frozenset(
            name
            for name, fault in self.faults.items()
            if fault.mechanical and fault.only.fits(engine) and fault.first_look == "none" and symptom in fault.explains
        )

    def number(self, ref: float | str, engine: Variant) -> float:
        """Return a band's edge: a number, the engine's own value of a fact, or the fact's."""
        if isinstance(ref, (int, float)):
            return float(ref)
        if ref in engine.own:
            return engine.own[ref]
        value = self.facts[ref].value
        assert value is not None  # the reader has seen to it
        return value

    def band(self, check: Check, value: float, engine: Variant) -> str:
        """Return the answer whose band holds `value`, a reading in the check's unit."""
        for name, answer in check.answers.items():
            if answer.up_to is None or value < self.number(answer.up_to, engine):
                return name
        return next(reversed(check.answers))


def encode(knowledge: Knowledge) -> bytes:
    """Pack the knowledge for the cache."""
    return msgspec.msgpack.encode(knowledge)


def decode(packed: bytes) -> Knowledge:
    """Unpack what `encode` packed; raises `msgspec.MsgspecError` on anything else."""
    return msgspec.msgpack.decode(packed, type=Knowledge)
