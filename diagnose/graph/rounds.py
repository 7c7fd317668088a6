"""The rules of the rounds: what is looked at in one go can be, and takes fewer minutes than one by one."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.graph.model import Round
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof
from diagnose.graph.safety import listed


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield the rounds that are none, and the checks that stand in two places."""
    seen: dict[str, str] = {}
    for name, made in proof.knowledge.rounds.items():
        if len(set(made.checks)) < 2:
            what = f"'{name}' has fewer than two checks: a round is what is looked at in one go"
            yield proof.problem("round-of-one", what, "rounds", name, "checks")
        for number, check in enumerate(made.checks):
            if check in seen:
                what = f"'{check}' stands in '{seen[check]}' already: its minutes would count twice"
                yield proof.problem("round-twice", what, "rounds", name, "checks", str(number))
            seen.setdefault(check, name)
        yield from _lines(proof, name, made)
        yield from _guards(proof, name, made)
        yield from _minutes(proof, name, made)


def _lines(proof: Proof, name: str, made: Round) -> Iterator[Problem]:
    """See that all of it can be looked at as the car stands, with nothing opened for it."""
    for number, check in enumerate(made.checks):
        looked = proof.knowledge.checks[check]
        at = ("rounds", name, "checks", str(number))
        if looked.state != made.state:
            what = f"'{check}' is made '{looked.state}', and the round '{made.state}': a round has one bench state"
            yield proof.problem("round-state", what, *at)
        if looked.look != "first":
            yield proof.problem("round-first-looks", f"'{check}' is a strip-down: a round has first looks alone", *at)


def _guards(proof: Proof, name: str, made: Round) -> Iterator[Problem]:
    """See that a round with a guard begins with all of them: nothing comes before them in a walk either."""
    guards = [check for check, looked in proof.knowledge.checks.items() if looked.guard]
    if set(made.checks) & set(guards) and set(made.checks[: len(guards)]) != set(guards):
        what = f"a round with a guard begins with both: {listed(guards)}"
        yield proof.problem("round-guards", what, "rounds", name, "checks")


def _minutes(proof: Proof, name: str, made: Round) -> Iterator[Problem]:
    """See that a round saves minutes, and takes no fewer than its longest line alone."""
    alone = [proof.knowledge.checks[check].minutes for check in dict.fromkeys(made.checks)]
    at = ("rounds", name, "minutes")
    if len(alone) > 1 and made.minutes >= sum(alone):
        what = f"{made.minutes:g} minutes are not fewer than the {sum(alone):g} of its checks one by one"
        yield proof.problem("round-minutes", what, *at)
    if made.minutes < max(alone, default=0.0):
        what = f"{made.minutes:g} minutes are fewer than the {max(alone):g} of its longest check alone"
        yield proof.problem("round-minutes", what, *at)
