"""The rule that keeps the last word before a race and the hand-overs of a symptom from contradicting each other."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diagnose.graph.model import Refer
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof, Route

FORBIDS = re.compile(
    r"leave it off|stays? off|no more full throttle|do not (?:start|drive|race|run) it|drive no further|stop turning it"
    r"|before (?:you|the) (?:race|use full throttle|second start)",
    re.IGNORECASE,
)
"""What a hand-over says that keeps the car off the track."""


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield every last word that a hand-over of the same symptom contradicts."""
    for symptom, name, node in proof.nodes():
        if isinstance(node, Refer) and not node.stay_out and (said := FORBIDS.search(" ".join(node.refer.split()))):
            what = f"'{name}' says '{said[0]}'; write 'stay out: true' beside it"
            yield proof.problem("last-word", what, "symptoms", symptom, "route", name)
    told: set[str] = set()
    for route in proof.routes:
        if route.symptom.race != "stay out" and route.name not in told and (what := _contradicted(proof, route)):
            told.add(route.name)
            yield proof.problem("last-word", what, "symptoms", route.name, "race")


def _contradicted(proof: Proof, route: Route) -> str:
    """Say what speaks against racing with this symptom; "" for nothing."""
    for name, node in route.each(Refer).items():
        if node.stay_out:
            way = proof.shown(route, route.paths[name])
            return f"'{route.name}' says 'race', and its hand-over '{name}' keeps the car off the track: {way}"
    if not route.symptom.runs or route.symptom.runs_away:
        return f"'{route.name}' says 'race' of an engine that {'runs away' if route.symptom.runs_away else 'stops'}"
    lean = [screw for screw, setting in route.symptom.sign.items() if setting == "lean"]
    return f"'{route.name}' says 'race', and is itself a sign that the {lean[0]} is lean" if lean else ""
