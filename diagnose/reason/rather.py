"""Which symptom it rather is: an answer may show that the walk is about another one than it began with."""

from __future__ import annotations

from diagnose.graph.model import Ask
from diagnose.reason.scope import Scope
from diagnose.reason.state import State


def rather(scope: Scope, state: State, symptom: str, *, just_now: bool = False) -> tuple[str, ...]:
    """Return the symptoms that what was answered shows in place of this one, or only what was answered `just_now`."""
    found: list[str] = []
    for node in scope.knowledge.symptoms[symptom].route.values():
        if not isinstance(node, Ask) or node.ask not in state.answers or (just_now and node.ask != state.last):
            continue
        found += node.rather.get(state.answers[node.ask].answer, ())
    return tuple(dict.fromkeys(one for one in found if one != symptom))
