"""Learning, measured on simulated clubs: what their outings are worth, and what wrong entries cost.

A club has its own frequencies: how often each fault is drawn in the simulator is multiplied by a factor of its own,
log-normal with `SPREAD`. Its cars are driven by the program's advice, and what each walk confirms is what a club's
journal would hold. Then fresh cars of the same club are driven twice: by the files' weights, and with what was learned.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from diagnose.graph.model import Knowledge
from diagnose.measure import figures
from diagnose.measure.figures import Figure
from diagnose.practice.drive import Drive, drive
from diagnose.practice.engine import SimEngine, random_engine
from diagnose.practice.hands import Hands
from diagnose.practice.person import USUAL
from diagnose.reason.confirmed import CuredBy, counted
from diagnose.reason.foretold import helps
from diagnose.reason.learned import STRENGTH, Counts, Learned
from diagnose.reason.scope import Scope

SPREAD = 1.0
"""In one club of three a fault is more than 2.7 times as common, or as rare, as in the simulator. Assumed."""


class Clubs(Struct, frozen=True):
    """What is simulated: so many clubs of a seed, the numbers of outings learned from, and the fresh cars of each."""

    seed: str
    clubs: int
    outings: tuple[int, ...]
    cars: int
    wrong: tuple[float, ...] = (0.0, 0.2)
    """Shares of the confirmed ends that name another fault."""
    spread: float = SPREAD
    strength: float = STRENGTH


class ClubOutcome(Struct, frozen=True):
    """What one club came to: minutes car by car, by the files' weights and by (outings, share of wrong entries)."""

    confirmed: int
    """Of its outings, those that one mend of a mechanical fault has cured."""
    right: int
    """Of these, those that name what the simulator had broken."""
    files: tuple[float, ...]
    learned: dict[str, tuple[float, ...]]
    cured: dict[str, int]
    """Cars cured, by the same names; `FILES` for the files' weights."""


FILES = "files"
ORDERS = 10_000
"""Orders that are kept at hand: those of other weights are of no use any more."""


def name(outings: int, wrong: float) -> str:
    """Return the name of one way of learning."""
    return f"{outings} outings, {wrong:.0%} wrong"


def own_world(knowledge: Knowledge, seed: str, spread: float) -> Knowledge:
    """Return the knowledge with a club's own frequencies in the simulator; nothing else differs."""
    rng = Random(f"{seed} frequencies")
    rows = {
        fault: replace(row, often=row.often * exp(rng.gauss(0, spread)))
        for fault, row in knowledge.simulated_faults.items()
    }
    return replace(knowledge, simulated_faults=rows)


def falsified(ends: Sequence[CuredBy | None], share: float, knowledge: Knowledge, seed: str) -> list[CuredBy | None]:
    """Return the ends with a share of them naming another mechanical fault of the symptom, each as likely."""
    found: list[CuredBy | None] = []
    for number, end in enumerate(ends):
        rng = Random(f"{seed} wrong {number}")
        if end is not None and rng.random() < share:
            others = [fault for fault in _mechanical(knowledge, end.symptom) if fault != end.fault]
            end = CuredBy(end.symptom, rng.choice(others)) if others else end
        found.append(end)
    return found


def helping(counts: Counts, knowledge: Knowledge, strength: float) -> Learned:
    """Return what a club would take over of its counts: the symptoms on which they help."""
    kept = {s: faults for s, faults in counts.items() if helps(_mechanical(knowledge, s), faults, strength)}
    return Learned(kept, strength)


def _mechanical(knowledge: Knowledge, symptom: str) -> dict[str, float]:
    return {n: f.explains[symptom] for n, f in knowledge.faults.items() if f.mechanical and symptom in f.explains}


class _Drivers:
    """Drives cars, with the knowledge laid out once for each kind of engine."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self.scopes: dict[str, Scope] = {}

    def drive(self, engine: SimEngine, learned: Learned | None) -> Drive:
        scope = self.scopes.setdefault(engine.variant.says(), Scope(self.knowledge, engine.variant))
        if len(scope.planned) > ORDERS:
            scope.planned.clear()
        return drive(engine, self.knowledge, scope, Hands(engine, scope, USUAL, measured=True), 1, learned)


def outcome(knowledge: Knowledge, plan: Clubs, number: int) -> ClubOutcome:
    """Drive one club's cars."""
    seed = f"{plan.seed} club {number}"
    world, drivers = own_world(knowledge, seed, plan.spread), _Drivers(knowledge)
    engines = [random_engine(f"{seed} outing {n}", world) for n in range(max(plan.outings))]
    ends = [drivers.drive(engine, None).confirms for engine in engines]
    cars = [random_engine(f"{seed} car {n}", world) for n in range(plan.cars)]
    by_files = [drivers.drive(car, None) for car in cars]
    learned, cured = {}, {FILES: sum(one.cured for one in by_files)}
    for wrong in plan.wrong:
        entered = falsified(ends, wrong, knowledge, seed)
        for outings in plan.outings:
            known = helping(counted(entered[:outings]), knowledge, plan.strength)
            found = [drivers.drive(car, known) for car in cars]
            learned[name(outings, wrong)] = tuple(one.minutes for one in found)
            cured[name(outings, wrong)] = sum(one.cured for one in found)
    true = zip(ends, engines, strict=True)
    return ClubOutcome(
        confirmed=sum(end is not None for end in ends),
        right=sum(end is not None and end.fault == engine.troubles[0].fault for end, engine in true),
        files=tuple(one.minutes for one in by_files),
        learned=learned,
        cured=cured,
    )


class ClubsReport(Struct, frozen=True):
    """The figures over all clubs."""

    confirmed: Figure
    """Outings that count."""
    right: Figure
    """Of these, how many name what was wrong."""
    minutes: dict[str, Figure]
    """Expected minutes with what was learned over those by the files' weights, by the way of learning."""
    cured: dict[str, Figure]


def report(plan: Clubs, found: Iterable[ClubOutcome]) -> ClubsReport:
    """Return the figures; the intervals are those of a bootstrap over cars."""
    some = list(found)
    files = [minutes for one in some for minutes in one.files]
    counts, outings = sum(one.confirmed for one in some), max(plan.outings) * len(some)
    return ClubsReport(
        figures.share(counts, outings),
        figures.share(sum(one.right for one in some), counts),
        {
            way: figures.ratio([m for one in some for m in one.learned[way]], files, f"{plan.seed} {way}")
            for way in some[0].learned
        },
        {way: figures.share(sum(one.cured[way] for one in some), len(files)) for way in some[0].cured},
    )
