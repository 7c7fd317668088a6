"""The rules of the forms of faults: each can be looked for where it shows, and a look makes each condition."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.graph.model import OWED_SHARE, LookKind, fault_of
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof
from diagnose.graph.safety import listed


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield the conditions that no look makes, the forms that no look can show, and what a look can't tell of."""
    yield from _unmade(proof)
    yield from _unseen(proof)
    yield from _out_of_reach(proof)


def _unmade(proof: Proof) -> Iterator[Problem]:
    known = proof.knowledge
    looks = [known.conditions_of(check) for check in known.checks.values() if not check.remembered]
    for name in known.conditions:
        if not any(name in made for made in looks):
            yield proof.problem("condition-unmade", f"no look is made under '{name}'", "conditions", name)


def _unseen(proof: Proof) -> Iterator[Problem]:
    """See that a form that is owed a look has one that can show it, on every engine, or says why it has none."""
    for name, fault in proof.knowledge.faults.items():
        look: LookKind = "strip" if fault.first_look == "none" else "first"
        for hypothesis, form in fault.hypotheses(name).items() if fault.mechanical and fault.forms else ():
            if form.share < OWED_SHARE or form.because:
                continue
            blind = [one for one in proof.looks if fault.only.fits(one.engine) and hypothesis not in one.by[look]]
            if blind:
                needs = f" under {listed(list(form.when))}" if form.when else ""
                kind = "first look" if look == "first" else "strip-down"
                what = f"no {kind} can show '{hypothesis}'{needs} on {blind[0].engine.says()}"
                path = ("faults", name, "forms", hypothesis.partition(".")[2])
                yield proof.problem("form-unseen", f"{what}; without one it needs a 'because:'", *path)


def _out_of_reach(proof: Proof) -> Iterator[Problem]:
    """See that no answer names a form that does not show under the conditions of its look."""
    known = proof.knowledge
    for name, check in known.checks.items():
        made = known.conditions_of(check)
        for title, answer in check.answers.items():
            for hypothesis in answer.given:
                form = known.hypotheses(fault_of(hypothesis)).get(hypothesis)
                if form is not None and (missing := sorted(set(form.when) - made)):
                    what = f"'{name}' is not made under {listed(missing)}, so it shows nothing of '{hypothesis}'"
                    yield proof.problem("form-not-under", what, "checks", name, "answers", title, "if", hypothesis)
