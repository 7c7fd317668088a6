"""Hints in three strengths: which area to look at, which check to make there, and the step itself, worked."""

from __future__ import annotations

from diagnose.graph.say import say
from diagnose.practice.check_answers import truth
from diagnose.practice.hands import Hands

STRENGTHS = (1, 2, 3)
SAID = {1: "which area", 2: "which check", 3: "the step itself, and why"}
COSTS = {1: 5, 2: 10, 3: 20}
"""Points that the strongest hint of each fault costs."""


def hint(hands: Hands, strength: int) -> tuple[str, ...]:
    """Return a hint about what is still wrong, a mechanical fault before a screw."""
    scope = hands.scope
    wrong = sorted(hands.wrong(), key=lambda fault: not scope.knowledge.faults[fault].mechanical)
    if not wrong:
        return ("Nothing is wrong any more but what you turned yourself. Think of the last step, and try it again.",)
    fault = scope.knowledge.faults[wrong[0]]
    if strength == 1:
        return (f"Look at this area: {fault.area}.",)
    checks = [name for name in scope.checks if wrong[0] in scope.clears(name)]
    shown = {name: truth(name, scope.checks[name], hands.engine.seen(hands.complaints[-1])) for name in checks}
    showing = [name for name, found in shown.items() if found and found[0] != scope.checks[name].healthy]
    if not showing and fault.screw is not None:
        told = f"No look shows it by itself: it is the {fault.screw}, once all else has been looked for."
        return (told,) if strength == 2 else (told, f"What is wrong with it: {fault.name}.")
    if not showing:
        return (f"No look shows it plainly now. What is wrong: {fault.name}.",)
    best = min(showing, key=lambda name: (scope.checks[name].minutes, name))
    check = scope.checks[best]
    if strength == 2:
        return (f"Make this check: {check.name}.",)
    found = shown[best]
    assert found is not None
    said = say(check.answers[found[0]].say, scope.knowledge, scope.engine)
    why = say(check.why, scope.knowledge, scope.engine)
    return (f"Make this check: {check.name}.", f"Why: {why}", f"It shows: {said}.", f"So it is: {fault.name}.")
