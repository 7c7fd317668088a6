"""What shows the knowledge at work: worked cases, and the lessons of the practice bench."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from msgspec import Meta, field

from diagnose.graph.model.base import Model, Name, Probability, Short, Starter, Text, Variant

NOTHING_RUNS = "nothing runs"
"""After this answer nothing cranks or runs the engine until the check comes out healthy."""

BOTH_GUARDS = "both guards again"
"""After this mend both guards are looked at again before the engine runs."""


class Case(Model, frozen=True):
    """A worked case: answers in, verdict out. Also the file that ``diagnose walk --answers`` reads."""

    symptom: Name
    format: Literal[1] = 1
    story: Text | None = None
    engine: Annotated[
        dict[str, Any] | str, Meta(description="the name of a recorded engine, or needles, starter, run in")
    ] = {}
    history: dict[Name, Name | tuple[Name, ...]] = {}
    answers: dict[Name, Annotated[str | float | tuple[str | float, ...], Meta()]] = {}
    otherwise: Literal["healthy", "can't tell", "stop"] = "healthy"
    faults: tuple[str | dict[Name, float], ...] | None = None
    expect: Expect | None = None


class Expect(Model, frozen=True):
    """What a worked case must come to. What it says of hands is all that they do: by default nothing."""

    verdict: Literal["cured", "nothing is wrong", "handed over", "stopped"]
    mended: Annotated[tuple[Name, ...], Meta(description="every fault that is mended, in order")] = ()
    in_vain: Annotated[tuple[Name, ...], Meta(description="every mend that changes nothing, in order")] = field(
        default=(), name="in vain"
    )
    adjustments: Annotated[int, Meta(description="how often a screw is turned")] = 0
    turned: Annotated[
        tuple[Short, ...],
        Meta(description="each turn, like 'low needle leaner', where it is not what `faults` call for"),
    ] = ()
    back: Annotated[bool, Meta(description="true where all screws go back to the record")] = False
    after: Annotated[
        dict[Name, Short],
        Meta(description="what comes after a check, a mend or a turn: nothing runs, both guards again"),
    ] = {}
    """What comes after a check, a mend, a turn, a preparation or a node: one of the two above, or the node or
    symptom that comes next."""


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
    history: dict[Name, Name | tuple[Name, ...]] = {}
    """What its owner says of its history, by question; how it came is said by itself, as its faults come."""
    drawn: Annotated[int, Meta(ge=1, le=999, description="which engine of this kind: another number, another one")] = 1
    looks_made: Annotated[bool, Meta(description="the program makes the looks; it begins at the screws")] = field(
        default=False, name="looks made"
    )
    record: Annotated[bool, Meta(description="false when nobody wrote its settings down")] = True

    @property
    def variant(self) -> Variant:
        """The engine that it is set on."""
        return Variant(self.engine.needles, self.engine.starter, self.engine.run_in)
