"""The view of a walk: the trail, the suspects, what is owed, why this step, and what each answer would lead to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct, structs

from diagnose.errors import DiagnoseError
from diagnose.graph.model import RUNNING, Adjust
from diagnose.graph.say import said_reading, say, then_and_now
from diagnose.graph.wording import amount, both
from diagnose.reason import belief as bel
from diagnose.reason import events as ev
from diagnose.reason import gate, order
from diagnose.reason.last_word import last_word, to_mend
from diagnose.reason.likelihood import likely
from diagnose.reason.state import effective
from diagnose.reason.view import Choice, OwedLine, Step, Suspect, TrailLine, View

if TYPE_CHECKING:
    from diagnose.reason.walk import Walk

SHOWN = 0.02
"""A suspect with less belief is not listed."""

ALSO = "also/"
"""Stands before another symptom in what could be said out of turn."""


class Why(Struct, frozen=True):
    """What a check is good for now."""

    check: str
    name: str
    minutes: float
    suspects: tuple[tuple[str, float, float], ...]
    """Name, chance that the check shows it, belief."""
    unlocks: tuple[str, ...]
    """Faults that are owed and that a healthy answer looks for."""
    sentence: str
    blind: tuple[str, ...] = ()
    """Faults of which it can show some forms and not others, with those that it can't show."""


class WhatIf(Struct, frozen=True):
    """What would follow one answer."""

    choice: str
    say: str
    chance: float
    suspects: tuple[Suspect, ...]
    next: str


def view(walk: Walk, now: float) -> View:
    """Return everything that the bench shows of a walk at `now` (seconds)."""
    standing, state, scope = walk.standing, walk.state, walk.scope
    node = standing.node
    planned = owed_plan(walk)
    deadline = None if state.deadline is None else state.deadline[1] - (now - state.deadline[0]) / 60
    close_up = None if deadline is None else deadline - scope.minutes("close-up-minutes")
    word, because = ("", "") if deadline is None else last_word(walk, len(planned), close_up)
    if word and not state.verdict and walk.left_alone(now):
        word, because = "stay out", "Nobody has said what has happened to the car since the last answer."
    shown = planned if close_up is None else in_time(walk, planned, close_up)
    left_out = tuple(look for look in planned if look not in shown)
    mend = to_mend(walk)
    return View(
        symptom=standing.symptom_id,
        symptom_name=standing.symptom.name,
        engine=state.started.engine or walk.variant.says(),
        number=sum(1 for _, event in effective(walk.events) if isinstance(event, ev.STEPPED)) + 1,
        minutes_left=minutes_left(walk, planned),
        trail=tuple(trail(walk)),
        suspects=suspects(walk),
        owed=tuple(_owed_lines(walk, shown)),
        left_out=tuple(_owed_lines(walk, left_out)),
        mend=None if mend is None else mend.minutes,
        locks=tuple(gate.locks(standing, node if isinstance(node, Adjust) else None, now)),
        step=walk.step(now),
        verdict=walk.verdict(),
        head=None if state.heat is None else state.heat.head,
        deadline=deadline,
        last_word=word,
        last_word_because=because,
        close_up=close_up,
        open=tuple(walk.knowledge.openings[name].open for name in state.open),
        lean=_lean(walk),
    )


def _lean(walk: Walk) -> str:
    """Say how it stands where it is known to be lean today, and where its top needle goes before it runs."""
    drift = walk.state.drift
    if drift is None or walk.state.verdict or not walk.decision.lean_today:
        return ""
    goes = [amount(one.hours) for one in walk.started.back if one.screw == "high needle" and one.kind == "closed"]
    return f"{drift.said}. First it goes back{f' to {goes[0]}' if goes else ''}"


def owed_plan(walk: Walk) -> tuple[order.PlannedLook, ...]:
    """Return the first looks that are owed before an adjustment, the guards first, in the one order."""
    return () if walk.state.verdict else walk.decision.looking.owed


def _owed_lines(walk: Walk, looks: Sequence[order.PlannedLook]) -> Iterator[OwedLine]:
    """Yield what is shown of each look that is owed."""
    taken = order.each(looks, walk.decision.looking.bench(frozenset()))
    for look, takes in zip(looks, taken, strict=True):
        line, check = "" if look.line is None else look.line.round, walk.scope.checks[look.id]
        wanted = say(check.answers[check.healthy].say, walk.knowledge, walk.scope.engine)
        yield OwedLine(look.id, check.name, look.minutes, line, takes, wanted)


def minutes_left(walk: Walk, planned: Sequence[order.PlannedLook]) -> float:
    """Return the minutes of these looks, a round counted once, till the car stands closed up again."""
    bench = order.after(planned, walk.decision.looking.bench(frozenset()))
    return order.minutes(planned, walk.decision.looking.bench(frozenset())) + bench.change(bench.state, "parked")


def in_time(walk: Walk, planned: Sequence[order.PlannedLook], left: float) -> tuple[order.PlannedLook, ...]:
    """Return the looks that fit before the car is closed up: guards first, then what is likeliest to show a fault."""
    guards = tuple(look for look in planned if look.id in walk.scope.guards)
    rest = [look for look in planned if look not in guards]
    bench = walk.decision.looking.bench(walk.standing.first_open)
    spent = order.minutes(guards, bench)
    if spent > left:
        return ()
    return (*guards, *order.within(rest, order.after(guards, bench), left - spent))


def trail(walk: Walk) -> Iterator[TrailLine]:
    """Yield what was done so far, a line each."""
    scope, knowledge = walk.scope, walk.knowledge
    noted = {one.check for one in walk.started.carried if one.outing == ev.DAY_NOTE}
    for check, given in walk.state.answers.items():
        if given.carried:
            line = _answered(walk, 0, check, given.answer, given.sure)
            what = f"{line.what}, from {ev.DAY_NOTE}" if check in noted else line.what
            yield structs.replace(line, what=what, carried=check not in noted, can_take_back=False)
    if (drift := walk.state.started.drift) is not None:
        yield TrailLine(0, drift.said, "·", can_take_back=False)
    for number, event in effective(walk.events)[1:]:
        can = not walk.stays(number)
        match event:
            case ev.Told() if event.said:
                yield TrailLine(number, "; ".join(_told(walk, event)), "·")
            case ev.Answered() if event.answer in ev.NOT_ANSWERS:
                yield TrailLine(number, scope.checks[event.check].name, "?", check=event.check)
            case ev.Answered():
                line = _answered(walk, number, event.check, event.answer, event.sure)
                yield structs.replace(line, can_take_back=can)
            case ev.Measured():
                answer = knowledge.band(scope.checks[event.check], event.value, scope.engine)
                line = _answered(walk, number, event.check, answer, True)
                yield structs.replace(line, what=f"{line.what} ({compared(walk, event) or read_off(walk, event)})")
            case ev.Prepared():
                prepared = knowledge.preparations[event.preparation]
                plain = {"ready": "done", "won't run": "not now"} if not prepared.head else {}
                head = f", {both(event.head)}" if event.head is not None else ""
                yield TrailLine(number, f"{prepared.name}: {plain.get(event.outcome, event.outcome)}{head}", "→")
            case ev.Mended():
                yield TrailLine(number, f"mended: {scope.faults[event.fault].name}", "→", can_take_back=can)
            case ev.Deferred():
                known_fault = scope.faults.get(event.fault)
                name = known_fault.name if known_fault else knowledge.preparations[event.fault].name
                yield TrailLine(number, f"not now: {name}", "?")
            case ev.Adjusted():
                yield TrailLine(number, f"{event.screw} {amount(event.hours)} {event.way}", "→", can_take_back=can)
            case ev.HeadRead() if event.head is not None:
                yield TrailLine(number, f"the head after it: {both(event.head)}", "·", can_take_back=False)
            case ev.Listened():
                yield TrailLine(number, f"listened: the {event.screw} stays", "·", can_take_back=can)
            case ev.Undone():
                yield TrailLine(number, "turned it back", "→", can_take_back=can)
            case ev.Restored():
                yield TrailLine(number, _went_back(walk, number, event), "→", can_take_back=can)
            case ev.Retested():
                mark = "ok" if event.outcome == "cured" else "→"
                yield TrailLine(number, f"tried it again: {event.outcome}", mark, can_take_back=can)
            case ev.Happened() if event.what == "another day":
                yield TrailLine(number, "another day, or hours later: all is owed again", "·", can_take_back=can)
            case ev.Happened():
                yield TrailLine(number, f"since then: {event.what}", "·")
            case ev.Noted() if event.text:  # one that was taken back says nothing
                yield TrailLine(number, event.text, "·", noted=True)
            case ev.Redirected():
                yield TrailLine(number, f"it is rather: {knowledge.symptoms[event.symptom].name}", "·")
            case ev.Reopened():
                yield TrailLine(number, "opened again: it had not ended", "·", can_take_back=False)
            case ev.Parked():
                waited = ", ".join(event.needs)
                yield TrailLine(
                    number, f"it waited{f' for: {waited}' if waited else ' here'}", "·", can_take_back=False
                )
            case ev.Deadline() if event.minutes is not None:
                yield TrailLine(number, f"{event.minutes:g} minutes to the grid", "·")
            case _:
                pass


def _went_back(walk: Walk, number: int, event: ev.Restored) -> str:
    """Say where screws went: each that is counted from closed with its hours."""
    back = ev.back_at(walk.events, number)
    screws = [f"{one.screw} {amount(one.hours)}" for one in back if one.screw in event.screws and one.kind == "closed"]
    return ": ".join(["went back to the record", *([", ".join(screws)] if screws else [])])


def _told(walk: Walk, event: ev.Told) -> Iterator[str]:
    """Yield each thing that was told, in words; an answer that the knowledge has no more, by its id."""
    question = walk.knowledge.history.get(event.question)
    for answer in event.said:
        if event.question == ev.ALSO:
            yield walk.knowledge.symptoms[answer].name
        elif question is not None and answer in question.answers:
            yield say(question.answers[answer].say, walk.knowledge, walk.scope.engine)
        else:
            yield answer


def _answered(walk: Walk, number: int, name: str, answer: str, sure: bool) -> TrailLine:
    check = walk.scope.checks[name]
    said = check.answers[answer]
    what = check.name if said.healthy else f"{check.name}: {say(said.say, walk.knowledge, walk.scope.engine)}"
    mark = "?" if not sure else "ok" if said.healthy else "!"
    return TrailLine(number, what, mark, check=name, stands=said.healthy or not _ruled_out(walk, number, name))


def _ruled_out(walk: Walk, number: int, check: str) -> bool:
    """Say whether what a check showed was ruled out by a later look: by the same one, or by another."""
    now = walk.state.answers.get(check)
    if now is None:
        return False
    if now.number != number:
        return walk.state.healthy(walk.scope, check)
    named = [fault for fault, by in walk.standing.pointed_at.items() if check in by]
    return bool(named) and all(walk.standing.ruled_out(fault) for fault in named)


def read_off(walk: Walk, read: ev.Measured) -> str:
    """Return a reading with its unit: "118 °C (244 °F)"."""
    reading = walk.scope.checks[read.check].reading
    return said_reading(read.value, reading.unit) if reading is not None else f"{read.value:g}"


def compared(walk: Walk, read: ev.Measured) -> str:
    """Return "3 seconds when it ran well, 7 now"; "" when the engine's well card does not hold that reading."""
    then, reading = walk.state.started.well.get(read.check), walk.scope.checks[read.check].reading
    return then_and_now(then, read.value, reading.unit) if then is not None and reading is not None else ""


def knows(walk: Walk) -> bool:
    """Say whether anything was told or seen that bears on what could be wrong: before a door nothing can."""
    heard = any(said for said in walk.state.told.values())
    seen = bool(walk.state.answers or walk.state.mended or walk.state.drift)
    return (heard or seen) and walk.standing.belief.keys() > {bel.OTHER}


def suspects(walk: Walk) -> tuple[Suspect, ...]:
    """Return what could explain it, likeliest first; nothing while nothing is known."""
    if not knows(walk):
        return ()
    found = []
    ordered = sorted(walk.standing.spoken.items(), key=lambda pair: (-pair[1], pair[0]))
    for fault, share in ordered:
        if share < SHOWN:
            continue
        known = walk.scope.faults.get(fault)
        name = walk.standing.forms.name(fault) if known else "something not on the list"
        found.append(Suspect(fault, name, share, likely(share), known.mechanical if known else False))
    return tuple(found)


def why(walk: Walk, check: str) -> Why:
    """Say what a check is good for now; raises `DiagnoseError` when there is no such check."""
    if check not in walk.scope.checks:
        from diagnose.graph.seek import could_be

        raise DiagnoseError(f"there is no check '{check}'{could_be(check, walk.knowledge, 'checks')}")
    scope, belief = walk.scope, walk.standing.spoken
    forms = walk.standing.forms
    shown = forms.now(scope.shown(check), belief)
    listed = [
        (forms.name(fault), chance, belief.get(fault, 0.0))
        for fault, chance in sorted(shown.named.items(), key=lambda pair: (-pair[1] * belief.get(pair[0], 0), pair[0]))
        if fault in belief
    ]
    owed = forms.owed(scope.clears(check) & walk.standing.first_open, lambda fault: (0.0, fault))
    held = sum(share for _, _, share in listed)
    step = walk.ask(check)
    sentence = f"It can show {len(listed)} of the suspects, in {_minutes(step.minutes)}."
    sentence += f" That it is {'this one' if len(listed) == 1 else 'one of these'}: {likely(held)}."
    if not listed:
        sentence = f"It can show none of the suspects, and takes {_minutes(step.minutes)}."
    if scope.checks[check].state in RUNNING:
        sentence += " The engine runs for it, so both guards come first."
    if (drift := walk.state.drift) is not None:
        sentence += f" The belief counts the drift as well: {drift.said}."
    return Why(
        check,
        scope.checks[check].name,
        step.minutes,
        tuple(listed),
        tuple(owed),
        sentence,
        tuple(_blind(walk, check)),
    )


def _blind(walk: Walk, check: str) -> Iterator[str]:
    """Yield the faults of which a check shows some forms only, with the forms that it can't show."""
    scope, shown = walk.scope, walk.scope.clears(check)
    for fault in sorted(shown & scope.forms.keys() & walk.standing.belief.keys()):
        if missed := [hypothesis for hypothesis in scope.forms[fault] if hypothesis not in shown]:
            yield walk.standing.forms.named(fault, missed)


def _minutes(minutes: float) -> str:
    halves = max(round(minutes * 2), 1)
    return {1: "half a minute", 2: "1 minute"}.get(halves, f"{halves / 2:g} minutes")


def others(walk: Walk) -> list[Choice]:
    """Return what could be said out of turn: checks by id, and under `ALSO` other symptoms that it shows too."""
    own = {walk.symptom, walk.started.symptom, *walk.state.told.get(ev.ALSO, ())}
    also = [
        Choice(f"{ALSO}{key}", f"it also: {symptom.name}")
        for key, symptom in walk.knowledge.symptoms.items()
        if key not in own
    ]
    return [*(Choice(key, name) for key, name in walk.askable()), *also]


def what_if(walk: Walk, step: Step, now: float) -> tuple[WhatIf, ...]:
    """Return, for each choice of a check's step, how likely it is and what would follow."""
    if step.kind not in ("ask", "recheck"):
        return ()
    found = []
    belief = walk.standing.held or {bel.OTHER: 1.0}
    for choice in step.choices:
        after = walk.plus(walk.choose(step, choice.id, now))
        following = after.step(now)
        chance = 0.0
        if choice.id in walk.scope.checks[step.id].answers:
            likelihood = walk.scope.answer(step.id, choice.id)
            chance = sum(share * likelihood.of(fault) for fault, share in belief.items())
        told = "the walk ends" if following is None else f"{following.kind}: {following.title}"
        found.append(WhatIf(choice.id, choice.say, chance, suspects(after)[:3], told))
    return tuple(found)
