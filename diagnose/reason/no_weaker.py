"""What a walk lets off with weights that were learned: nothing, and that is asked before they are taken over.

The weights reach a walk's belief, and nothing else. Belief decides what is in doubt, and so the gate; so each belief
that could let something off is had with and without them. Here that is seen on walks of every symptom they are of.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from diagnose.graph.model import Adjust, Knowledge, Variant
from diagnose.reason import events as ev
from diagnose.reason import gate
from diagnose.reason.learned import Learned
from diagnose.reason.play import play, usual
from diagnose.reason.scope import Scope
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin


def weaker(knowledge: Knowledge, learned: Learned, engine: Variant | None = None) -> Iterator[str]:
    """Yield what each walk with `learned` lets off that the same walk without it holds back; nothing, when all holds.

    Of each symptom it takes the walk on which all is sound, and the one on which nobody can tell anything.
    """
    scope = Scope(knowledge, engine or Variant())
    for symptom in learned.counts:
        for sound in (True, False):
            started = ev.Started(0.0, knowledge.digest, symptom, "", scope.engine, recorded=True, learned=learned)
            begun = begin(knowledge, started, scope)
            yield from let_off(begun)
            for made in play(begun, lambda walk, step, sound=sound: _answer(walk, step, sound=sound)):  # type: ignore[misc]
                yield from let_off(made.walk)


def let_off(walk: Walk) -> Iterator[str]:
    """Yield what a walk does not hold back and would without what was learned."""
    if walk.state.verdict:
        return
    files = Walk(walk.knowledge, (replace(walk.started, learned=None), *walk.events[1:]), walk.scope)
    now, ours, theirs = walk.events[-1].at, walk.standing, files.standing
    for lost in sorted(theirs.first_open - ours.first_open):
        yield f"{walk.symptom}: a first look for '{lost}' is owed no more"
    for lost in sorted(theirs.strips_owed(files.symptom) - ours.strips_owed(walk.symptom)):
        yield f"{walk.symptom}: a strip-down for '{lost}' is owed no more"
    for node in files.standing.symptom.route.values():
        if isinstance(node, Adjust):
            holds = {lock.rule for lock in gate.locks(ours, node, now)}
            holds |= {8} if holds & {1, 6} else set()  # the gate asks for doubts once nothing is owed or grounded
            for lock in gate.locks(theirs, node, now):
                if lock.rule not in holds:
                    yield f"{walk.symptom}: rule {lock.rule} locks the {node.adjust} no more ({lock.because})"


def _answer(walk: Walk, step: Step, *, sound: bool) -> str:
    match step.kind:
        case "ask" | "recheck":
            return walk.scope.checks[step.id].healthy if sound else ev.CANT_TELL
        case "retest":
            return "same"
        case _:
            return usual(step)
