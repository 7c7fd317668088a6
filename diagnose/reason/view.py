"""What a front end is given: the step to take, and the view beside it. Values only; no rule is made here."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from diagnose.graph.model import EngineState, Reading, Screw, Way

StepKind = Literal["ask", "prepare", "mend", "recheck", "retest", "adjust", "follow", "undo", "restore", "refer"]


ENGINE_LINES: dict[EngineState, str] = {
    "off": "Engine off.",
    "cranking": "Engine cranking, igniter off: only when told.",
    "running": "Engine running: start only when told.",
}


class Choice(Struct, frozen=True):
    """One thing that the person can say to a step: `id` goes to `Walk.choose`."""

    id: str
    say: str
    means: str = ""


class Turn(Struct, frozen=True):
    """A needle step: which screw, which way, how far, from how many hours since the last good tune."""

    screw: Screw
    way: Way
    hours: float
    stands: float = 0.0
    """Hours from the last good tune before the turn: leaner (or out) negative, richer (or in) positive."""
    air_screw: bool = False
    """True for a low screw that lets in air, which turns the other way round."""

    @property
    def clockwise(self) -> bool:
        """Say whether the screwdriver turns to the right: that is leaner, and lets the idle stop in."""
        return (self.way in ("leaner", "in")) != self.air_screw


class Step(Struct, frozen=True):
    """The next thing to do."""

    kind: StepKind
    id: str
    """A check, a preparation, a fault, a screw, or the symptom (for a re-test)."""
    node: str
    """The node of the route that asks for it."""
    title: str
    """A few words, for lists."""
    ask: str
    """The question, or what to do in one sentence."""
    choices: tuple[Choice, ...] = ()
    how: tuple[str, ...] = ()
    wanted: str = ""
    """What it comes to when all is well; with the title it is the step in a line. Empty where only `how` says it."""
    always: tuple[str, ...] = ()
    """The lines of `how` that stand beside that line as well: what keeps hands and engine safe."""
    minutes: float = 0.0
    """Minutes, changes of bench state counted."""
    why: str = ""
    """Why this step comes now, in a sentence."""
    why_first: bool = False
    """It would puzzle without its reason: it was asked before, or undoes what somebody set. The reason stands first."""
    state: str = "parked"
    engine: EngineState = "off"
    cautions: tuple[str, ...] = ()
    """Ids; they are shown before the step can be answered."""
    tools: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    """What may have to be renewed."""
    misleads: str = ""
    where: str = ""
    """A drawing's id."""
    reading: Reading | None = None
    """Set when a number may be typed: `Walk.measure`."""
    well: str = ""
    """What the engine's well card holds for that number: "3 seconds when it ran well"."""
    turns: tuple[Turn, ...] = ()
    only: tuple[Screw, ...] = ()
    """For going back: the screws that go; empty for all."""
    normal: bool = False
    """For an end: nothing is wrong, and nothing is handed over."""
    before: bool = False
    """It was seen before, while the engine ran, and is only told now."""
    see: tuple[str, ...] = ()
    """For an end: the ids of the symptoms that fit better."""

    @property
    def engine_line(self) -> str:
        """The first line that is shown: what the engine does meanwhile."""
        return ENGINE_LINES[self.engine]

    def text(self) -> str:
        """Return everything that a person reads in this step."""
        said = (text for choice in self.choices for text in (choice.say, choice.means))
        return "\n".join(
            [
                self.engine_line,
                self.title,
                self.ask,
                *self.how,
                *self.tools,
                *self.parts,
                *said,
                self.why,
                self.misleads,
            ]
        )


class TrailLine(Struct, frozen=True):
    """One line of what was done so far; `number` is the event's, for taking it back."""

    number: int
    what: str
    mark: str
    """``ok``, ``?``, ``!`` (unhealthy), ``→`` (done), ``·`` (told)."""
    carried: bool = False
    can_take_back: bool = True
    check: str = ""
    """The check that it is an answer of."""
    stands: bool = True
    """False for what was found and a later look ruled out."""
    noted: bool = False
    """A note: it is no look."""


class Suspect(Struct, frozen=True):
    """A fault that could explain it."""

    fault: str
    name: str
    share: float
    """Belief as it is said, 0 to 1: a screw's is tempered."""
    likely: str
    """The same in words and numbers: "likely, 2 in 3"."""
    mechanical: bool = True


class OwedLine(Struct, frozen=True):
    """A check that is still owed before a needle may be turned."""

    check: str
    name: str
    minutes: float
    """By itself."""
    round: str = ""
    """The round that it stands in."""
    takes: float = 0.0
    """Minutes where it stands on the list: fewer than by itself where it goes on with a round."""
    wanted: str = ""
    """What it shows when it is as it should be."""


class Lock(Struct, frozen=True):
    """Why no needle may be turned now: the rule's number in design order, and a sentence."""

    rule: int
    because: str
    faults: tuple[str, ...] = ()
    """What is to be looked for first, where that is why."""


class Verdict(Struct, frozen=True):
    """How the walk ended."""

    outcome: Literal["cured", "nothing is wrong", "handed over", "stopped"]
    because: str
    mended: tuple[str, ...] = ()
    adjustments: int = 0

    @property
    def cured(self) -> bool:
        """Say whether it was tried again, and the complaint is gone: also where it was only empty, or only new."""
        return self.outcome == "cured" or (self.outcome == "nothing is wrong" and bool(self.mended))


class View(Struct, frozen=True):
    """Everything that the bench shows."""

    symptom: str
    symptom_name: str
    engine: str
    number: int
    """The count of steps made, plus one."""
    minutes_left: float
    """Minutes of the first looks still owed, in the planned order."""
    trail: tuple[TrailLine, ...]
    suspects: tuple[Suspect, ...]
    owed: tuple[OwedLine, ...]
    locks: tuple[Lock, ...]
    """Empty when a needle may be turned."""
    step: Step | None
    verdict: Verdict | None
    head: float | None = None
    """The last head reading, °C."""
    deadline: float | None = None
    """Minutes left until the deadline."""
    left_out: tuple[OwedLine, ...] = ()
    """With a deadline: what is owed as well, and does not fit into it."""
    mend: float | None = None
    """Minutes to put right what is found; None when nothing is found that can be."""
    last_word: str = ""
    """With a deadline: ``race``, ``mend now`` or ``stay out``."""
    last_word_because: str = ""
    close_up: float | None = None
    """With a deadline: minutes until the car must be closed up."""
    open: tuple[str, ...] = ()
    """What is open on the car, in words."""
    lean: str = ""
    """Why it may not be started yet, where it is known to be lean today."""
