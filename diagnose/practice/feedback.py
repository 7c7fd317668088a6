"""What a learner is told of each thing that was done: plainly, at once, and never what is wrong with the engine."""

from __future__ import annotations

from diagnose.graph.model import Adjust, Knowledge, Screw, Variant, Way
from diagnose.graph.say import say
from diagnose.graph.wording import both, capital
from diagnose.practice.check_answers import truth
from diagnose.practice.engine import LEAN, SimEngine
from diagnose.practice.hands import Hands
from diagnose.practice.ruin import BURNS
from diagnose.practice.symptoms import LIVES, RUNS
from diagnose.reason import events as ev
from diagnose.reason.gate import locks
from diagnose.reason.scope import Scope
from diagnose.reason.walk import Walk

EVERY_SCREW: tuple[Screw, ...] = ("high needle", "mid needle", "low needle", "idle stop")
LEAK = "fuel leaks"
NOTICED = 0.03
"""The share by which an idle must climb or fall to be heard: assumed."""
FELT = 0.03
"""The same of the power at full throttle, felt on the track."""
WARMER = 3.0
"""°C by which the head must come in hotter or cooler to be told."""
FEW = 3
"""Faults that are named when more are owed."""
NO_MINUTES = "Without the guards nobody is quick: from here on the minutes bring no points."
OUTCOMES = {
    "cured": "It is gone.",
    "better": "It is better, but not gone.",
    "same": "It does the same as before.",
    "worse": "It is worse than before.",
}


def screws(variant: Variant) -> tuple[Screw, ...]:
    """Return the screws that an engine has."""
    return tuple(screw for screw in EVERY_SCREW if screw != "mid needle" or variant.needles == 3)


def way(screw: Screw, hours: float) -> Way:
    """Return the way that signed hours turn a screw."""
    if screw == "idle stop":
        return "in" if hours > 0 else "out"
    return "richer" if hours > 0 else "leaner"


def going_back(knowledge: Knowledge) -> str:
    """Return the preparation that goes back to the record."""
    return next(name for name, one in knowledge.preparations.items() if one.back)


def story(knowledge: Knowledge, symptom: str, walk: Walk) -> tuple[str, ...]:
    """Return what the owner says of it: what it does, and what is known of its history."""
    told = [say(knowledge.symptoms[symptom].does, knowledge, walk.variant)]
    for event in walk.events:
        if isinstance(event, ev.Told) and event.said:
            asked = knowledge.history[event.question]
            said = ", and ".join(say(asked.answers[answer].say, knowledge) for answer in event.said)
            told.append(f"{say(asked.ask, knowledge)} {capital(said)}.")
    told.append("Its settings are on record." if walk.started.recorded else "Nobody wrote its settings down.")
    return tuple(told)


def not_guarded(walk: Walk) -> tuple[str, ...]:
    """Return the guards that would have to be seen to before the engine runs now."""
    return tuple(guard for guard in walk.scope.guards if not walk.state.healthy(walk.scope, guard))


def running(walk: Walk, hands: Hands) -> tuple[str, ...]:
    """Return what is risked by running the engine now."""
    scope, state = walk.scope, walk.state
    seen = hands.engine.seen(hands.complaints[-1])
    found = []
    for guard in not_guarded(walk):
        check = scope.checks[guard]
        true = truth(guard, check, seen)
        bad = true is not None and true[0] != check.healthy
        lucky = "It was not sound: it could have run away." if bad else "You were lucky: it was sound."
        found.append(f"{_unguarded(walk, guard)}: {check.name}. {lucky}")
    grounded = state.grounded()
    found += [f"You ran it although this was found: {finding}." for finding in grounded]
    if LEAK not in grounded and _leaks(scope, hands):
        found.append("Fuel leaks onto it as it runs. It burns with a flame that nobody sees. Stop it, and find where.")
    return tuple(found)


def _unguarded(walk: Walk, guard: str) -> str:
    """Say how a guard was left out: never looked at, found to be bad, or looked at before something was done."""
    given = [event.answer for event in walk.events if isinstance(event, ev.Answered) and event.check == guard]
    if not given:
        return "You ran it before you saw to the guard"
    if given[-1] == walk.scope.checks[guard].healthy:
        return "Something was done since you looked, and you ran it without another look at the guard"
    return "You ran it before this guard was put right and seen again"


def _leaks(scope: Scope, hands: Hands) -> bool:
    """Say whether an eye that never errs would find that fuel leaks."""
    seen = hands.engine.seen(hands.complaints[-1])
    for name, check in scope.checks.items():
        leaking = [key for key, answer in check.answers.items() if answer.grounds == LEAK]
        if leaking and (true := truth(name, check, seen)) is not None and true[0] in leaking:
            return True
    return False


def look(walk: Walk, name: str, seen: str | float | None, answer: str, expected: str) -> tuple[str, ...]:
    """Return what was seen, and what the learner expected."""
    check, known = walk.scope.checks[name], walk.knowledge
    if not answer:
        return ("You can't tell: as it is now, this can't be looked at.",)
    said = say(check.answers[answer].say, known, walk.variant)
    reading = f"{seen:g} {check.reading.unit}: " if isinstance(seen, float) and check.reading is not None else ""
    told = [f"You see: {reading}{said}."]
    if meant := check.answers[answer].means:
        told.append(say(meant, known, walk.variant))
    if expected == answer:
        told.append("That is what you expected.")
    elif expected:
        told.append(f"You expected: {say(check.answers[expected].say, known, walk.variant)}.")
    return tuple(told)


def undoes(walk: Walk, screw: Screw, hours: float) -> bool:
    """Say whether a turn only takes back what was turned here: that is never too early."""
    stands = walk.state.turned.get(screw, 0.0)
    return stands * hours < 0 and abs(hours) <= abs(stands)


def too_early(walk: Walk, screw: Screw, hours: float, now: float) -> tuple[str, ...]:
    """Return why the program would not turn that screw now; empty when it would let it be turned."""
    step = Adjust(adjust=screw, way=way(screw, hours), hours=abs(hours), better="", same="", worse="")
    owed = sorted(walk.scope.faults[fault].name for fault in walk.standing.first_owed)
    more = f", and {len(owed) - FEW} more" if len(owed) > FEW else ""
    first = f"not looked for yet: {', '.join(owed[:FEW])}{more}"
    return tuple(first if lock.rule == 1 else lock.because for lock in locks(walk.standing, step, now))


def turned(before: SimEngine, after: SimEngine, screw: Screw) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what a turn did to the engine, and what is dangerous about it."""
    was, now = before.seen(), after.seen()
    if now.stage < LIVES:
        told = ["It does not run, so nothing is heard of it."]
    else:
        told = [_changed(now.running.idle, was.running.idle, NOTICED, "The idle", "climbs", "falls")]
        told += [_changed(now.running.power, was.running.power, FELT, "The top", "pulls harder", "pulls less")]
        hotter = now.running.race - was.running.race
        if abs(hotter) >= WARMER:
            told.append(f"The head will come in about {abs(hotter):.0f} °C {'hotter' if hotter > 0 else 'cooler'}.")
        if was.stage >= RUNS > now.stage:
            told.append("It will not keep running any more.")
    told = [one for one in told if one] or ["Nothing is heard of it."]
    lean, leaned = after.leaner_than_right().get(screw, 0.0), before.leaner_than_right().get(screw, 0.0)
    if lean > LEAN and lean > leaned:
        danger = f"The {screw} is now {lean:.1f} hours leaner than is right today. Lean burns a piston: turn it back."
        if lean >= BURNS:
            danger += " Run like this, it burns its plug at once, and then the piston."
        return tuple(told), (danger,)
    return tuple(told), ()


def _changed(now: float, was: float, least: float, what: str, more: str, less: str) -> str:
    """Return a sentence about what went up or down by so great a share, or nothing."""
    share = (now - was) / max(was, 0.05)
    return "" if abs(share) < least else f"{what} {more if share > 0 else less}."


def heat(scope: Scope, head: float | None) -> ev.PrepareOutcome:
    """Return how bringing it to heat came out."""
    if head is None:
        return "won't run"
    if head < scope.degrees("head-floor"):
        return "too cool"
    return "too hot" if head > scope.degrees("head-ceiling") else "ready"


def ran(scope: Scope, engine: SimEngine, head: float | None) -> tuple[str, ...]:
    """Return what is heard and read of an engine that is warmed up."""
    if head is None:
        return ("It will not keep running.",)
    place = {"ready": "in its window", "too cool": "below its window", "too hot": "above its window"}
    told = [f"The head reads {both(head)}: {place[heat(scope, head)]}."]
    if head >= scope.degrees("head-stop"):
        told.append("That is too hot to run: stop it, and let it cool.")
    running = engine.seen().running
    idle = "high" if running.idle > 1.15 else "low" if running.idle < 0.85 else "as it should"
    told.append(f"It idles {idle}, and takes about {running.hang:.1f} s to come down after a blip.")
    return tuple(told)


def lapped(scope: Scope, head: float | None) -> tuple[str, ...]:
    """Return what is read of an engine that comes in from fast laps."""
    if head is None:
        return ("It will not keep running, so it does no laps.",)
    if head >= scope.degrees("head-stop"):
        place = "That is too hot to run: stop it, and let it cool"
    elif head >= scope.degrees("head-come-in"):
        place = "That is where one comes in: no more laps until it is known why"
    else:
        place = "It may run like that"
    return (f"A few fast laps, and in at once. The head reads {both(head)}. {place}.",)


def tried(
    knowledge: Knowledge, outcome: str, again: str | None, *, hides: bool, stopped: bool = False
) -> tuple[str, ...]:
    """Return what a re-test shows; of an engine that has `stopped` running nothing is seen."""
    if stopped:
        return ("It does not keep running any more, so nothing can be seen of what it did. It is worse than before.",)
    if hides:
        return ("It seems gone. An hour later the owner is back: it does it again. What caused it is still there.",)
    if again is not None:
        return (OUTCOMES["cured"], f"Now the owner says something else: {knowledge.symptoms[again].name}.")
    return (OUTCOMES[outcome],)
