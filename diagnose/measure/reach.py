"""Which walks a change to the knowledge can reach: the others need not be walked again to see what it does.

A walk reads a fault where it explains the symptom, where its first look is always owed, and where an answer names it;
a check where it shows such a fault, where the route asks it, and where it was made.
"""

from __future__ import annotations

from collections.abc import Collection, Container, Iterable, Mapping
from functools import cached_property
from typing import Any

from diagnose.graph.model import Ask, Knowledge, exits, fault_of
from diagnose.graph.places import Path

ON_MENDING = ("minutes", "state", "touches", "takes off", "puts back", "cranks", "tools")
"""What of a mend is read only where it is thought of."""


class Reach:
    """What each walk of some knowledge reads; `facts` are those that are read at all."""

    def __init__(self, known: Knowledge, facts: Container[str]) -> None:
        self.known, self.facts = known, facts
        self.leads = {name: _reached(known, name) for name in known.symptoms}
        """The symptoms that a walk of each may come to, itself among them."""
        self._asked: dict[str, set[str]] = {}
        for name, symptom in known.symptoms.items():
            for node in symptom.route.values():
                if isinstance(node, Ask):
                    self._asked.setdefault(node.ask, set()).add(name)

    def about(self, path: Path, entry: dict[str, Any]) -> frozenset[str] | None:
        """Return the symptoms whose walks read what is changed, whatever they meet; None when it may be any."""
        kind, name, *where = path
        match kind, *where:
            case "symptoms", "people say", _:
                return frozenset()
            case "symptoms", *_:
                return frozenset({name})
            case "faults", "mend", part, *_ if part in ON_MENDING:
                return frozenset()
            case "faults", "explains", symptom:
                return frozenset({symptom})
            case "faults", *_:
                return self._of(name, entry)
            case "checks", "answers", _, "if", fault:
                return self._of(fault_of(fault))
            case "checks", *_:
                return self._of_check(name)
            case "preparations", *_ if not self.known.preparations[name].back:
                return frozenset()
            case "facts", *_ if name not in self.facts:
                return frozenset()
            case _:
                return None

    def _of(self, fault: str, entry: Mapping[str, Any] | None = None) -> frozenset[str] | None:
        found = self.known.faults[fault]
        if found.first_look == "always" or found.mend.back:
            return None
        return frozenset(found.explains) | frozenset((entry or {}).get("explains", ()))

    def _of_check(self, check: str) -> frozenset[str] | None:
        named = [self._of(fault) for fault in self.known.checks[check].named()]
        if self.known.checks[check].guard or None in named:
            return None
        return frozenset(self._asked.get(check, ())).union(*(one for one in named if one is not None))

    def may_meet(self, path: Path) -> frozenset[str]:
        """Return the symptoms whose walks may think of the fault, or make the check, that a change is within.

        It is found without walking: a walk thinks of what explains its symptom and of what the answers of its checks
        name; it makes a check that its route asks for, that shows something of this, or that a mend wants made first.
        """
        kind, name = path[:2]
        match kind, path[2:3]:
            case "faults", ("explains",):
                return frozenset()
            case "faults", _:
                return self._leading_to(one for one, faults in self._thought.items() if name in faults)
            case "checks", _:
                return self._leading_to(one for one, checks in self._made.items() if name in checks)
            case _:
                return frozenset()

    def _leading_to(self, symptoms: Iterable[str]) -> frozenset[str]:
        wanted = frozenset(symptoms)
        return frozenset(name for name, leads in self.leads.items() if leads & wanted)

    @cached_property
    def _thought(self) -> dict[str, frozenset[str]]:
        """The faults that a walk of each symptom may think of."""
        always = {name for name, fault in self.known.faults.items() if fault.first_look == "always"}
        found = {}
        for symptom in self.known.symptoms:
            faults = always | {name for name, fault in self.known.faults.items() if symptom in fault.explains}
            named = [check.named() for name, check in self.known.checks.items() if self._shows(symptom, name, faults)]
            found[symptom] = frozenset(faults).union(*named)
        return found

    @cached_property
    def _made(self) -> dict[str, frozenset[str]]:
        """The checks that a walk of each symptom may make."""
        found = {}
        for symptom, faults in self._thought.items():
            shown = [name for name in self.known.checks if self._shows(symptom, name, faults)]
            first = [check for fault in faults for check in self.known.faults[fault].mend.after]
            found[symptom] = frozenset((*shown, *first))
        return found

    def _shows(self, symptom: str, check: str, faults: Collection[str]) -> bool:
        return symptom in self._asked.get(check, ()) or not self.known.checks[check].named().isdisjoint(faults)

    def reached(self, path: Path, entry: dict[str, Any]) -> frozenset[str]:
        """Return the symptoms whose walks may come to one that reads what is changed."""
        about = self.about(path, entry)
        return frozenset(name for name, leads in self.leads.items() if about is None or leads & about)


def met(known: Knowledge, steps: Iterable[tuple[str, str, str | float]]) -> frozenset[str]:
    """Return what a walk has to do with: what its steps are about, and the faults that its answers name."""
    found = set[str]()
    for kind, name, given in steps:
        found.add(name)
        if kind in ("ask", "recheck"):
            answers = known.checks[name].answers
            for answer in [answers[given]] if given in answers else answers.values():
                found.update(answer.names)
    return frozenset(found)


def named(path: Path) -> frozenset[str]:
    """Return what a change is about: the entry, and the fault or complaint within it."""
    inner = [fault_of(one) for one, key in zip(path[1:], path, strict=False) if key in ("if", "explains")]
    return frozenset({path[1], *inner})


def _reached(known: Knowledge, symptom: str) -> frozenset[str]:
    """Return the symptoms that a walk of `symptom` may come to, itself among them."""
    reached, waiting = set[str](), [symptom]
    while waiting:
        if (here := waiting.pop()) not in reached:
            reached.add(here)
            nodes: Iterable[Any] = known.symptoms[here].route.values()
            waiting += [there for node in nodes for there in exits(node).values() if there in known.symptoms]
    return frozenset(reached)
