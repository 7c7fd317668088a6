"""Whatever a person answers: no adjustment before its first looks, nothing runs before its guards, no loop, no crash.

100 walks a symptom, of 120 steps at most; 8 with `tests/run --quick`, 10,000 with `tests/run --long`. The oracle below
reads the events only, not the walk's own state.
"""

from __future__ import annotations

import random

import pytest
from amount import amount
from reason.test_taking_back import taken_back
from shipped import load

from diagnose.graph.model import CLOSE, RUNNING, Knowledge, Variant, Work, every_variant
from diagnose.reason import events as ev
from diagnose.reason.state import HOT, effective
from diagnose.reason.steps import DROP, spent
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()
VARIANTS = list(every_variant())
WALKS = amount(100, quick=8, long=10_000)
ENOUGH = 100
"""Of so many walks some are handed over, whatever the symptom."""
MOST = 5
"""So many times as many walks may be made before one is cured."""
MOST_STEPS = 120
LOOKS = ("ask", "recheck")
IN_A_ROW = {"bring-to-heat": 2, "let-it-idle": 3, "let-it-cool": 2}
"""How often a preparation that did not come ready may be asked for in a row."""

BESIDE_THE_GUARDS = "linkage"
"""The area that both shipped guards look at: whatever mend touches it, they are owed again."""


def healthy_so_far(knowledge: Knowledge, walk: Walk, look: str = "first") -> set[str]:
    """Return the checks of a kind that were ever answered healthy outright, or mended by a swap."""
    found = set()
    for _, event in effective(walk.events):
        if isinstance(event, ev.Answered) and event.sure and event.answer not in ev.NOT_ANSWERS:
            check = knowledge.checks[event.check]
            answer = check.answers[event.answer]
            if check.look == look and (answer.healthy or answer.mends):
                found.add(event.check)
        elif isinstance(event, ev.Measured):
            check = knowledge.checks[event.check]
            if check.look == look and check.answers[knowledge.band(check, event.value, walk.variant)].healthy:
                found.add(event.check)
    return found


def newest_answers(walk: Walk) -> dict[str, str]:
    """Return the newest real answer of each check; none of a guard from before a mend beside it."""
    knowledge, found = walk.knowledge, {}
    for _, event in effective(walk.events):
        mended = ""
        if isinstance(event, ev.Answered):
            found[event.check] = event.answer
            if event.answer not in ev.NOT_ANSWERS:
                mended = knowledge.checks[event.check].answers[event.answer].mends
        elif isinstance(event, ev.Measured):
            found[event.check] = knowledge.band(knowledge.checks[event.check], event.value, walk.variant)
        elif isinstance(event, ev.Mended):
            mended = event.fault
        if mended and BESIDE_THE_GUARDS in knowledge.faults[mended].mend.touches:
            found = {check: answer for check, answer in found.items() if not knowledge.checks[check].guard}
    return found


def left_open(walk: Walk) -> set[str]:
    """Return what the hands of this walk have left open, read from its events and the files alone."""
    knowledge, found = walk.knowledge, set(walk.started.open)
    standing = dict(effective(walk.events))
    for number, event in enumerate(walk.events):
        work: Work | None = None
        if number not in standing and not isinstance(event, ev.Answered | ev.Measured):
            continue  # taking back an answer puts no part back
        match event:
            case ev.Deferred() if event.begun:
                found |= set(knowledge.faults[event.fault].mend.takes_off)
            case ev.Answered() if event.answer == ev.CANT_TELL:
                found |= set(knowledge.checks[event.check].takes_off)
            case ev.Answered() if event.answer != ev.NO_TOOL:
                work = knowledge.checks[event.check]
            case ev.Measured():
                work = knowledge.checks[event.check]
            case ev.Mended():
                work = knowledge.faults[event.fault].mend
            case ev.Prepared() if event.preparation != CLOSE:
                work = knowledge.preparations[event.preparation]
            case ev.Prepared() if event.outcome == "ready":
                found = set()
            case ev.Retested():
                work = knowledge.symptoms[event.symptom].retest
        if work is not None:
            found = (found | set(work.takes_off)) - set(work.puts_back)
    return found


def guards_seen(walk: Walk) -> dict[str, bool]:
    """Return of each guard whether it was seen to be healthy since something was off that it looks at."""
    knowledge, seen = walk.knowledge, dict.fromkeys(walk.scope.guards, False)
    for _, event in effective(walk.events):
        work: Work | None = None
        match event:
            case ev.Answered(check=name) if name in seen:
                answers = knowledge.checks[name].answers
                seen[name] = event.answer in answers and answers[event.answer].healthy and event.sure
            case ev.Answered() if event.answer != ev.NO_TOOL:
                work = knowledge.checks[event.check]
            case ev.Measured():
                work = knowledge.checks[event.check]
            case ev.Mended():
                work = knowledge.faults[event.fault].mend
                if BESIDE_THE_GUARDS in work.touches:
                    seen = dict.fromkeys(seen, False)
        if work is not None and any(knowledge.openings[name].guarded for name in work.takes_off):
            seen = dict.fromkeys(seen, False)
    return seen


def work_of(walk: Walk, step: Step) -> Work | None:
    """Return what a step does to the car, read from the files."""
    known = walk.knowledge
    works: dict[str, Work | None] = {
        "ask": known.checks.get(step.id),
        "recheck": known.checks.get(step.id),
        "mend": known.faults[step.id].mend if step.id in known.faults else None,
        "prepare": known.preparations.get(step.id),
        "retest": known.symptoms[step.id].retest if step.id in known.symptoms else None,
    }
    return works.get(step.kind)


def assert_closed_up(walk: Walk, step: Step) -> None:
    """Nothing cranks or runs the engine with something open, except a step that says why."""
    work = work_of(walk, step)
    if work is not None and (work.cranks or work.state in RUNNING):
        wrong = left_open(walk) - work.may_be_open.keys()
        assert not wrong, f"{step.id} turns the engine with {sorted(wrong)} open"
        assert step.engine != "off"


def open_findings(walk: Walk) -> set[str]:
    """Return the checks that found what keeps the engine off, and were not made again and surely without it."""
    found: dict[str, str] = {}
    for _, event in effective(walk.events):
        match event:
            case ev.Answered(check=name, answer=said) if said not in ev.NOT_ANSWERS:
                if grounds := walk.knowledge.checks[name].answers[said].grounds:
                    found[name] = grounds
                elif event.sure:
                    found.pop(name, None)
            case ev.Prepared(preparation="let-it-cool", outcome="ready"):
                found = {name: grounds for name, grounds in found.items() if grounds != HOT}
            case _:
                pass
    return set(found)


def assert_not_in_a_row(made: list[Step], step: Step) -> None:
    """Hold the step against those before it: no question twice in a row.

    A check is made again right after itself only as the look after its mend, where it still shows it. What brings the
    engine to a state, and did not, may be tried a few times. All else is never asked for twice running.
    """
    if not made or made[-1].id != step.id:
        return
    if made[-1].kind in LOOKS and step.kind in LOOKS:
        assert (made[-1].kind, step.kind) == ("recheck", "recheck"), f"{step.id} is asked twice in a row: {step.why}"
        assert len(made) < 2 or (made[-2].kind, made[-2].id) != ("recheck", step.id)
    elif made[-1].kind == step.kind != "undo":  # each turns back another turn
        assert step.kind == "prepare", f"{step.kind} {step.id} twice in a row"
        most = IN_A_ROW[step.id]
        assert any(one.id != step.id for one in made[-most:]) or len(made) < most


def assert_asked_once(walk: Walk, step: Step) -> None:
    """A question about the past is put once: what was does not change."""
    if step.kind in LOOKS and walk.knowledge.checks[step.id].remembered:
        put = [one for _, one in effective(walk.events) if isinstance(one, ev.Answered) and one.check == step.id]
        assert not put, f"{step.id} is asked again, after {[one.answer for one in put]}: {step.why}"


def tried_out(knowledge: Knowledge, walk: Walk) -> set[str]:
    """Return the faults that were mended and tried, where nothing is to be seen after it.

    What the mend has closed is not opened to look, where trying it tells the same, and the past is not asked again.
    """
    remembered, mended, tried = set[str](), set[str](), set[str]()
    for _, event in effective(walk.events):
        match event:
            case ev.Answered(check=name, answer=answer) if answer not in ev.NOT_ANSWERS:
                if walk.scope.checks[name].remembered:
                    remembered |= set(walk.scope.checks[name].answers[answer].names)
            case ev.Mended(fault=fault) if fault in remembered or knowledge.faults[fault].mend.retest_tells:
                mended.add(fault)
            case ev.Retested():
                tried |= mended
            case _:
                pass
    return tried


def assert_nothing_is_early(knowledge: Knowledge, walk: Walk, step: Step, now: float) -> None:
    """Hold the step against the rules."""
    assert_closed_up(walk, step)
    newest = newest_answers(walk)
    work = work_of(walk, step)
    if step.kind == "adjust" or (work is not None and (work.cranks or work.state in RUNNING)):
        for guard, seen in guards_seen(walk).items():
            assert seen, f"{step.id} turns the engine without {guard}"
        open_now = open_findings(walk)
        if step.kind == "mend":  # what it puts right does not stand in its own way
            open_now = {c for c in open_now if step.id not in knowledge.checks[c].answers[newest[c]].names}
        assert not open_now, f"{step.id} turns the engine although it is grounded: {open_now}"
    if step.kind == "mend":
        fault = knowledge.faults[step.id]
        for awaited in fault.mend.after:
            assert awaited in newest, f"{step.id} is mended before {awaited}"
            assert step.id in knowledge.explaining(walk.standing.symptom_id, walk.variant), (
                f"{step.id} explains nothing"
            )
    if step.kind != "adjust":
        return
    cleared = {f for check in healthy_so_far(knowledge, walk) for f in walk.scope.clears(check)}
    missing = knowledge.first_owed(walk.symptom, walk.variant) - cleared - tried_out(knowledge, walk)
    assert not missing, f"{step.id} offered while owed: {sorted(missing)}"
    owed = (name for name in knowledge.first_owed(walk.symptom, walk.variant) if name not in walk.state.swapped)
    forms = {one: form for name in owed for one, form in knowledge.hypotheses(name).items() if not form.because}
    held = {one for one, form in forms.items() if form.share >= 0.1 and walk.standing.held.get(one, 0.0) >= 0.01}
    assert held <= cleared, f"{step.id} offered while these forms are owed: {sorted(held - cleared)}"
    heat = walk.state.heat
    assert heat is not None
    assert now - heat.at <= 120
    for turn in step.turns:
        assert turn.hours <= 1
    if step.turns[0].way == "leaner":
        signs = [walk.knowledge.symptoms[walk.symptom].sign.get(step.turns[0].screw)]
        signs += [
            knowledge.checks[c].answers[a].sign.get(step.turns[0].screw)
            for c, a in newest.items()
            if a not in ev.NOT_ANSWERS
        ]
        assert signs.count("rich") >= 2
        assert heat.outcome == "ready"
        assert not heat.drop


def random_choice(rng: random.Random, step: Step) -> str:
    """Choose any of the choices."""
    return rng.choice(step.choices).id


def told(walk: Walk, rng: random.Random) -> Walk:
    """Tell a story at random, or none: whatever it is, it opens nothing."""
    skips = rng.random()
    while questions := walk.history():
        name, question = questions[0]
        said = rng.sample(
            sorted(question.answers), min(rng.randint(1, 3), len(question.answers)) if question.several else 1
        )
        alone = [answer for answer in said if not question.answers[answer].healthy] or said[:1]
        walk = walk.plus(walk.tell(name, () if rng.random() < skips else alone, 0.0))
    return walk


def walked(symptom: str, variant: Variant, rng: random.Random) -> Walk:
    """Walk at random to the end."""
    walk = begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", variant, recorded=rng.random() < 0.5))
    walk = told(walk, rng)
    healthy = rng.random()  # some walks are nearly all healthy, so that they reach the needles
    drops = rng.random() < 0.2  # some have no thermometer
    made: list[Step] = []
    now = 0.0
    while (step := walk.step(now)) is not None:
        assert walk.state.steps < MOST_STEPS, f"{symptom} did not end in {MOST_STEPS} steps"
        assert_nothing_is_early(KNOWLEDGE, walk, step, now)
        if not isinstance(walk.events[-1], ev.Redirected):  # what is another symptom begins with its own first step
            assert_not_in_a_row(made, step)
        assert_asked_once(walk, step)
        made.append(step)
        choice = random_choice(rng, step)
        if step.kind in ("ask", "recheck") and rng.random() < healthy:
            choice = KNOWLEDGE.checks[step.id].healthy
        if step.kind in ("mend", "prepare", "restore") and rng.random() < healthy:
            choice = step.choices[0].id
        if drops and any(one.id == DROP for one in step.choices):
            choice = DROP
        now += spent(step, choice) * 60
        event = walk.choose(step, choice, now, sure=rng.random() < 0.9)
        grown = walk.plus(event)
        if rng.random() < 0.05 and (back := grown.take_back(now)) is not None:
            assert_no_trace(walk, grown.plus(back), now)
        walk = grown
        if rng.random() < 0.02 and walk.verdict() is None:
            walk, made = taken_back(walk, rng, now), []
    return walk


def assert_no_trace(before: Walk, after: Walk, now: float) -> None:
    """A retracted answer leaves no trace in any view but for the parts that it may have left open, and their guards."""
    seen = [[(s.answers.get(g), s.asked.get(g)) for g in before.scope.guards] for s in (before.state, after.state)]
    if before.state.open == after.state.open and seen[0] == seen[1]:
        assert before.view(now) == after.view(now)


@pytest.mark.parametrize("symptom", sorted(KNOWLEDGE.symptoms))
def test_no_step_is_early_nor_asked_twice_in_a_row_and_every_walk_ends(symptom: str) -> None:
    rng = random.Random(symptom)
    ends = dict.fromkeys(("cured", "nothing is wrong", "handed over", "stopped"), 0)
    while sum(ends.values()) < WALKS or (WALKS >= ENOUGH and not ends["cured"] and sum(ends.values()) < MOST * WALKS):
        walk = walked(symptom, rng.choice(VARIANTS), rng)
        verdict = walk.verdict()
        assert verdict is not None
        if verdict.outcome == "nothing is wrong":
            assert not open_findings(walk)
            assert not verdict.adjustments
        ends[verdict.outcome] += 1
    assert WALKS < ENOUGH or (ends["cured"] and ends["handed over"])
