"""What an order of looks comes to: its minutes, with bench states and rounds counted, and what it is likely to show."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple


class RoundLine(NamedTuple):
    """A look's place in a round: what is looked at in one go takes fewer minutes."""

    round: str
    place: int
    share: float
    """Which part of its own minutes it takes beside the longest line of the round."""


MinutesBetween = Callable[[str, str], float]
"""The minutes from one bench state to another."""


class PlannedLook(NamedTuple):
    """A check as the planner sees it."""

    id: str
    minutes: float
    state: str
    shown: Mapping[str, float]
    """P(an unhealthy answer | fault), for the faults it names."""
    otherwise: float
    """The same for any other fault."""
    clears: frozenset[str]
    """The faults that a healthy answer looks for."""
    line: RoundLine | None = None


class Prospect(NamedTuple):
    """What the order is planned against."""

    belief: Mapping[str, float]
    owed: frozenset[str]
    state: str
    change: MinutesBetween
    before: PlannedLook | None = None
    """The look that was made just now, and the longest line of its round so far: the round may go on."""
    longest: float = 0.0


def goes_on(look: PlannedLook, before: PlannedLook | None) -> bool:
    """Say whether a look goes on with the round of the one before it: a later line of the same hands."""
    if before is None or look.line is None or before.line is None:
        return False
    return look.line.round == before.line.round and look.line.place > before.line.place


def in_a_row(look: PlannedLook, before: PlannedLook | None, longest: float) -> tuple[float, float]:
    """Return the minutes of a look after another, and the longest line of its round so far.

    The longest line of a round takes its own minutes whole, and each other one its share of them.
    """
    if not goes_on(look, before):
        return look.minutes, look.minutes
    assert look.line is not None
    most = max(look.minutes, longest)
    return most - longest + look.line.share * (look.minutes + longest - most), most


def cost(sequence: Sequence[PlannedLook], bench: Prospect) -> float:
    """Return the expected minutes of a sequence that stops at the first unhealthy answer."""
    left = dict(bench.belief)
    total, alive = 0.0, 1.0
    for look, took in zip(sequence, each(sequence, bench), strict=True):
        total += alive * took
        left = _after(left, look)
        alive = sum(left.values())
    return total


def each(sequence: Sequence[PlannedLook], bench: Prospect) -> Iterator[float]:
    """Yield the minutes of each look of a sequence, with the change into its bench state."""
    before, state, longest = bench.before, bench.state, bench.longest
    for look in sequence:
        took, longest = in_a_row(look, before, longest)
        yield took + bench.change(state, look.state)
        before, state = look, look.state


def after(sequence: Sequence[PlannedLook], bench: Prospect) -> Prospect:
    """Return how the bench stands once these looks were made; what is believed stays as it is."""
    before, state, longest = bench.before, bench.state, bench.longest
    for look in sequence:
        _, longest = in_a_row(look, before, longest)
        before, state = look, look.state
    return bench._replace(before=before, state=state, longest=longest)


def minutes(sequence: Sequence[PlannedLook], bench: Prospect) -> float:
    """Return the minutes of a sequence in which every answer is healthy."""
    return sum(each(sequence, bench))


def efficiency(look: PlannedLook, left: Mapping[str, float], state: str, change: MinutesBetween) -> float:
    """Return the chance of an unhealthy answer per minute."""
    chance = sum(left.values()) - sum(_after(left, look).values())
    return chance / max(look.minutes + change(state, look.state), 1e-9)


def within(looks: Sequence[PlannedLook], bench: Prospect, budget: float) -> tuple[PlannedLook, ...]:
    """Return the looks that are likeliest to show a fault in the minutes left, in the order in which they came.

    All that is owed is cut down till it fits: what shows least for the minutes that it takes goes first. Then whatever
    has room after all comes back.
    """
    chosen = [look for look in looks if look.clears & bench.owed]
    out: list[PlannedLook] = []
    while chosen and minutes(chosen, bench) > budget:
        out.append(min(chosen, key=lambda look: (_loss(chosen, look, bench), look.id)))
        chosen.remove(out[-1])
    for look in reversed(out):
        with_it = [one for one in looks if one in chosen or one is look]
        if minutes(with_it, bench) <= budget:
            chosen = with_it
    return tuple(chosen)


def _loss(chosen: Sequence[PlannedLook], look: PlannedLook, bench: Prospect) -> float:
    """Return the chance of an unhealthy answer that is lost without a look, per minute that is won."""
    without = [one for one in chosen if one is not look]
    won = minutes(chosen, bench) - minutes(without, bench)
    return (_still_hidden(without, bench) - _still_hidden(chosen, bench)) / max(won, 1e-9)


def _still_hidden(looks: Iterable[PlannedLook], bench: Prospect) -> float:
    """Return the chance that all of these looks come out healthy."""
    left = dict(bench.belief)
    for look in looks:
        left = _after(left, look)
    return sum(left.values())


def _after(left: Mapping[str, float], look: PlannedLook) -> dict[str, float]:
    """Return the belief mass that is still alive when the look came out healthy."""
    shown, otherwise = look.shown, look.otherwise
    return {fault: mass * (1 - shown.get(fault, otherwise)) for fault, mass in left.items()}
