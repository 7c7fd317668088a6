"""The rules that keep the knowledge tidy: nothing that nothing uses, and every hazard with its caution."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Set as AbstractSet

import msgspec

from diagnose.graph.model import CLOSE, Ask, Check, Knowledge, Mend, Prepare, StartSettings
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof
from diagnose.graph.safety import listed
from diagnose.graph.say import REFERENCE

PROGRAM_FACTS = frozenset(
    {"drop-gone", "head-ceiling", "head-come-in", "head-floor", "head-stop", "warm-enough-to-look"}
)
"""The facts that the program reads or quotes by itself, besides minutes."""

PROGRAM_VALUES = PROGRAM_FACTS - {"drop-gone"}
"""Those that it compares a reading with: they need one value."""

PROGRAM_PREPARATIONS = {"bring-to-heat": True, "let-it-idle": True, "let-it-cool": False}
"""The preparations that the walk asks for by itself, whatever the route."""

_QUOTED = ("min", "turns")  # the reader has put these in their places, so that nothing names their facts any more


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield what nothing uses, and the hazards without their cautions."""
    yield from _unused_looks(proof)
    known = proof.knowledge
    for kind, used in _used(known).items():
        for name in getattr(known, kind):
            if name not in used:
                yield proof.problem("unused", f"nothing uses '{name}'", kind, name)
    yield from _built_in(proof)
    yield from _cautions(proof)
    yield from _twins(proof)
    yield from _early(proof)


def _early(proof: Proof) -> Iterator[Problem]:
    """See that what a club looks at early can show something by itself: else it would come early in no walk."""
    shows = proof.looks[0].shows
    for name, club in proof.knowledge.club.items():
        for number, check in enumerate(club.look_early):
            if not shows[check]:
                what = f"'{check}' can show no fault by itself, so that it comes early in no walk"
                yield proof.problem("early-shows-nothing", what, "club", name, "look early", str(number))


def _twins(proof: Proof) -> Iterator[Problem]:
    """See that no two symptoms are explained by the same faults with the same weights."""
    known = proof.knowledge
    first: dict[frozenset[tuple[str, float]], str] = {}
    for symptom in known.symptoms:
        weights = frozenset((name, f.explains[symptom]) for name, f in known.faults.items() if symptom in f.explains)
        twin = first.setdefault(weights, symptom) if weights else symptom
        if twin != symptom:
            what = f"'{symptom}' is explained by the same faults as '{twin}', with the same weights"
            yield proof.problem("twin-symptoms", what, "symptoms", symptom)


def _built_in(proof: Proof) -> Iterator[Problem]:
    """See that what the program asks for by itself is there: without it a walk could not go on."""
    known = proof.knowledge
    for name in sorted(PROGRAM_FACTS - known.facts.keys()):
        yield proof.problem(
            "built-in-missing", f"the program needs the fact '{name}', and there is none", "facts", name
        )
    for name in sorted(PROGRAM_VALUES & known.facts.keys()):
        if known.facts[name].value is None:
            what = f"'{name}' needs one value: readings are compared with it"
            yield proof.problem("built-in-missing", what, "facts", name)
    for name, head in PROGRAM_PREPARATIONS.items():
        step = known.preparations.get(name)
        if step is None or step.head != head:
            what = f"the program needs the preparation '{name}'" + (", with head: true" if head else "")
            yield proof.problem("built-in-missing", what, "preparations", name)


def _unused_looks(proof: Proof) -> Iterator[Problem]:
    """See that every check can show something or is asked, and every fault explains something or is guarded."""
    known, shows = proof.knowledge, proof.looks[0].shows
    asked = {node.ask for _, _, node in proof.nodes() if isinstance(node, Ask)}
    for name in known.checks:
        if not shows[name] and name not in asked:
            what = f"'{name}' can show no fault, and no route asks it"
            yield proof.problem("unused", what, "checks", name)
    guarded = {fault for name, check in known.checks.items() if check.guard for fault in shows[name]}
    for name, fault in known.faults.items():
        if not fault.explains and name not in guarded:
            yield proof.problem("unused", f"'{name}' explains no symptom, and no guard shows it", "faults", name)


def _used(known: Knowledge) -> dict[str, AbstractSet[str]]:
    """Return what is used of each kind."""
    cautions = {name for _, _, names in _hazards(known) for name in names}
    cautions |= {name for symptom in known.symptoms.values() for name in symptom.cautions}
    answers = [answer for check in known.checks.values() for answer in check.answers.values()]
    texts = msgspec.json.encode(known).decode()
    return {
        "preparations": _preparations(known),
        "cautions": cautions | {name for name, caution in known.cautions.items() if caution.now},
        "conditions": {name for f in known.faults.values() for form in f.forms.values() for name in form.when},
        "drawings": {place.where for place in _drawn(known) if place.where},
        "parts": {row.part for row in known.failings.values()},
        "facts": PROGRAM_FACTS
        | set(REFERENCE.findall(texts))
        | {answer.up_to for answer in answers if isinstance(answer.up_to, str)}
        | {name for name, fact in known.facts.items() if fact.unit in _QUOTED},
    }


def _preparations(known: Knowledge) -> set[str]:
    """Return the preparations that routes name, that the program asks for by itself, or that stand on their own."""
    nodes = [node for symptom in known.symptoms.values() for node in symptom.route.values()]
    named = {node.prepare for node in nodes if isinstance(node, Prepare)}
    asked = (name for name, step in known.preparations.items() if step.head or step.state == "cooling")
    return named.union({CLOSE}, asked, (name for name, step in known.preparations.items() if step.on_its_own))


def _drawn(known: Knowledge) -> Iterator[Check | Mend | StartSettings]:
    """Yield everything that may name a drawing."""
    yield from known.checks.values()
    yield from (fault.mend for fault in known.faults.values())
    yield from known.engines.values()


def _hazards(known: Knowledge) -> Iterator[tuple[tuple[str, ...], frozenset[str], tuple[str, ...]]]:
    """Yield each thing that is done: where it stands, its bench state, tools and parts, and the cautions it lists."""
    for name, check in known.checks.items():
        yield ("checks", name), _with(check.state, check.tools), check.cautions
    for name, fault in known.faults.items():
        mend = fault.mend
        yield ("faults", name, "mend"), _with(mend.state, (*mend.tools, *mend.parts)), mend.cautions
    for name, step in known.preparations.items():
        yield ("preparations", name), _with(step.state, step.tools), step.cautions
    for name, symptom in known.symptoms.items():
        yield ("symptoms", name, "retest"), _with(symptom.retest.state), symptom.retest.cautions


def _with(state: str, tools: Iterable[str] = ()) -> frozenset[str]:
    return frozenset({state, *tools})


def _cautions(proof: Proof) -> Iterator[Problem]:
    """See that whatever is done in a dangerous state, or with a dangerous tool, lists the caution."""
    owed = {name: {*one.owed.states, *one.owed.tools} for name, one in proof.knowledge.cautions.items()}
    for path, dangers, cautions in _hazards(proof.knowledge):
        missing = {name: dangers & owing for name, owing in owed.items() if dangers & owing and name not in cautions}
        if missing:
            because = listed(sorted(set[str]().union(*missing.values())))
            what = f"'{path[1]}' has to do with {because} and does not list the caution {listed(sorted(missing))}"
            yield proof.problem("caution-missing", what, *path)
