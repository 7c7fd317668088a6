"""What a look is given to look at, and what of it can be measured: by eye, ear, hand or thermometer."""

from __future__ import annotations

from collections.abc import Callable
from operator import attrgetter
from typing import NamedTuple

from msgspec.structs import replace

from diagnose.graph.model import Knowledge
from diagnose.graph.model.parts import Measure, ranges
from diagnose.practice.flow import gap, off_stop, right
from diagnose.practice.parts import MID, SOUND, Parts, Screws, attribute
from diagnose.practice.running import Running, run, squeeze
from diagnose.practice.symptoms import Circumstances, stage_reached, strengths


class Seen(NamedTuple):
    """Everything that a look may go by."""

    state: Circumstances
    running: Running
    parts: Parts
    screws: Screws
    record: Screws | None
    """The settings on record, which a count or a paint mark is held against."""
    complaint: str
    """The symptom that was reported: what a spare part is tried against."""
    stage: int
    """The first stage of running that fails; 5 when it runs."""
    knowledge: Knowledge
    own: Parts
    """The parts themselves, as an eye finds them: without what only acts like a fault of theirs."""
    whole: Callable[[Parts], Parts]
    """Returns what such parts come to with that."""
    alike: tuple[str, ...]
    """The faults that are there and only act like another."""
    there: Callable[[], tuple[str, ...]]
    """Returns the hypotheses that are there: faults, and of those that take several forms the form."""

    def cured_with(self, fresh: tuple[str, ...]) -> bool:
        """Say whether the complaint would be gone with these parts sound."""
        fitted = self.whole(renewed(self.own, fresh))
        return strengths(self.state._replace(parts=fitted)).get(self.complaint, 0.0) < 1


def seen(
    state: Circumstances,
    record: Screws | None,
    complaint: str,
    knowledge: Knowledge,
    own: Parts,
    whole: Callable[[Parts], Parts],
    alike: tuple[str, ...],
    there: Callable[[], tuple[str, ...]],
) -> Seen:
    """Return what a look at this engine is given."""
    running = run(state.parts, state.screws, state.day, state.variant)
    stage = stage_reached(running, state.parts)
    return Seen(
        state, running, state.parts, state.screws, record, complaint, stage, knowledge, own, whole, alike, there
    )


def renewed(parts: Parts, fresh: tuple[str, ...]) -> Parts:
    """Return the parts with some of them, by their names in files, sound."""
    return replace(parts, **{name: getattr(SOUND, name) for name in map(attribute, fresh)})


def _turning_bare(seen: Seen) -> float:
    """Return what turning takes with the plug out, over what the starter has."""
    parts = seen.parts
    return (0.15 + parts.tight + 1.5 * parts.jam + parts.gum**2 + 2 * parts.seized) / max(parts.starter, 0.01)


def _under_the_shell(seen: Seen) -> float:
    """Return how many °C cooler the head comes in without the body shell."""
    bare = run(replace(seen.parts, shell=1.0), seen.screws, seen.state.day, seen.state.variant)
    return seen.running.race - bare.race


def _apart(screws: Screws, other: Screws) -> float:
    return max(abs(screws.high - other.high), abs(screws.low - other.low))


MEASURED: dict[Measure, Callable[[Seen], float]] = {
    "idle speed": lambda s: s.running.idle,
    "idle gap": lambda s: gap(s.parts, s.screws),
    "idle stop gap": lambda s: s.screws.gap,
    "off the stop": lambda s: off_stop(s.parts),
    "mixture at idle": lambda s: s.running.mixture[0],
    "mixture after idling": lambda s: s.running.wet,
    "mixture off idle": lambda s: s.running.launch,
    "mixture at half throttle": lambda s: s.running.mixture[1],
    "mixture at full throttle": lambda s: s.running.mixture[2],
    "thinning": lambda s: s.running.thins,
    "fire at speed": lambda s: s.running.keep,
    "fire at idle": lambda s: s.running.keep_idle,
    "fuel at start": lambda s: s.running.fuel_at_start,
    "air in line": lambda s: max(s.parts.line_leak, s.parts.pickup * (1 - s.parts.level)),
    "turning": lambda s: s.running.turning,
    "turning with plug out": _turning_bare,
    "warm squeeze": lambda s: squeeze(s.parts),
    "lukewarm squeeze": lambda s: (squeeze(s.parts) + squeeze(s.parts, warm=False)) / 2,
    "pull on the road": lambda s: s.running.pulls,
    "heat on the stand": lambda s: s.running.stand,
    "heat shown on the stand": lambda s: s.running.stand + 0.7 * s.parts.reads,
    "heat shown after laps": lambda s: s.running.race + s.parts.reads,
    "heat under the shell": _under_the_shell,
    "hours off record": lambda s: _apart(s.screws, s.record or s.screws),
    "mid needle off mark": lambda s: abs(s.screws.mid - MID) if s.state.variant.needles == 3 else 0.0,
    "hours off right": lambda s: _apart(s.screws, right(s.state.day, s.state.variant.needles)),
    "stage": lambda s: s.stage,
}

_PARTS: dict[str, Callable[[Seen], float]] = {name: attrgetter(f"own.{attribute(name)}") for name in ranges()}
SENSES: dict[str, Callable[[Seen], float]] = {**_PARTS, **{str(name): how for name, how in MEASURED.items()}}
"""What can be told of an engine, by the names in files: every part, and what is measured."""
