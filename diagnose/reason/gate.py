"""The gate: what stands between a person and a needle. It is asked again at run time for every single adjustment.

The rules are those of docs/reasoning.md. The proof guards the author; the gate guards the driver. No key opens
it.
"""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.graph.model import Adjust, Screw, Way, Work, signed
from diagnose.graph.model.base import FURTHEST
from diagnose.reason.doubt import Doubt
from diagnose.reason.events import Prepared
from diagnose.reason.standing import Standing
from diagnose.reason.state import State
from diagnose.reason.view import Lock

FRESH = 120.0
"""Seconds that a head reading stays good."""

HOUR = 1.0

SIGNS = 2
"""Independent signs that a turn needs."""


def locks(standing: Standing, step: Adjust | None, now: float) -> list[Lock]:
    """Return why an adjustment is refused now; with no particular one in view, what would refuse any."""
    found = [*_grounded(standing), *_first_looks(standing), *_guards(standing)]
    if not standing.symptom.runs:
        found.append(Lock(4, "an engine that will not keep running is not tuned"))
    if step is not None:
        found += [*_hours(standing, step), *_signs(standing, step)]
        found += [] if any(lock.rule in (1, 6) for lock in found) else _doubts(standing, step.adjust)
    found += _heat(standing, step, now)
    return found


def _first_looks(standing: Standing) -> list[Lock]:
    names = sorted(standing.forms.owed(standing.first_open, lambda fault: (0.0, fault)))
    if not names:
        return []
    return [Lock(1, f"not looked for yet: {', '.join(names)}")]


def _doubts(standing: Standing, screw: Screw) -> list[Lock]:
    """Rule 8: no look still accuses a mechanical fault, and none that was not made could well show one.

    Nor is a screw turned that stands on its record: it ran well there.
    """
    doubt = Doubt(standing)
    shown = [standing.scope.checks[name].name for name in doubt.still_shown]
    if shown:
        return [Lock(8, f"this still shows something that is not put right: {', '.join(shown)}")]
    if look := doubt.look() or doubt.strip():
        names = ", ".join(standing.forms.name(fault) for fault in doubt.could_show(look)[:3])
        return [Lock(8, f"it may still be: {names}. This can show it: {standing.scope.checks[look].name}")]
    if screw in standing.in_place:
        return [Lock(8, f"the {screw} was seen to stand where it ran well, so something else has changed")]
    return []


def _hours(standing: Standing, step: Adjust) -> list[Lock]:
    """Rule 2 and rule 3: one hour at most, strip-downs before a second, never past two."""
    found = []
    for screw, hours in moves(step).items():
        if abs(hours) > HOUR:
            found.append(Lock(3, f"the {screw} is turned by one hour at most"))
        turned, explained = (of.get(screw, 0.0) for of in (standing.state.turned, standing.state.explained))
        before, after = _counted(turned, explained), _counted(turned + hours, explained)
        if screw == "idle stop" or abs(after) <= abs(before) or before * hours < 0:
            continue
        if screw == "high needle" and hours > 0:  # richening the top is never blocked
            continue
        if abs(after) > FURTHEST:
            far = f"the {screw} would then be over two hours from its last good tune: go back to the record"
            found.append(Lock(2, far))
        elif abs(after) > HOUR and standing.strips_owed(standing.symptom_id):
            names = sorted(standing.scope.faults[f].name for f in standing.strips_owed(standing.symptom_id))
            found.append(Lock(2, f"before a second hour on the {screw}, a strip-down looks for: {', '.join(names)}"))
    return found


def _counted(turned: float, explained: float) -> float:
    """Return the hours from the last good tune that rule 2 counts: what air and fuel explain of them is not."""
    if turned * explained <= 0:
        return turned
    return turned - min(explained, turned, key=abs)


def moves(step: Adjust) -> Mapping[Screw, float]:
    """Return what the adjustment turns, in signed hours."""
    turned: dict[Screw, float] = {step.adjust: signed(step.way, step.hours)}
    for screw, follow in step.follow.items():
        turned[screw] = signed(follow.way, follow.hours)
    return turned


def _heat(standing: Standing, step: Adjust | None, now: float) -> list[Lock]:
    heat, scope = standing.state.heat, standing.scope
    leaner = step is not None and leans(step.way)
    if heat is not None and leaner and _above(standing, heat):  # the true reason, however old the reading is
        return [Lock(4, "a hot engine is never turned leaner")]
    if heat is None or not 0 <= now - heat.at <= FRESH:
        return [Lock(4, "the head has not been read in the last two minutes")]
    if heat.outcome == "won't run":
        return [Lock(4, "it will not keep running")]
    if heat.drop:
        return [Lock(4, "a water drop is not enough to turn leaner: read the head")] if leaner else []
    if heat.head is None:
        if heat.outcome in ("ready", "too hot"):
            return []
        return [Lock(4, f"the head is {heat.outcome}")]
    if heat.head < scope.degrees("head-floor"):
        return [Lock(4, "the head is below its window")]
    return []


def _above(standing: Standing, heat: Prepared) -> bool:
    """Say whether the head was read above its window."""
    if heat.head is None:
        return heat.outcome == "too hot"
    return heat.head > standing.scope.degrees("head-ceiling")


def leans(way: Way) -> bool:
    """Say whether a turn this way leans the mixture. The idle stop's ways do not."""
    return way == "leaner"


def _guards(standing: Standing) -> list[Lock]:
    """Rule 5: both guards, before anything runs the engine, and so before an adjustment."""
    missing = [g for g in standing.scope.guards if not standing.state.healthy(standing.scope, g)]
    names = [standing.scope.checks[guard].name for guard in missing]
    if standing.state.unasked:
        names.append("what has happened to the car while nobody answered")
    return [Lock(5, f"before the engine runs: {', '.join(names)}")] if names else []


def _grounded(standing: Standing) -> list[Lock]:
    """Rule 6: while a grounding finding is open, nothing runs."""
    return [Lock(6, f"{finding}: the engine stays off") for finding in standing.state.grounded()]


def _signs(standing: Standing, step: Adjust) -> list[Lock]:
    """Rule 7: two independent signs before a needle is turned, one of them seen as the engine runs.

    Richer may go on one where the head is above its window. Leaner goes on no sign of lean, and never on a new engine.
    """
    screw, said = step.adjust, "rich" if leans(step.way) else "lean"
    if step.way not in ("leaner", "richer"):
        return []
    if leans(step.way) and not standing.scope.engine.run_in:
        return [Lock(7, "an engine that is still new runs rich on purpose: no needle is turned leaner")]
    signs = standing.signs.get((screw, said), [])
    against = standing.signs.get((screw, "lean"), [])
    if leans(step.way) and against:
        return [Lock(7, f"there is a sign of lean ({against[0]}): the {screw} is not turned leaner")]
    hot = step.way == "richer" and standing.state.heat is not None and _above(standing, standing.state.heat)
    if len(signs) < (1 if hot else SIGNS):
        return [Lock(7, f"{step.way} needs two signs of {said} on the {screw}; there {_are(len(signs))}")]
    if not hot and not standing.signs_at_load.get((screw, said)):
        return [Lock(7, f"{step.way} needs a sign of {said} on the {screw} that was seen as the engine ran")]
    return []


def still_open(state: State, work: Work) -> list[str]:
    """Rule 9: return what must be closed before this cranks or runs the engine."""
    return [] if work.engine == "off" else [name for name in state.open if name not in work.may_be_open]


def _are(count: int) -> str:
    return "is one" if count else "are none"
