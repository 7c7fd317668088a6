"""The program measured: many random engines, each driven by its advice and by four other ways of working.

Every engine comes from its own seed, so that the same seed gives the same figures on one core as on all of them.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Iterator, Sequence
from random import Random

from msgspec import Struct

from diagnose.graph.model import Knowledge, Variant
from diagnose.measure import figures
from diagnose.measure.figures import Figure
from diagnose.measure.rivals import in_order, needles_first
from diagnose.practice.drive import NO_END, Drive, drive
from diagnose.practice.engine import NEEDLES, SimEngine, detuned_engine, random_engine
from diagnose.practice.mechanic import all_knowing
from diagnose.reason.scope import Scope

ONE, TWO, RECORDED, UNRECORDED = "one fault", "two faults", "detuned, with a record", "detuned, without a record"
SHARES = {ONE: 1.0, TWO: 0.25, RECORDED: 0.25, UNRECORDED: 0.125}
"""How many engines of each kind are driven, for each one with one fault."""
RIVALS = ("all-knowing", "static order", "needles first", "random")
MOST_WALKS = 3
"""With two faults, what is left may be complained of again, so often in all."""
WITHIN = 1.0 + 1e-6
"""Hours from the record that a needle may stand, to be back on it."""
CHUNK = 8


class EngineOutcome(Struct, frozen=True):
    """What one engine came to."""

    kind: str
    complaint: str
    faults: tuple[str, ...]
    cured: bool
    verdict: str
    because: str
    minutes: float
    right_first: bool
    wrong_mends: int
    moves: int
    """Times that a needle was turned, or set back to the record."""
    adjustments: int
    over_an_hour: int
    before_first_look: int
    with_a_fault: int
    """Adjustments while a mechanical fault was there."""
    left_lean: bool
    """It ends with a needle over an hour leaner than right."""
    came_lean: bool
    """It came so."""
    leaned: bool
    """It ends so, and the program had a hand in it: it did not come so, or the verdict says that it is cured. One that
    came so and is handed over is not to be run, which is said in so many words."""
    on_record: bool
    """Every needle ends within an hour of where it last ran well."""
    rivals: dict[str, tuple[float, bool]] = {}
    """Minutes, and whether it was cured, of the other ways of working."""


class Job(Struct, frozen=True):
    """One engine to be drawn and driven."""

    kind: str
    seed: str


def jobs(n: int, seed: int) -> list[Job]:
    """Return the engines of a measurement with `n` engines of one fault."""
    return [Job(kind, f"{seed} {kind} {i}") for kind, part in SHARES.items() for i in range(round(n * part))]


class KnowledgeMeasured:
    """The knowledge that is measured, laid out once for each kind of engine."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self.scopes: dict[str, Scope] = {}

    def scope(self, variant: Variant) -> Scope:
        """Return the knowledge as it applies to one kind of engine."""
        if variant.says() not in self.scopes:
            self.scopes[variant.says()] = Scope(self.knowledge, variant)
        return self.scopes[variant.says()]


def drawn(job: Job, knowledge: Knowledge) -> SimEngine:
    """Draw the engine of a job."""
    if job.kind in (ONE, TWO):
        return random_engine(job.seed, knowledge, 1 if job.kind == ONE else 2)
    return detuned_engine(job.seed, knowledge, recorded=job.kind == RECORDED)


def result(job: Job, bench: KnowledgeMeasured) -> EngineOutcome:
    """Drive one engine every way there is."""
    knowledge = bench.knowledge
    engine = drawn(job, knowledge)
    scope = bench.scope(engine.variant)
    ours = drive(engine, knowledge, scope, walks=MOST_WALKS if job.kind == TWO else 1)
    others: dict[str, Drive] = {}
    if job.kind == ONE:
        others = {
            "all-knowing": all_knowing(engine, knowledge, scope),
            "static order": in_order(engine, knowledge, scope),
            "needles first": needles_first(engine, knowledge, scope),
            "random": in_order(engine, knowledge, scope, Random(f"{engine.seed} random")),
        }
    turns = [change for change in ours.changes if change.kind == "turn"]
    came_lean, left_lean = engine.dangerously_lean(), ours.engine.dangerously_lean()
    return EngineOutcome(
        kind=job.kind,
        complaint=engine.complaint,
        faults=tuple(trouble.fault for trouble in engine.troubles),
        cured=ours.cured,
        verdict=ours.verdict,
        because=ours.because,
        minutes=ours.minutes,
        right_first=bool(ours.changes) and ours.changes[0].helped,
        wrong_mends=sum(change.kind in ("mend", "swap") and not change.helped for change in ours.changes),
        moves=sum(change.kind in ("turn", "back") for change in ours.changes),
        adjustments=len(turns),
        over_an_hour=ours.over_an_hour,
        before_first_look=ours.before_first_look,
        with_a_fault=sum(change.mechanical for change in turns),
        left_lean=left_lean,
        came_lean=came_lean,
        leaned=left_lean and (not came_lean or ours.verdict == "cured"),
        on_record=all(abs(ours.engine.off_record(screw)) <= WITHIN for screw in NEEDLES[engine.variant.needles]),
        rivals={name: (other.minutes, other.cured) for name, other in others.items()},
    )


_shared: list[KnowledgeMeasured] = []
"""The bench of a worker process: it is sent over once and not with every job."""


def _share(knowledge: Knowledge) -> None:
    _shared[:] = [KnowledgeMeasured(knowledge)]


def _work(job: Job) -> EngineOutcome:
    return result(job, _shared[0])


def results(knowledge: Knowledge, todo: Sequence[Job], cores: int = 0) -> Iterator[EngineOutcome]:
    """Drive engines, in the order of the jobs, on so many cores (0: all that there are)."""
    cores = cores or len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else cores or os.cpu_count() or 1
    if cores == 1:
        bench = KnowledgeMeasured(knowledge)
        yield from (result(job, bench) for job in todo)
        return
    with multiprocessing.get_context("spawn").Pool(cores, _share, (knowledge,)) as pool:
        yield from pool.imap(_work, todo, CHUNK)


class Wanted(Struct, frozen=True):
    """A number to reach: for a figure, at least or at most."""

    figure: str
    at_least: bool
    value: float

    def met(self, told: dict[str, Figure]) -> bool:
        """Say whether the figure reaches it."""
        found = told[self.figure].value
        return found >= self.value if self.at_least else found <= self.value


WANTED = (
    Wanted(f"{ONE}: cured", True, 0.92),
    Wanted(f"{ONE}: right mend first", True, 0.82),
    Wanted(f"{ONE}: adjustments over an hour", False, 0.0),
    Wanted(f"{ONE}: adjustments before a first look", False, 0.0),
    Wanted(f"{ONE}: left dangerously lean", False, 0.002),
    Wanted("static order: minutes, ours over theirs", False, 0.85),
    Wanted("needles first: minutes, ours over theirs", False, 1.0),
    Wanted("all-knowing: minutes, ours over theirs", False, 1.9),
    Wanted(f"{RECORDED}: every needle within an hour of the record", True, 0.95),
    Wanted(f"{TWO}: cured", True, 0.75),
)
"""What the plan asks of the advice over 10,000 engines. Fixed before anything was measured."""


class Report(Struct, frozen=True):
    """The figures of a measurement, by name, in the order in which they are told."""

    engines: dict[str, int]
    figures: dict[str, Figure]
    fell_short: tuple[Wanted, ...]
    """The numbers to reach that were not."""
    uncured: dict[str, int]
    """Why engines with one fault were not cured: the last words, with how many each."""


def report(found: Sequence[EngineOutcome], seed: int) -> Report:
    """Return the figures of what the engines came to."""
    by_kind = {kind: [one for one in found if one.kind == kind] for kind in SHARES}
    told: dict[str, Figure] = {}
    for kind, some in by_kind.items():
        told |= {f"{kind}: {name}": figure for name, figure in _shares(kind, some).items()}
        told |= {f"{kind}: {name}": figure for name, figure in _means(some, f"{seed} {kind}").items()}
    told |= _against(by_kind[ONE], str(seed))
    uncured: dict[str, int] = {}
    for one in by_kind[ONE]:
        if not one.cured:
            why = f"{one.complaint}: {' and '.join(one.faults)} ({one.verdict})"
            uncured[why] = uncured.get(why, 0) + 1
    most = dict(sorted(uncured.items(), key=lambda pair: (-pair[1], pair[0])))
    short = tuple(wanted for wanted in WANTED if not wanted.met(told))
    return Report({kind: len(some) for kind, some in by_kind.items()}, told, short, most)


def _shares(kind: str, some: Sequence[EngineOutcome]) -> dict[str, Figure]:
    over = len(some)

    def of(test: list[bool]) -> Figure:
        return figures.share(sum(test), over)

    found = {
        "cured": of([one.cured for one in some]),
        "verdict says cured": of([one.verdict == "cured" for one in some]),
        "walks without an end": of([one.verdict == NO_END for one in some]),
        "right mend first": of([one.right_first for one in some]),
        "left dangerously lean": of([one.leaned for one in some]),
        "over an hour lean when it came": of([one.came_lean for one in some]),
        "over an hour lean at the end, whoever did it": of([one.left_lean for one in some]),
    }
    if kind in (RECORDED, UNRECORDED):
        found["every needle within an hour of the record"] = of([one.on_record for one in some])
        found["handed over"] = of([one.verdict == "handed over" for one in some])
    return found


def _means(some: Sequence[EngineOutcome], seed: str) -> dict[str, Figure]:
    def of(values: list[float]) -> Figure:
        return figures.mean(values, seed)

    return {
        "minutes": of([one.minutes for one in some]),
        "wrong mends an engine": of([float(one.wrong_mends) for one in some]),
        "needle moves an engine": of([float(one.moves) for one in some]),
        "adjustments an engine": of([float(one.adjustments) for one in some]),
        "adjustments over an hour": of([float(one.over_an_hour) for one in some]),
        "adjustments before a first look": of([float(one.before_first_look) for one in some]),
        "adjustments with a mechanical fault there": of([float(one.with_a_fault) for one in some]),
    }


def _against(some: Sequence[EngineOutcome], seed: str) -> dict[str, Figure]:
    """Return the minutes against each other way of working: over all engines, and over those that both cured."""
    told: dict[str, Figure] = {}
    for name in RIVALS:
        pairs = [(one.minutes, one.rivals[name][0]) for one in some]
        both = [(one.minutes, one.rivals[name][0]) for one in some if one.cured and one.rivals[name][1]]
        told[f"{name}: cured"] = figures.share(sum(one.rivals[name][1] for one in some), len(some))
        told[f"{name}: minutes, ours over theirs"] = _ratio(pairs, f"{seed} {name}")
        told[f"{name}: the same over those that both cured"] = _ratio(both, f"{seed} {name} both")
    return told


def _ratio(pairs: Sequence[tuple[float, float]], seed: str) -> Figure:
    return figures.ratio([ours for ours, _ in pairs], [theirs for _, theirs in pairs], seed)
