"""What is found plainly: an answer that hardly anything else would give, and that names one fault alone.

The carburettor moves, the line is off, the pipe's joint has play: whoever has that in his hands needs no more proof.
"""

from __future__ import annotations

from diagnose.reason.scope import Scope

HARDLY = 0.01
"""P(this answer | any other fault) up to which an answer is its own proof: the least that the belief knows."""

SHORT = 20.0
"""Minutes: a mend that takes longer wants a second look, however plain the first one was."""


def found(scope: Scope, check: str, answer: str) -> str:
    """Return the fault that an answer shows plainly; "" where it shows none so."""
    said, looked = scope.checks[check].answers[answer], scope.checks[check]
    if said.healthy or looked.remembered or len(said.names) != 1 or said.otherwise is None or said.otherwise > HARDLY:
        return ""
    fault = said.names[0]
    known = scope.faults.get(fault)
    if known is None or not known.mechanical or fault not in scope.clears(check) or not quick(scope, fault):
        return ""
    return fault


def quick(scope: Scope, fault: str) -> bool:
    """Say whether a mend is begun on one look: it takes 20 minutes at most, and does not open the engine."""
    mend = scope.faults[fault].mend
    opens = any(scope.knowledge.openings[part].engine for part in mend.takes_off)
    return mend.minutes <= SHORT and mend.state != "stripped" and not opens
