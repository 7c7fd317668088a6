"""Which symptoms an engine in that state shows, and which one its owner reports.

An engine that does not start shows nothing of how it runs, so the symptoms stand in stages: what is reported is of the
first stage that fails, or a complaint that does not depend on it.
"""

from __future__ import annotations

from random import Random
from typing import NamedTuple

from diagnose.graph.model import Variant
from diagnose.practice.parts import Parts, Screws, Weather
from diagnose.practice.running import Running, run
from diagnose.practice.symptom_strengths import KICKS, SHOWS

ROUGH = "will-not-rev-cleanly-after-storage"
"""What a person calls almost any roughness, when the engine has stood for weeks."""
FIRST_START = "first-start"
"""No trouble: a walk before there is any. Nothing shows it."""
DOOR = "will-not-start"
STARTING = frozenset(
    {"will-not-turn-over", "spins-but-never-fires", "pops-but-will-not-catch", "dies-as-the-igniter-comes-off"}
)
"""What a person who does not know better calls: it won't start."""
_ROUGHNESS = (
    "flat-in-the-mid-range",
    "bogs-off-the-line",
    "will-not-hold-an-idle",
    "cuts-off-the-line",
    "will-not-rev-out",
)

RUNS = 5
"""The engine runs, and lasts."""
LIVES = 4
"""It runs by itself, if not for long."""

MOST = 5.0
"""A strength above this is named no more readily."""


TOLD = frozenset({*SHOWS, DOOR, FIRST_START, ROUGH})
"""The symptoms that the simulated engine knows."""

NEVER_SET = (FIRST_START, ROUGH)
"""Nothing that is wrong shows these on an engine that runs often: the one is no complaint, the other comes of weeks."""


class Circumstances(NamedTuple):
    """What decides which symptoms there are. `stored`: it has stood for weeks before this."""

    parts: Parts
    screws: Screws
    day: Weather
    variant: Variant
    stored: bool = False


def strengths(state: Circumstances) -> dict[str, float]:
    """Return how strongly each symptom shows now: of the first stage that fails, and of those at any stage."""
    running = run(state.parts, state.screws, state.day, state.variant)
    every = {name: symptom.strength(running, state.parts) for name, symptom in SHOWS.items()}
    stage = stage_reached(running, state.parts)
    found = {name: every[name] if SHOWS[name].stage in (stage, 9) else 0.0 for name in SHOWS}
    found[KICKS] = every[KICKS] if stage > 0 else 0.0
    rough = max(found[name] for name in _ROUGHNESS)
    return {
        **found,
        ROUGH: rough if state.stored else 0.0,
        DOOR: max(found[name] for name in STARTING),
        FIRST_START: 0.0,
    }


def stage_reached(running: Running, parts: Parts) -> int:
    """Return the first stage that fails; 5 when the engine runs and lasts."""
    stages = [(one.stage, one.strength) for name, one in SHOWS.items() if one.stage < 5 and name != KICKS]
    return min((stage for stage, strength in stages if strength(running, parts) >= 1), default=5)


def shown(state: Circumstances) -> dict[str, float]:
    """Return the symptoms that a person would notice, with their strengths."""
    return {name: strength for name, strength in strengths(state).items() if strength >= 1}


def reported(state: Circumstances, known: frozenset[str], rng: Random) -> str | None:
    """Return the symptom that a person reports, one of those `known`; None when nothing is amiss."""
    names, weights = [], []
    for name, strength in shown(state).items():
        if name in known:
            plain = SHOWS[name].plain if name in SHOWS else 0.35
            names.append(name)
            weights.append(min(strength, MOST) ** 3 * plain)
    return rng.choices(names, weights)[0] if names else None
