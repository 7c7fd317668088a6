"""A round: what is looked at in one go, line by line."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.graph.model.base import BenchState, Model, Name, Number, Short, Text


class Round(Model, frozen=True):
    """Checks that are made in one go, in the order of the hands. Each line is answered by itself."""

    name: Short
    state: BenchState
    checks: tuple[Name, ...]
    minutes: Number
    """Of all of its lines in one go: fewer than they take one by one."""
    because: Text
    """Why it takes fewer."""

    def share(self, alone: Mapping[str, float]) -> float:
        """Return which part of its own minutes each line takes beside the longest; `alone` has the checks' minutes.

        The longest line takes its own minutes whole. What the round leaves is shared by the others.
        """
        taken = [alone[name] for name in self.checks if name in alone]
        longest = max(taken, default=0.0)
        rest = sum(taken) - longest
        return min(max(self.minutes - longest, 0.0) / rest, 1.0) if rest else 1.0
