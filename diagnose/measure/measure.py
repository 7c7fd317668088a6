"""The program measured: many random engines, each driven by its advice and by four other ways of working.

Every engine comes from its own seed, so that the same seed gives the same figures on one core as on all of them.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Iterator, Sequence
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from diagnose.graph.model import Knowledge, Variant
from diagnose.measure import figures
from diagnose.measure.figures import Figure
from diagnose.measure.rivals import in_order, needles_first
from diagnose.practice.believed import NOTHING, ByWord, together
from diagnose.practice.drive import NO_END, Drive, drive
from diagnose.practice.early import REASONS, Early
from diagnose.practice.engine import NEEDLES, SimEngine, detuned_engine, random_engine
from diagnose.practice.hands import Hands
from diagnose.practice.mechanic import all_knowing
from diagnose.practice.person import USUAL, Person
from diagnose.practice.symptoms import FIRST_START
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
EARLY = "a needle turned at a mechanical fault"
WORST = 10
BEFORE_ANYTHING, AT_EVERY_STEP = "when the first thing is about to be done", "at every step"


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
    """It ends so, with a needle that was displaced or turned, and the program had a hand in it: it did not come so, or
    the verdict says that it is cured. One that came so and is handed over is not to be run, which is said in so many
    words."""
    on_record: bool
    """Every needle ends within an hour of where it last ran well."""
    mechanical: bool = False
    """It came with a mechanical fault."""
    early: Early = ""
    """Why a needle was turned at that, if one was."""
    in_vain: int = 0
    """Turns that brought nothing nearer to right."""
    questions: int = 0
    """Steps of its walks."""
    at_every_step: ByWord = NOTHING
    before_anything: ByWord = NOTHING
    """How often what was said of its suspects was right: at every step, and once, before anything was done to it."""
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
    """The knowledge that is measured, laid out once for each kind of engine, and the person it is measured with."""

    def __init__(self, knowledge: Knowledge, person: Person = USUAL) -> None:
        self.knowledge = knowledge
        self.person = person
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


def misnamed(engine: SimEngine, person: Person) -> SimEngine:
    """Return the engine as its owner tells of it: now and then he names another complaint of the same moment."""
    rng = Random(f"{engine.seed} misnamed")
    if not person.misnames or rng.random() >= person.misnames:
        return engine
    known = engine.knowledge.symptoms
    when = known[engine.complaint].when
    others = [name for name, one in known.items() if one.when == when and name not in (engine.complaint, FIRST_START)]
    return replace(engine, complaint=rng.choice(others)) if others else engine


def result(job: Job, bench: KnowledgeMeasured) -> EngineOutcome:
    """Drive one engine every way there is."""
    knowledge = bench.knowledge
    engine = drawn(job, knowledge)
    scope = bench.scope(engine.variant)
    person = bench.person
    told = misnamed(engine, person)
    ours = drive(
        told, knowledge, scope, Hands(told, scope, person, measured=True), MOST_WALKS if job.kind == TWO else 1
    )
    others: dict[str, Drive] = {}
    if job.kind == ONE and person == USUAL:
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
        leaned=left_lean_by_hand(engine, ours.engine) and (not came_lean or ours.verdict == "cured"),
        on_record=back_on_record(ours.engine),
        mechanical=any(knowledge.faults[trouble.fault].mechanical for trouble in engine.troubles),
        early=ours.early,
        in_vain=sum(not change.helped for change in turns),
        questions=ours.steps,
        at_every_step=ours.at_every_step,
        before_anything=ours.before_anything,
        rivals={name: (other.minutes, other.cured) for name, other in others.items()},
    )


def left_lean_by_hand(came: SimEngine, left: SimEngine) -> bool:
    """Say whether a needle is left lean that somebody had displaced or that was turned: the day alone leans others."""
    return any(came.off_record(screw) or left.off_record(screw) for screw in left.lean_needles())


def back_on_record(left: SimEngine) -> bool:
    """Say whether every needle is within an hour of its record, or on its rich side as far as the day asks."""
    back = left.gone_back()
    return all(
        -WITHIN <= left.off_record(screw) <= max(WITHIN, back.off_record(screw) + 1e-6)
        for screw in NEEDLES[left.variant.needles]
    )


_shared: list[KnowledgeMeasured] = []
"""The bench of a worker process: it is sent over once and not with every job."""


def _share(knowledge: Knowledge, person: Person) -> None:
    _shared[:] = [KnowledgeMeasured(knowledge, person)]


def _work(job: Job) -> EngineOutcome:
    return result(job, _shared[0])


def results(
    knowledge: Knowledge, todo: Sequence[Job], cores: int = 0, person: Person = USUAL
) -> Iterator[EngineOutcome]:
    """Drive engines, in the order of the jobs, on so many cores (0: all that there are)."""
    cores = cores or len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else cores or os.cpu_count() or 1
    if cores == 1:
        bench = KnowledgeMeasured(knowledge, person)
        yield from (result(job, bench) for job in todo)
        return
    with multiprocessing.get_context("spawn").Pool(cores, _share, (knowledge, person)) as pool:
        yield from pool.imap(_work, todo, CHUNK)


class WantedFigure(Struct, frozen=True):
    """A number to reach: for a figure, at least or at most."""

    figure: str
    at_least: bool
    value: float

    def met(self, told: dict[str, Figure]) -> bool:
        """Say whether the figure reaches it."""
        found = told[self.figure].value
        return found >= self.value if self.at_least else found <= self.value


WANTED = (
    WantedFigure(f"{ONE}: cured", True, 0.92),
    WantedFigure(f"{ONE}: right mend first", True, 0.86),
    WantedFigure(f"{ONE}: adjustments over an hour", False, 0.0),
    WantedFigure(f"{ONE}: adjustments before a first look", False, 0.0),
    WantedFigure(f"{ONE}: left dangerously lean", False, 0.002),
    WantedFigure("static order: minutes, ours over theirs", False, 0.90),
    WantedFigure("needles first: minutes, ours over theirs", False, 1.0),
    WantedFigure("all-knowing: minutes, ours over theirs", False, 1.9),
    WantedFigure(f"{RECORDED}: every needle within an hour of the record", True, 0.95),
    WantedFigure(f"{TWO}: cured", True, 0.83),
    WantedFigure(f"{ONE}: says cured, and something is wrong", False, 0.015),
    WantedFigure(f"{EARLY}: in all", False, 0.02),
)
"""What the plan asks of the advice over 10,000 engines. Fixed before it was measured."""


class Report(Struct, frozen=True):
    """The figures of a measurement, by name, in the order in which they are told."""

    engines: dict[str, int]
    figures: dict[str, Figure]
    fell_short: tuple[WantedFigure, ...]
    """The numbers to reach that were not."""
    uncured: dict[str, int]
    """Why engines with one fault were not cured: the last words, with how many each."""
    early: dict[str, int]
    """The mechanical faults at which a needle was turned most often, with how often; the worst first."""
    believed: dict[str, ByWord]
    """How often each word for a likelihood was right with one fault: by the moment, in the order of the words."""


def report(found: Sequence[EngineOutcome], seed: int) -> Report:
    """Return the figures of what the engines came to."""
    by_kind = {kind: [one for one in found if one.kind == kind] for kind in SHARES}
    told: dict[str, Figure] = {}
    for kind, some in by_kind.items():
        told |= {f"{kind}: {name}": figure for name, figure in _shares(kind, some).items()}
        told |= {f"{kind}: {name}": figure for name, figure in _means(some, f"{seed} {kind}").items()}
    told |= _early(by_kind[ONE])
    if any(one.rivals for one in by_kind[ONE]):
        told |= _against(by_kind[ONE], str(seed))
    uncured: dict[str, int] = {}
    for one in by_kind[ONE]:
        if not one.cured:
            why = f"{one.complaint}: {' and '.join(one.faults)} ({one.verdict})"
            uncured[why] = uncured.get(why, 0) + 1
    most = dict(sorted(uncured.items(), key=lambda pair: (-pair[1], pair[0])))
    short = tuple(wanted for wanted in WANTED if wanted.figure in told and not wanted.met(told))
    worst: dict[str, int] = {}
    for one in by_kind[ONE]:
        if one.mechanical and one.early:
            worst[one.faults[0]] = worst.get(one.faults[0], 0) + 1
    ten = dict(sorted(worst.items(), key=lambda pair: (-pair[1], pair[0]))[:WORST])
    return Report({kind: len(some) for kind, some in by_kind.items()}, told, short, most, ten, _believed(by_kind[ONE]))


def _believed(some: Sequence[EngineOutcome]) -> dict[str, ByWord]:
    return {
        BEFORE_ANYTHING: together(one.before_anything for one in some),
        AT_EVERY_STEP: together(one.at_every_step for one in some),
    }


def _early(some: Sequence[EngineOutcome]) -> dict[str, Figure]:
    """Return how often a needle was turned at a mechanical fault before that was found: in all, and by reason."""
    broken = [one for one in some if one.mechanical]
    told = {f"{EARLY}: in all": figures.share(sum(bool(one.early) for one in broken), len(broken))}
    for reason in REASONS:
        told[f"{EARLY}: {reason}"] = figures.share(sum(one.early == reason for one in broken), len(broken))
    return told


def _shares(kind: str, some: Sequence[EngineOutcome]) -> dict[str, Figure]:
    over = len(some)

    def of(test: list[bool]) -> Figure:
        return figures.share(sum(test), over)

    found = {
        "cured": of([one.cured for one in some]),
        "verdict says cured": of([one.verdict == "cured" for one in some]),
        "walks without an end": of([one.verdict == NO_END for one in some]),
        "says cured, and something is wrong": of([one.verdict == "cured" and not one.cured for one in some]),
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

    times = sorted(one.minutes for one in some)
    cured = [float(one.cured) for one in some]
    return {
        "minutes": of([one.minutes for one in some]),
        "minutes, the longest of nine in ten": figures.exact(times[int(0.9 * (len(times) - 1))] if times else 0.0),
        "minutes, the longest": figures.exact(times[-1] if times else 0.0),
        "minutes for each that was cured": figures.ratio([one.minutes for one in some], cured, seed),
        "steps": of([float(one.questions) for one in some]),
        "turns in vain": of([float(one.in_vain) for one in some]),
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
