"""The rules of questions that make sense: none presumes what the complaint excludes, and memory is no look.

The walk reads the labels and never asks such a question. The proof sees to it that no route hangs on one, and that the
labels say what the texts and the practice bench say.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from diagnose.graph.done import cautions_of, everything
from diagnose.graph.model import Ask, Check, Sweep
from diagnose.graph.model.presumption import FURTHER, Presumption
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof, Route
from diagnose.graph.safety import listed

SAID: tuple[tuple[Presumption, str], ...] = (
    ("drives", r"\b(?:straight|laps?|should pull|two speeds|sound lean|moment does it die)\b"),
    ("runs", r"\b(?:idles?|noise|dies?|fades?|faded|stops|stopped|stop it|would not obey)\b"),
    ("catches", r"\bigniter left on\b"),
)
"""Words of a question that presume something."""

MOST_ANSWERS = 5
"""More are not read to their end: they are two questions, or a drawing shows them apart."""

BENCH: dict[str, Presumption] = {
    "turns": "turns",
    "fires": "turns",
    "catches": "catches",
    "lives": "runs",
    "runs": "idles",
}
"""How far the simulated engine must come for a look, as what the look presumes."""


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each question that could be asked in vain, and each label that its text or the bench contradicts."""
    yield from _asked(proof)
    yield from _owed(proof)
    yield from _labels(proof)
    yield from _memory(proof)
    yield from _acts(proof)
    yield from _many(proof)
    yield from _implied(proof)


def _asked(proof: Proof) -> Iterator[Problem]:
    """See that no route branches on a question that presumes what its symptom excludes."""
    known = proof.knowledge
    for symptom, name, node in proof.nodes():
        check = known.checks.get(node.ask) if isinstance(node, Ask) else None
        if check is not None and (wrong := known.senseless(check, symptom)):
            assert isinstance(node, Ask)
            what = f"'{name}' asks '{node.ask}', which presumes that the engine {_can(wrong)}; '{symptom}' excludes it"
            yield proof.problem("presumed-away", what, "symptoms", symptom, "route", name, "ask")


def _owed(proof: Proof) -> Iterator[Problem]:
    """See that what a sweep looks for can be shown by a look that makes sense there."""
    told: set[tuple[str, str]] = set()
    for route in proof.routes:
        for name, node in route.each(Sweep).items():
            if node.look == "first":
                for fault in sorted(route.obliges(node) - _sensible(proof, route)):
                    if (route.name, fault) in told:
                        continue
                    told.add((route.name, fault))
                    what = f"'{name}' looks for '{fault}', and every look that can show it presumes what "
                    what += f"'{route.name}' excludes ({_can(proof.knowledge.symptoms[route.name].excluded)})"
                    yield proof.problem("presumed-away", what, *route.at(name))


def _sensible(proof: Proof, route: Route) -> frozenset[str]:
    known, looks = proof.knowledge, route.looks
    made = (n for n, c in looks.checks.items() if c.look == "first" and not known.senseless(c, route.name))
    return frozenset[str]().union(*(looks.shows[name] for name in made))


def _labels(proof: Proof) -> Iterator[Problem]:
    """See that a check presumes what its question says, and what the practice bench needs for it."""
    known = proof.knowledge
    for name, check in known.checks.items():
        for wanted, said in SAID:
            found = re.search(said, check.ask, re.IGNORECASE)
            if found and reach(check) < FURTHER.index(wanted) and _about_running(check):
                what = f"'{name}' asks \"{check.ask}\": '{found[0]}' presumes '{wanted}'; say so in 'presumes:'"
                yield proof.problem("presumption-unsaid", what, "checks", name, "presumes")
                break
        row = known.simulated_checks.get(name)
        if row is None or check.remembered:
            continue
        needs = FURTHER.index(BENCH[row.needs]) if row.needs else -1
        if min(reach(check), FURTHER.index("idles")) != needs:
            bench = f"an engine that {BENCH[row.needs]}" if row.needs else "no engine that turns"
            what = f"'{name}' presumes {_told(check)}, and on the practice bench it needs {bench}; make 'presumes:' and"
            what += " 'needs:' agree"
            yield proof.problem("presumption-unsaid", what, "checks", name, "presumes")


def _about_running(check: Check) -> bool:
    """Say whether the words speak of an engine that runs, or ran: not of one that is off on the table."""
    return check.remembered or check.runs


def reach(check: Check) -> int:
    """Return how far the engine must come for a check, as its place in `FURTHER`; -1 for nowhere."""
    found = [FURTHER.index(one) for one in check.presumed if one in FURTHER]
    return max(found, default=FURTHER.index("idles") if "hot" in check.presumed else -1)


def _told(check: Check) -> str:
    return f"that the engine {_can(check.presumed)}" if check.presumed else "nothing"


def _can(presumed: frozenset[Presumption] | tuple[Presumption, ...]) -> str:
    order = [one for one in (*FURTHER, "hot") if one in presumed]
    return ", ".join("gets hot" if one == "hot" else one for one in order)


def _memory(proof: Proof) -> Iterator[Problem]:
    """See that what is remembered asks for no hands."""
    for name, check in proof.knowledge.checks.items():
        if not check.remembered:
            continue
        hands = [key for key, there in (("tools", check.tools), ("takes off", check.takes_off)) if there]
        hands += ["cranks"] if check.cranks else []
        hands += [f"state: {check.state}"] if check.state != "parked" else []
        if hands:
            what = f"'{name}' is remembered, and has {listed(hands)}: thinking back needs no hands"
            yield proof.problem("memory-is-no-look", what, "checks", name)


def _acts(proof: Proof) -> Iterator[Problem]:
    """See that the act which keeps one safe stands in the steps. Where the engine runs, it is answered before."""
    known = proof.knowledge
    for deed in everything(known):
        text = " ".join(deed.text)
        for name in cautions_of(known, deed) if deed.work.engine != "running" else ():
            acts = known.cautions[name].act if name in known.cautions else ()
            if acts and not any(re.search(rf"\b{re.escape(act)}", text, re.IGNORECASE) for act in acts):
                what = f"{deed.name} lists '{name}', and no step of it says what keeps one safe: {listed([*acts])}"
                yield proof.problem("act-unsaid", what, *deed.path)


def _many(proof: Proof) -> Iterator[Problem]:
    """See that many answers are shown apart by a drawing."""
    drawings = proof.knowledge.drawings
    for name, check in proof.knowledge.checks.items():
        drawn = check.where in drawings and name in drawings[check.where].apart
        if len(check.answers) > MOST_ANSWERS and not drawn:
            what = f"'{name}' has {len(check.answers)} answers; ask two questions, or name in 'where:' a drawing that "
            what += f"shows them apart (apart: [{name}])"
            yield proof.problem("many-answers", what, "checks", name, "answers")


def _implied(proof: Proof) -> Iterator[Problem]:
    """See that an answer which tells a look's healthy one is no likelier with what that look would have shown."""
    known, shows = proof.knowledge, proof.looks[0].shows
    for name, check in known.checks.items():
        for title, answer in check.answers.items():
            for other, said in answer.implies.items():
                told = known.checks.get(other)
                if told is None or said != told.healthy:
                    continue
                rest = known.chances(check, None)[title]
                if wrong := sorted(one for one in shows[other] if known.chances(check, one)[title] > rest):
                    what = f"'{title}' tells '{said}' of '{other}', and is likelier with {listed(wrong)}"
                    yield proof.problem("implied-fits", what, "checks", name, "answers", title, "implies")
