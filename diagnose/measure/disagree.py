"""Where the simulated engine and the knowledge disagree about P(answer | fault): one of the two is wrong.

The simulator's side is worked out over many engines that have the fault and show it, with the noise of the trust grade
taken at its expectation, and only where a complaint would bring the check up. The knowledge's side is `Check.chance`.
What the knowledge says of a fault that an answer names is compared both ways; of one that it does not name (its
`else`), only where the simulator shows it plainly. Nothing here changes either side.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from diagnose.graph.model import Ask, Check, Knowledge
from diagnose.practice import symptoms
from diagnose.practice.engine import SimEngine, showing, sound_engine, with_trouble
from diagnose.practice.seeing import TRUST, see, truth

ENGINES = 40
"""Engines a fault."""
FACTOR = 3.0
LEAST = 0.10
"""An answer that both sides hold rarer than this is not compared: nobody chooses by it, and noise rules it."""
PLAIN = 0.30
"""What the simulator must show of a fault that the answer does not name, to be worth a line."""
TOLD = 10
"""Engines on which a check must be possible, for the comparison to mean something."""


class Disagreement(Struct, frozen=True):
    """One answer on which the two differ by more than the factor."""

    check: str
    answer: str
    fault: str
    simulated: float
    known: float


def with_fault(fault: str, knowledge: Knowledge, number: int) -> SimEngine | None:
    """Return an engine that has a fault and shows it, recorded; None when this one cannot have it."""
    base = sound_engine(f"{fault} {number}", knowledge)
    if not knowledge.faults[fault].only.fits(base.variant):
        return None
    known = frozenset(knowledge.symptoms) - {symptoms.FIRST_START}
    rng = Random(f"{fault} {number} trouble")
    trouble = showing(base, rng, fault, known)
    if trouble is None:
        return None
    engine = with_trouble(base, trouble)
    told = symptoms.reported(engine.state, known - {symptoms.DOOR}, rng)
    return replace(engine, complaint=told or "", recorded=True)


def chances(
    fault: str, knowledge: Knowledge, engines: int = ENGINES, asked: dict[str, frozenset[str]] | None = None
) -> dict[str, dict[str, float]]:
    """Return P(answer | fault) on simulated engines, by check; without the checks that few of them allow.

    `asked` keeps the checks that each complaint brings up, from one fault to the next.
    """
    asked = {} if asked is None else asked
    found: dict[str, dict[str, float]] = {}
    told: dict[str, int] = {}
    number = made = 0
    while made < engines and number < 4 * engines:
        engine = with_fault(fault, knowledge, number)
        number += 1
        if engine is None:
            continue
        made += 1
        if engine.complaint not in knowledge.faults[fault].explains:
            continue  # there the probabilities are never used: they speak of complaints that the fault explains
        if engine.complaint not in asked:
            asked[engine.complaint] = _asked(engine.complaint, knowledge)
        for name, check in knowledge.checks.items():
            if name not in asked[engine.complaint] or not check.only.fits(engine.variant):
                continue
            spread = _expected(name, check, engine, knowledge)
            if spread:
                told[name] = told.get(name, 0) + 1
                sums = found.setdefault(name, dict.fromkeys(check.answers, 0.0))
                for answer, chance in spread.items():
                    sums[answer] += chance
    return {
        name: {answer: total / told[name] for answer, total in sums.items()}
        for name, sums in found.items()
        if told[name] >= min(TOLD, engines)
    }


def _asked(complaint: str, knowledge: Knowledge) -> frozenset[str]:
    """Return the checks that a complaint brings up: by its route, or since they show what could explain it."""
    branching = {node.ask for node in knowledge.symptoms[complaint].route.values() if isinstance(node, Ask)}
    suspects = {
        name
        for name, fault in knowledge.faults.items()
        if fault.mechanical and (fault.first_look == "always" or complaint in fault.explains)
    }
    looks = {name for name, check in knowledge.checks.items() if knowledge.shown_by(check) & suspects}
    return frozenset(branching | looks)


def _expected(name: str, check: Check, engine: SimEngine, knowledge: Knowledge) -> dict[str, float]:
    """Return how likely each answer is at one engine; nothing when it can't be told there."""
    seen = engine.seen()
    look = knowledge.simulated_checks.get(name)
    if look is not None and look.reads is not None:
        read = see(name, check, seen, Random(f"{engine.seed} {name}"))
        return {knowledge.band(check, read, engine.variant): 1.0} if isinstance(read, float) else {}
    found = truth(name, check, seen)
    if look is None or found is None:
        return {}
    answer, grade = found
    if answer != check.healthy:
        return {answer: TRUST[grade][0], check.healthy: 1 - TRUST[grade][0]}
    mistaken = TRUST[look.trust][1]
    others = [one for one in check.answers if one != check.healthy]
    return {check.healthy: 1 - mistaken, **dict.fromkeys(others, mistaken / len(others))}


def disagreements(knowledge: Knowledge, engines: int = ENGINES) -> Iterator[Disagreement]:
    """Yield each unhealthy answer on which the two differ by more than the factor, fault by fault."""
    asked: dict[str, frozenset[str]] = {}
    for fault in knowledge.faults:
        if fault not in knowledge.simulated_faults:
            continue
        for name, spread in chances(fault, knowledge, engines, asked).items():
            check = knowledge.checks[name]
            for answer, simulated in spread.items():
                known = knowledge.chances(check, fault)[answer]
                named = fault in check.answers[answer].names
                if answer == check.healthy or (max(simulated, known) < LEAST if named else simulated < PLAIN):
                    continue
                if max(simulated, known) > FACTOR * max(min(simulated, known), 1e-9):
                    yield Disagreement(name, answer, fault, round(simulated, 3), round(known, 3))
