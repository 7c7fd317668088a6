"""Which form of a fault it is: how the answers so far share a fault's belief among its forms."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from diagnose.graph.model import fault_of
from diagnose.reason.belief import posterior
from diagnose.reason.scope import Likelihood, Scope

KNOWN = 0.8
"""A form with this share of its fault's belief is known, once an answer has spoken of it."""

STILL_HELD = 0.01
"""A form with less belief than this among everything holds its fault back no longer."""

_TINY = 1e-9


class Forms:
    """The forms of the faults that explain a symptom, after the evidence of one standing."""

    def __init__(self, scope: Scope, symptom: str, evidence: Sequence[tuple[Likelihood, float]]) -> None:
        self.scope, self.symptom, self.evidence = scope, symptom, evidence
        self._shares: dict[str, dict[str, float]] = {}

    def of(self, fault: str) -> dict[str, float]:
        """Return the hypotheses of a fault, each with its share of the fault's belief."""
        if fault not in self.scope.forms:
            return {fault: 1.0}
        if fault not in self._shares:
            self._shares[fault] = posterior(self.scope.shares(fault, self.symptom), self.evidence)
        return self._shares[fault]

    def likeliest(self, fault: str) -> str:
        """Return the likeliest hypothesis of a fault; the first of those that are alike."""
        shares = self.of(fault)
        return max(shares, key=lambda hypothesis: shares[hypothesis])

    def now(self, likelihood: Likelihood, faults: Iterable[str]) -> Likelihood:
        """Return what is said of hypotheses said of `faults`, as far as their forms are known now."""
        changed = {
            fault: sum(share * likelihood.of(hypothesis) for hypothesis, share in self.of(fault).items())
            for fault in faults
            if fault in self.scope.forms
        }
        return Likelihood({**likelihood.named, **changed}, likelihood.otherwise) if changed else likelihood

    def name(self, fault: str) -> str:
        """Return the name of a fault, with its form in brackets once that is known."""
        known = self.known(fault)
        return self.named(fault, [known] if known else [])

    def known(self, fault: str) -> str:
        """Return the hypothesis that an answer has made known; "" while there is none."""
        if fault not in self.scope.forms:
            return ""
        likeliest = self.likeliest(fault)
        share, before = self.of(fault)[likeliest], self.scope.shares(fault, self.symptom)[likeliest]
        return likeliest if share >= KNOWN and share > before + _TINY else ""

    def named(self, fault: str, hypotheses: Iterable[str]) -> str:
        """Return the name of a fault, with some of its forms in brackets."""
        forms = [self.scope.forms[fault][hypothesis].name for hypothesis in hypotheses]
        return self.scope.faults[fault].name + (f" ({', '.join(forms)})" if forms else "")

    def owed(self, ids: Iterable[str], order: Callable[[str], tuple[float, str]]) -> list[str]:
        """Return the names of the faults that `ids` are about, in order: whole, or the forms that are left of them."""
        left: dict[str, list[str]] = {}
        for one in sorted(ids):
            left.setdefault(fault_of(one), []).append(one)
        return [self.named(fault, [] if fault in left[fault] else left[fault]) for fault in sorted(left, key=order)]
