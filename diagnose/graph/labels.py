"""The rules of labels: what one label says, another part of the same entry has to bear out.

A label that is lost or slipped disarms the rule that reads it, and nothing else would say a word. So each is held
against something that is written for another purpose: the text of the step, its cautions, the probabilities, the area.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

import networkx as nx

from diagnose.graph.done import Deed, everything
from diagnose.graph.model import RUNNING, Adjust, Answer, Ask, Knowledge, Prepare, Screw
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof, Route
from diagnose.graph.safety import listed

NEEDLES = "needles"
"""The area of the screws."""

HALF = 0.5
"""An answer says so of a fault when it is at least as likely as this with it."""

_OTHER = {"rich": "lean", "lean": "rich"}
_SENTENCE = re.compile(r"(?<=[.!?:;])\s+")
_GOES = r"(?:start|run|drive|warm) (?:it|the engine|\w+ calm laps?|one straight|a calm lap|full circles)"
_RUNS = re.compile(
    rf"(?:^|, |\band )(?:{_GOES}|let (?:it|the engine) (?:idle|warm)|bring it to idle|start, )\b|\bidling (?:and|at)\b"
    r"|^(?:drive|start) ",
    re.IGNORECASE,
)
_NOT = re.compile(r"\b(?:never|not|without|think back)\b", re.IGNORECASE)


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each label that what stands beside it contradicts."""
    yield from _running(proof)
    yield from _signs(proof)
    yield from _areas(proof)
    yield from _worse(proof)
    yield from _moved(proof)
    yield from _turns(proof)
    yield from _tools(proof)


def _running(proof: Proof) -> Iterator[Problem]:
    """See that a step whose text or cautions run the engine is made in a running state, or cranks it."""
    known = proof.knowledge
    only_running = {
        name for name, one in known.cautions.items() if one.owed.states and RUNNING.issuperset(one.owed.states)
    }
    only_running -= {name for name, one in known.cautions.items() if one.owed.tools}
    for step in everything(known):
        if step.path[0] == "faults" or step.work.state in RUNNING or _apart(step, known):
            continue
        why = [f'says "{said}"' for said in _run_by_text(step)]
        if len(only_running) > 1 and only_running.issubset(getattr(step.work, "cautions", ())):
            why.append(f"lists the cautions {listed(sorted(only_running))}")
        if why:
            what = f"{step.name} {why[0]}, and its state is '{step.work.state}'; where the engine runs, it is one of "
            what += listed(sorted(RUNNING))
            yield proof.problem("running-unsaid", what, *step.path, "state")


def _apart(step: Deed, known: Knowledge) -> bool:
    """Say whether a step is about what was, or is for no walk."""
    if step.path[0] == "checks":
        return known.checks[step.path[1]].remembered
    return step.path[0] == "preparations" and known.preparations[step.path[1]].on_its_own


def _run_by_text(step: Deed) -> Iterator[str]:
    for text in step.text:
        for sentence in _SENTENCE.split(text):
            if _RUNS.search(sentence) and not _NOT.search(sentence):
                yield sentence


def _signs(proof: Proof) -> Iterator[Problem]:
    """See that a sign of rich or lean is likelier, or weighs more, with that screw's fault than with its opposite."""
    known = proof.knowledge
    faults: dict[tuple[str, str], list[str]] = {}
    for name, fault in known.faults.items():
        if fault.turned:
            faults.setdefault((str(fault.screw), str(fault.setting)), []).append(name)
    for check, found in known.checks.items():
        for title, answer in found.answers.items():
            for screw, says in answer.sign.items():
                if not _borne_out(answer, says, screw, faults):
                    what = f"'{title}' is a sign that the {screw} is {says}, and its 'if:' does not say so"
                    yield proof.problem("sign-contradicts", what, "checks", check, "answers", title, "sign")
    for name, symptom in known.symptoms.items():
        for screw, says in symptom.sign.items():
            weight = {
                one: max((known.faults[f].explains.get(name, 0.0) for f in faults.get((screw, one), ())), default=0.0)
                for one in _OTHER
            }
            if weight[says] < weight[_OTHER[says]] or (says == "rich" and not weight[says]):  # lean is the safe side
                what = f"'{name}' is a sign that the {screw} is {says}, and what explains it does not say so"
                yield proof.problem("sign-contradicts", what, "symptoms", name, "sign")


def _borne_out(answer: Answer, says: str, screw: Screw, faults: Mapping[tuple[str, str], list[str]]) -> bool:
    """Say whether an answer is likelier with the fault that it is a sign of than with the opposite, and than else."""
    rest = answer.otherwise or 0.0
    here, there = (
        max((answer.given.get(fault, rest) for fault in faults.get((screw, one), ())), default=rest)
        for one in (says, _OTHER[says])
    )
    return here > max(there, rest)


def _areas(proof: Proof) -> Iterator[Problem]:
    """See that the needles' area holds the screws' settings, and of mechanical faults only what a strip-down shows."""
    for name, fault in proof.knowledge.faults.items():
        if not fault.mechanical and fault.area != NEEDLES:
            what = f"'{name}' is a screw's setting, and its area is '{fault.area}'; the settings are of '{NEEDLES}'"
            yield proof.problem("needles-area", what, "faults", name, "area")
        elif fault.mechanical and fault.area == NEEDLES and fault.first_look != "none":
            what = f"'{name}' is mechanical and of the area '{NEEDLES}'; there only what no first look shows can be"
            yield proof.problem("needles-area", what, "faults", name, "area")
        if fault.mend.back != (fault.setting == "off"):
            what = (
                f"'{name}': a needle that is off its record, and nothing else, is mended by going back ('back: true')"
            )
            yield proof.problem("needles-area", what, "faults", name, "mend", "back")


def _worse(proof: Proof) -> Iterator[Problem]:
    """See that after a turn that made it worse no way leads to the same turn again, but by going back."""
    told: set[tuple[str, str]] = set()
    for route in proof.routes:
        for name, node in route.each(Adjust).items():
            way = _again(route, node)
            if way and (route.name, name) not in told:
                told.add((route.name, name))
                what = f"after '{name}' made it worse, the {node.adjust} is turned {node.way} again: "
                what += proof.shown(route, [name, *way])
                yield proof.problem("worse-goes-on", what, *route.at(name), "worse")


def _again(route: Route, node: Adjust) -> list[str]:
    """Return the shortest way from `worse` to a turn of the same screw the same way, or nothing."""
    backs = {name for name, prepare in route.each(Prepare).items() if route.back(prepare)}
    onward = route.graph.subgraph(route.graph.nodes - backs)
    ways = nx.single_source_shortest_path(onward, node.worse) if node.worse in onward else {}
    same = (
        ways[name]
        for name, other in route.each(Adjust).items()
        if (other.adjust, other.way) == (node.adjust, node.way) and name in ways
    )
    return min(same, key=len, default=[])


def _moved(proof: Proof) -> Iterator[Problem]:
    """See that of a check that shows needles off their record, the answers that say so go back, and no other does."""
    known = proof.knowledge
    off = {name for name, fault in known.faults.items() if fault.mend.back}
    for symptom, name, node in proof.nodes():
        if not isinstance(node, Ask) or (check := known.checks.get(node.ask)) is None:
            continue
        if off.isdisjoint(known.shown_by(check)):
            continue
        back = {answer for answer in check.answers if _goes_back(known, symptom, node.branches.get(answer, ""))}
        says = {title for title, answer in check.answers.items() if any(answer.given.get(f, 0) >= HALF for f in off)}
        for answer in sorted(back ^ says) if back else ():
            what = f"'{answer}' says that a needle is off its record, and does not go back as other answers do"
            if answer in back:
                what = f"'{answer}' goes straight back to the record, and says of no needle that it is off it"
            yield proof.problem("moved-goes-back", what, "symptoms", symptom, "route", name, answer)


def _goes_back(known: Knowledge, symptom: str, node: str) -> bool:
    there = known.symptoms[symptom].route.get(node)
    return isinstance(there, Prepare) and there.prepare in known.preparations and known.preparations[there.prepare].back


def _tools(proof: Proof) -> Iterator[Problem]:
    """See that a fault of a tool is shown, and mended, by nothing that does without that tool."""
    known = proof.knowledge
    for name, fault in known.faults.items():
        if fault.tool is None:
            continue
        without = [
            check for check, one in known.checks.items() if name in known.shown_by(one) and fault.tool not in one.tools
        ]
        for check in without:
            what = f"'{name}' is a fault of this tool: {fault.tool}. '{check}' can show it, and its `tools:` lack it"
            yield proof.problem("tool-of-fault", what, "faults", name, "tool")
        if fault.tool not in fault.mend.tools:
            what = f"'{name}' is a fault of this tool: {fault.tool}. Its mend does without it"
            yield proof.problem("tool-of-fault", what, "faults", name, "tool")


def _turns(proof: Proof) -> Iterator[Problem]:
    """See that an answer that leads straight to a turn is likelier with what the turn cures than with its opposite."""
    known = proof.knowledge
    cures = {"leaner": "rich", "richer": "lean"}
    for symptom, name, node in proof.nodes():
        check = known.checks.get(node.ask) if isinstance(node, Ask) else None
        for answer, target in node.branches.items() if isinstance(node, Ask) and check else ():
            turn = known.symptoms[symptom].route.get(target)
            if not isinstance(turn, Adjust) or turn.way not in cures or check is None or answer not in check.answers:
                continue
            ways = {setting: _settings(known, turn.adjust, setting) for setting in _OTHER}
            cured, other = ways[cures[turn.way]], ways[_OTHER[cures[turn.way]]]
            likely = max((check.chance(answer, fault) for fault in cured), default=1.0)
            if likely <= max(check.chance(answer, fault) for fault in (None, *other)):
                what = f"'{answer}' leads straight to '{target}', and is no likelier with a {turn.adjust} that is "
                what += f"{cures[turn.way]} than without"
                yield proof.problem("turn-borne-out", what, "symptoms", symptom, "route", name, answer)


def _settings(known: Knowledge, screw: Screw, setting: str) -> list[str]:
    return [name for name, fault in known.faults.items() if (fault.screw, fault.setting) == (screw, setting)]
