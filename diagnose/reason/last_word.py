"""The last word before a race: *race*, *mend now* or *stay out*, from what is believed. Never a needle step."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from diagnose.graph.model import CLOSE, Refer
from diagnose.graph.wording import capital, minutes
from diagnose.reason import events as ev
from diagnose.reason import gate
from diagnose.reason.standing import Standing
from diagnose.reason.state import IDLES, NORMAL

if TYPE_CHECKING:
    from diagnose.reason.walk import Walk

RaceOrNot = Literal["race", "mend now", "stay out"]
WORDS: tuple[RaceOrNot, ...] = ("race", "mend now", "stay out")

MAY_BE_LEAN = 0.1
"""Belief in needles that stand lean from which on the car stays out: what the screens call possible. A judgement."""


class LastWord(NamedTuple):
    """The word, and its true reason in a sentence."""

    word: RaceOrNot
    because: str


class FoundMend(NamedTuple):
    """A fault that is found, and the minutes that it takes to put it right."""

    name: str
    minutes: float


def last_word(walk: Walk, owed: int, left: float | None = None) -> LastWord:
    """Return the last word; `owed` first looks are still to be made, and `left` minutes till the car is closed up.

    It says no more than the hand-over of the same walk: where that would keep the car off the track, so does this. What
    is found and can be mended in the minutes that are left is mended.
    """
    if (mend := to_mend(walk)) and (left is None or mend.minutes <= left):
        return LastWord("mend now", f"Found, and it can be put right in {minutes(mend.minutes)}: {mend.name}.")
    against = _unfinished(walk, owed) or _unfit(walk.standing) or _lean(walk.standing)
    if walk.state.verdict == "cured" and not walk.state.grounded():
        return LastWord("race", "It is cured.")
    if against:
        return LastWord("stay out", against)
    if walk.state.verdict == NORMAL:
        return LastWord("race", "Nothing is wrong.")
    standing = walk.standing
    likeliest = max(standing.spoken, key=lambda fault: (standing.spoken[fault], fault), default="")
    known = likeliest in standing.scope.faults
    suspect = f" What is left is likeliest this: {standing.forms.name(likeliest)}." if known else ""
    closing = [standing.scope.knowledge.openings[name].close for name in standing.state.open]
    close = f" Close up first: {', '.join(closing)}." if closing else ""
    return LastWord("race", f"Everything owed is looked for, and nothing speaks of lean or of heat.{suspect}{close}")


def to_mend(walk: Walk) -> FoundMend | None:
    """Return the likeliest fault that is found and can be put right now with no needle; None when there is none."""
    standing, scope, state = walk.standing, walk.scope, walk.state
    if state.verdict or state.undo or state.retest or state.recheck or state.proof or state.unasked:
        return None
    for fault in standing.found:
        known = scope.faults[fault]
        if fault not in state.deferred and not known.turned and not known.mend.back:
            return FoundMend(standing.forms.name(fault), known.mend.minutes)
    return None


def _unfinished(walk: Walk, owed: int) -> str:
    """Say what was found, begun or not yet looked for; "" for nothing."""
    standing, scope, state = walk.standing, walk.scope, walk.state
    guards = [scope.checks[guard].name for guard in scope.guards if not state.healthy(scope, guard)]
    if found := state.grounded():
        return f"{capital(found[0])}."
    if state.verdict and state.verdict != NORMAL:
        return "It was handed over, not cured."
    if state.undo or state.retest or state.recheck or state.proof:
        return "The last step has not been tried yet, or must be turned back."
    if state.open and CLOSE in state.deferred:
        return f"Not closed up: {', '.join(scope.knowledge.openings[name].open for name in state.open)}."
    if guards:
        return f"Not looked for yet: {', '.join(guards)}."
    if standing.accused:
        return f"Found and not mended: {', '.join(map(standing.forms.name, standing.found))}."
    if standing.dead_accusations:
        still = ", ".join(scope.checks[check].name for check in standing.dead_accusations)
        return f"It was mended, and this shows it still: {still}."
    said = "1 first look is" if owed == 1 else f"{owed} first looks are"
    return f"{said} still owed." if standing.first_owed else ""


def _unfit(standing: Standing) -> str:
    """Say why an engine that does this is not raced, whatever else is found; "" when it may be."""
    state, symptoms = standing.state, standing.scope.knowledge.symptoms
    if not standing.symptom.runs or (state.heat is not None and state.heat.outcome == "won't run"):
        return "It does not keep running."
    if state.verdict == NORMAL and not standing.scope.engine.run_in:
        return "A new engine is run in before it races."
    node = standing.node
    if isinstance(node, Refer) and node.stay_out:
        return "What is left to do here ends with the car staying off the track."
    for symptom in (standing.symptom, *(symptoms[also] for also in state.told.get(ev.ALSO, ()))):
        if symptom.race == "stay out":
            return f"With this it stays out until it is cured: {symptom.name}."
    return ""


def _lean(standing: Standing) -> str:
    """Say what speaks of lean or of too much heat: a race on that costs the engine. "" for nothing."""
    scope, state = standing.scope, standing.state
    for (screw, setting), signs in standing.signs.items():
        if setting == "lean":
            return f"A sign that the {screw} is lean: {signs[0]}."
    if any(gate.leans(turn.way) for turn in state.standing_turns):
        return "A needle stands leaner than it was found, and it is not cured."
    if state.drift is not None and state.drift.setting == "lean":
        return f"The day speaks of lean. {state.drift.said}"
    heat = state.heat
    if heat is not None and heat.head is not None and heat.head >= scope.degrees("head-come-in"):
        return "The head was read above the temperature at which a car comes in."
    if heat is not None and heat.outcome == "too hot" and (heat.head is None or state.idled >= IDLES):
        return "The head stays above its window."
    most = scope.summed(standing.at_most(standing.symptom_id))
    lean = {f: share for f, share in most.items() if f in scope.faults and scope.faults[f].setting == "lean"}
    if sum(lean.values()) >= MAY_BE_LEAN:
        return f"It may be lean: {scope.faults[max(lean, key=lambda fault: (lean[fault], fault))].name}."
    return ""
