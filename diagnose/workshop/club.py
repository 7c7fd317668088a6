"""What a club's outings would make of the weights: counted, weighed against the files, and taken over when asked."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev
from diagnose.reason import order
from diagnose.reason.confirmed import confirmed, counted, together
from diagnose.reason.explain import owed_plan
from diagnose.reason.foretold import ENOUGH, gain
from diagnose.reason.learned import STRENGTH, Counts, Learned, shares
from diagnose.reason.looking import Looking
from diagnose.reason.no_weaker import weaker
from diagnose.reason.scope import Scope
from diagnose.reason.walk import begin
from diagnose.record import learned as kept
from diagnose.workshop.session import Session


class Moved(Struct, frozen=True):
    """How often a fault is behind a symptom, among the mechanical ones: by the files, and with the outings; 0 to 1."""

    fault: str
    outings: int
    before: float
    after: float


class Weighing(Struct, frozen=True):
    """What the outings make of one symptom."""

    symptom: str
    outings: int
    score: float
    """Nats by which they are foretold better than by the files alone, each before it was learned from."""
    helps: bool
    faults: tuple[Moved, ...]
    """Those of which the share is moved, the likeliest first."""
    looks_before: tuple[str, ...]
    looks_after: tuple[str, ...]
    """The checks that are owed before a needle, in the order in which they come."""
    minutes_before: float
    minutes_after: float
    """Minutes of looking till something shows, if it is as the outings say: in the one order, and in the other."""


class ClubOutings(Struct, frozen=True):
    """All that the outings say."""

    outings: int
    """Walks that were read."""
    confirmed: int
    """Those of them that one mend of a mechanical fault has cured."""
    shared: int
    """Outings of other clubs."""
    symptoms: tuple[Weighing, ...]
    in_use: Learned | None
    """What walks begin with now."""

    @property
    def score(self) -> float:
        """Nats by which all of them together are foretold better than by the files alone."""
        return sum(one.score for one in self.symptoms)


def own(session: Session) -> tuple[int, Counts]:
    """Return how many outings the journal holds, and what those that a mend has cured come to."""
    outings = session.outings()
    return len(outings), counted(confirmed(one.walk) for one in outings)


def club(session: Session, others: Sequence[Counts] = ()) -> ClubOutings:
    """Return what the outings say, with the counts of other clubs; raises `DiagnoseError` for counts given twice."""
    many, mine = own(session)
    for number, counts in enumerate(others):
        if counts == mine or counts in others[:number]:
            raise DiagnoseError("the same outings would count twice: leave one of the two out")
    counts, known = together((mine, *others)), session.knowledge
    told = (weighing(known, symptom, faults) for symptom, faults in counts.items())
    return ClubOutings(many, _sum(mine), sum(map(_sum, others)), tuple(told), kept.learned(session.journal))


def _sum(counts: Counts) -> int:
    return sum(many for faults in counts.values() for many in faults.values())


def weighing(knowledge: Knowledge, symptom: str, counts: dict[str, int]) -> Weighing:
    """Return what counts make of one symptom, on an engine of the usual kind."""
    scope, learned = Scope(knowledge, Variant()), Learned({symptom: counts})
    able = mechanical(knowledge, symptom)
    before, after = shares(able, {}, STRENGTH), shares(able, counts, STRENGTH)
    started = ev.Started(0.0, knowledge.digest, symptom, "", scope.engine)
    files = begin(knowledge, started, scope)
    ours = begin(knowledge, ev.Started(0.0, knowledge.digest, symptom, "", scope.engine, learned=learned), scope)
    first, then = owed_plan(files), owed_plan(ours)
    bench = Looking(ours.standing).bench(ours.standing.first_open)
    score = gain(able, counts, STRENGTH)
    moved = (Moved(fault, counts.get(fault, 0), before[fault], after[fault]) for fault in able)
    return Weighing(
        symptom,
        sum(counts.values()),
        score,
        score > ENOUGH,
        tuple(sorted(moved, key=lambda one: (-one.after, one.fault))),
        tuple(look.id for look in first),
        tuple(look.id for look in then),
        order.cost(first, bench),
        order.cost(then, bench),
    )


def mechanical(knowledge: Knowledge, symptom: str) -> dict[str, float]:
    """Return the weights of the mechanical faults behind a symptom, on whatever engine."""
    return {n: f.explains[symptom] for n, f in knowledge.faults.items() if f.mechanical and symptom in f.explains}


def learn(session: Session, others: Sequence[Counts] = ()) -> ClubOutings:
    """Take over what helps, symptom by symptom, and return it; nothing is stored where none does.

    A walk that is under way keeps what it began with. Raises `DiagnoseError` where a walk would hold back less.
    """
    found = club(session, others)
    counts = {one.symptom: {m.fault: m.outings for m in one.faults if m.outings} for one in found.symptoms if one.helps}
    if not counts:
        return found
    learned = Learned(counts)
    if lost := next(weaker(session.knowledge, learned), None):
        raise DiagnoseError(f"nothing was taken over, as a walk would hold back less: {lost}")
    kept.take(session.journal, learned, session.clock())
    return club(session, others)


def forget(session: Session) -> bool:
    """Let the files' weights count again, and say whether others did."""
    if kept.learned(session.journal) is None:
        return False
    kept.take(session.journal, None, session.clock())
    return True
