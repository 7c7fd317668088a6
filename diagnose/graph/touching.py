"""The rule of what a mend disturbs: what was seen of the fault's own area was seen before the mend."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each mend that says nothing of the area that it works in; an adjustment is re-tested by itself."""
    for name, fault in proof.knowledge.faults.items():
        if fault.turned:
            continue
        if fault.mechanical and fault.area not in fault.mend.touches:
            what = f"the mend of '{name}' works at '{fault.area}', and its 'touches:' does not list that area"
            yield proof.problem("touches-own-area", what, "faults", name, "mend", "touches")
        elif not fault.mend.touches:
            what = f"the mend of '{name}' turns a screw, and its 'touches:' lists no area"
            yield proof.problem("touches-own-area", what, "faults", name, "mend", "touches")
