"""The one order of the first looks: guards first, then as the route goes on while everything comes out healthy.

The walk, the list of what is owed and the deadline all keep to it. An order that was planned is kept for as long as
every answer is healthy: what is the best order then is the rest of it.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from diagnose.graph.model import Ask, Sweep
from diagnose.reason.standing import Standing

FURTHEST = 50
"""More nodes than a route has on its healthy way."""


def planned_at(standing: Standing) -> Standing:
    """Return where the walk stood when something other than a healthy look last happened."""
    state = standing.state
    if not state.sound:
        return standing
    answers = {name: given for name, given in state.answers.items() if name not in state.sound}
    bench, last, longest = state.sound_since
    return Standing(standing.scope, replace(state, answers=answers, bench=bench, last=last, longest=longest, sound=()))


def stages(standing: Standing) -> Iterator[frozenset[str] | str]:
    """Yield what lies ahead while everything is healthy: what sweeps in a row owe together, or the check of an ask."""
    symptom, node = standing.symptom, standing.position.node
    owed: frozenset[str] = frozenset()
    for _ in range(FURTHEST):
        step = symptom.route.get(node)
        if step is None:
            break
        if not step.only.fits(standing.scope.engine):
            node = step.otherwise or ""
        elif isinstance(step, Sweep):
            if step.look == "first":
                owed |= standing.unlooked(standing.owed_in(standing.symptom_id, step), "first", standing.symptom_id)
            node = step.then
        elif isinstance(step, Ask):
            yield owed
            owed = frozenset()
            yield step.ask
            node = step.branches.get(standing.scope.checks[step.ask].healthy, "")
        else:
            break
    yield owed
    yield standing.first_open
