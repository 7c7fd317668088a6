"""The story counts: several answers at once, what was touched looked at first, and no needle by way of it."""

from __future__ import annotations

import random
from itertools import permutations
from typing import Any

import pytest
from amount import amount
from little import FINE, ROUTE, answer, current, knowledge, raw, shows, start
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant, every_variant
from diagnose.reason import events as ev
from diagnose.reason.gate import locks
from diagnose.reason.scope import Scope
from diagnose.reason.walk import Walk, begin, replay

SHIPPED = load()
MOST_QUESTIONS, MOST_ANSWERS = 4, 9
STORIES = amount(20, quick=5, long=200)

CHANGED = {
    "ask": "What changed?",
    "several": True,
    "answers": {
        "nothing": FINE,
        "crash": shows({"held-open": 0.6, "line-off": 0.3}, 0.05),
        "fuel": shows({"froth": 0.7, "line-off": 0.1}, 0.05, **{"look early": ["bubbles"]}),
        "lid": shows({"lid-leaks": 0.8}, 0.05, **{"look early": ["soap"]}),
    },
}


def storied(question: dict[str, Any] = CHANGED, **more: dict[str, Any]) -> Knowledge:
    """Return the little knowledge with other history questions."""
    return knowledge(history={"changed": question, **more})


def told(walk: Walk, question: str, *said: str) -> Walk:
    return walk.plus(walk.tell(question, said, 0.0))


def shipped(symptom: str, variant: Variant | None = None, **more: Any) -> Walk:
    return begin(SHIPPED, ev.Started(0.0, SHIPPED.digest, symptom, "", variant or Variant(), **more))


# evidence


def test_the_order_of_telling_changes_nothing() -> None:
    rng, known = random.Random(7), SHIPPED.history
    scope = Scope(SHIPPED, Variant())
    for _ in range(STORIES):
        walk = shipped(rng.choice(sorted(SHIPPED.symptoms)))
        said = {name: rng.sample(sorted(one.answers), 3 if one.several else 1) for name, one in known.items()}
        said = {n: [a for a in of if not known[n].answers[a].healthy] or of[:1] for n, of in said.items()}
        beliefs = []
        for questions in rng.sample(list(permutations(said)), 3):
            events: list[ev.Event] = [walk.started]
            for name in questions:
                first, *more = rng.sample(said[name], len(said[name]))
                events.append(ev.Told(0.0, name, first, tuple(more)))
            beliefs.append(Walk(SHIPPED, tuple(events), scope).standing.belief)
        assert beliefs[0] == beliefs[1] == beliefs[2]


def test_each_of_several_answers_counts_as_its_if_over_its_else() -> None:
    walk = start(storied())
    before, after = walk.standing.belief, told(walk, "changed", "crash", "fuel").standing.belief
    ratio = (after["line-off"] / after["low-rich"]) / (before["line-off"] / before["low-rich"])
    assert ratio == pytest.approx((0.3 / 0.05) * (0.1 / 0.05))


def test_nothing_says_that_none_of_the_others_holds() -> None:
    walk = start(storied())
    before, after = walk.standing.belief, told(walk, "changed", "nothing").standing.belief
    ratio = (after["held-open"] / after["low-rich"]) / (before["held-open"] / before["low-rich"])
    assert ratio == pytest.approx((1 - 0.6) / (1 - 0.05))


def test_one_more_answer_leaves_what_the_others_say_as_it_was() -> None:
    scope = start(storied()).scope
    one, two = scope.told("changed", ["crash"]), scope.told("changed", ["crash", "lid"])
    assert two.of("held-open") / two.otherwise == pytest.approx(one.of("held-open") / one.otherwise)
    assert one.of("lid-leaks") == one.otherwise  # what is left unsaid tells nothing


def test_an_old_event_with_one_answer_still_folds() -> None:
    old = ev.from_json('{"kind":"told","at":1,"question":"changed","answer":"crash"}')
    assert old == ev.Told(1.0, "changed", "crash")
    walk = start(storied())
    assert replay(storied(), (walk.started, old)).standing.belief == told(walk, "changed", "crash").standing.belief
    assert '"more"' not in ev.to_json(old)


def test_an_answer_that_the_knowledge_has_no_more_tells_nothing_and_stays_in_the_trail() -> None:
    walk = start(storied())
    old = replay(storied(), (walk.started, ev.Told(0.0, "changed", "plug"), ev.Told(0.0, "moon", "full")))
    assert old.standing.belief == walk.standing.belief
    assert [line.what for line in old.view(0.0).trail] == ["plug", "full"]


def test_several_answers_are_taken_back_as_one() -> None:
    walk = start(storied())
    grown = told(walk, "changed", "crash", "lid")
    back = grown.take_back(0.0)
    assert back is not None
    assert grown.plus(back).standing.belief == walk.standing.belief
    assert [name for name, _ in grown.plus(back).history()] == ["changed"]
    assert grown.history() == []


@pytest.mark.parametrize(
    ("said", "why"),
    [
        (("nothing", "crash"), "'it is fine' can only be chosen alone"),
        (("crash", "lids"), "did you mean 'lid'"),
    ],
)
def test_what_can_not_be_said_together_is_refused(said: tuple[str, ...], why: str) -> None:
    with pytest.raises(DiagnoseError, match=why):
        told(start(storied()), "changed", *said)


def test_a_question_for_one_answer_takes_one() -> None:
    with pytest.raises(DiagnoseError, match="takes one answer, not 2"):
        told(start(storied({**CHANGED, "several": False})), "changed", "crash", "lid")


# which questions


def stories(walk: Walk) -> list[Walk]:
    """Return what becomes of a walk with each single answer to each question that comes up."""
    questions = walk.history()
    if not questions:
        return [walk]
    name, question = questions[0]
    return [end for said in [*question.answers, ev.SKIPPED] for end in stories(told(walk, name, said))]


@pytest.mark.parametrize("symptom", sorted(SHIPPED.symptoms))
def test_no_more_than_four_questions_come_up_and_each_fits_a_screen(symptom: str) -> None:
    for variant in (Variant(), Variant(needles=2, starter="pull", run_in=False)):
        first = shipped(symptom, variant)
        assert len(first.history()) <= MOST_QUESTIONS
        for walk in stories(first):
            assert len(walk.state.told) <= MOST_QUESTIONS
    for question in SHIPPED.history.values():
        assert len(question.answers) <= MOST_ANSWERS


def test_whether_a_screw_was_turned_is_asked_first() -> None:
    assert [name for name, _ in shipped("revs-hang").history()][:2] == ["screws", "changed"]


def test_what_the_complaint_excludes_is_not_asked() -> None:
    assert shipped("first-start").history() == []  # it never ran well
    assert "screws" not in dict(shipped("will-not-turn-over").history())  # no needle keeps an engine from turning
    assert "stored" not in dict(shipped("will-not-rev-cleanly-after-storage").history())["changed"].answers
    assert "mid needle" not in dict(shipped("revs-hang", Variant(needles=2)).history())["screws"].answers


@pytest.mark.parametrize("symptom", ["revs-hang", "revs-but-does-not-pull"])
def test_every_answer_that_is_offered_can_tell_something(symptom: str) -> None:
    walk = shipped(symptom)
    told_of = told(walk, "changed", "opened")
    for name, question in {**dict(walk.history()), **dict(told_of.history())}.items():
        before = told_of if name == "touched" else walk
        for title, one in question.answers.items():
            if one.given and not one.turned:
                after = told(before, name, title).standing.belief
                assert max(abs(after[fault] - share) for fault, share in before.standing.belief.items()) > 1e-6


def test_a_form_that_an_answer_names_gains_by_it_and_the_others_of_its_fault_do_not() -> None:
    before = told(shipped("idles-too-high"), "changed", "opened")
    after = told(before, "touched", "body shell")

    def share(walk: Walk, form: str) -> float:
        held = walk.standing.held
        return held[f"linkage-binds.{form}"] / (held["linkage-binds.shell"] + held["linkage-binds.rubs"])

    assert share(after, "shell") > 0.7 > 0.3 > share(before, "shell")
    assert after.standing.belief["linkage-binds"] > before.standing.belief["linkage-binds"]


def test_who_has_only_just_got_it_is_asked_no_more() -> None:
    assert told(shipped("revs-hang"), "screws", "only just got").history() == []


def test_what_was_open_is_asked_only_where_something_was() -> None:
    walk = told(shipped("revs-hang"), "screws", "nobody")
    assert "touched" not in dict(told(walk, "changed", "crash").history())
    assert next(iter(dict(told(walk, "changed", "crash", "opened").history()))) == "touched"


def test_an_answer_below_one_that_was_taken_back_counts_no_more() -> None:
    walk = told(shipped("revs-hang"), "changed", "opened")
    deeper = told(walk, "touched", "engine")
    back = deeper.plus(ev.Retracted(0.0, 1))
    assert back.standing.belief == pytest.approx(shipped("revs-hang").standing.belief)
    again = told(back, "changed", "opened")
    assert again.standing.belief == pytest.approx(deeper.standing.belief)


def test_both_questions_about_an_engine_that_somebody_just_got_have_the_same_numbers() -> None:
    screws, had = SHIPPED.history["screws"].answers, SHIPPED.history["running-in"].answers
    assert screws["only just got"].given == had["just got"].given


# where to look first


def test_what_was_touched_is_looked_at_first_and_the_step_says_why() -> None:
    assert current(answer(start(storied()), barrel="fine", failsafe="fine")).id == "hold"
    walk = told(start(storied()), "changed", "lid")
    assert current(walk).id == "barrel"  # a guard, which comes before everything
    step = current(answer(walk, barrel="fine", failsafe="fine"))
    assert step.id == "soap"
    assert step.why == "You said: it shows. What was touched last is looked at first. It can show: a fault."


def test_the_guards_come_before_what_was_touched() -> None:
    walk = told(start(storied()), "changed", "fuel")
    assert current(walk).id == "barrel"  # what was touched is looked at while the engine runs
    walk = answer(walk, barrel="fine", failsafe="fine")
    assert current(walk).id == "bubbles"


def test_no_look_is_left_out_for_one_that_comes_early() -> None:
    walk = start(storied())
    owed = walk.standing.first_owed
    looking = told(walk, "changed", "lid").decision.looking
    planned = looking._planned(tuple(looking.open_checks("first")), owed, ())
    put = looking._touched_first(planned, "first")
    assert "soap" not in [one.id for one in planned]  # the sweep by itself would do without it
    assert next(one.id for one in put if one.id not in looking.scope.guards) == "soap"
    assert {one.id for one in put} == {one.id for one in planned} | {"soap"}


def test_the_list_of_what_is_owed_stands_in_the_order_of_the_walk() -> None:
    walk = told(start(storied()), "changed", "lid")
    owed = [line.check for line in walk.view(0.0).owed]
    assert next(one for one in owed if one not in walk.scope.guards) == "soap"


def test_sweeps_in_a_row_are_one_order_and_what_was_touched_comes_first_in_it() -> None:
    symptoms = raw()["symptoms"]
    first = {"node": "sweep", "sweep": ["ignition"], "then": "more"}
    symptoms["loads-up"]["route"] = {**ROUTE, "outside": first, "more": ROUTE["outside"]}
    walk = answer(start(knowledge(symptoms=symptoms, history={"changed": CHANGED})), barrel="fine", failsafe="fine")
    assert current(walk).id == "hold"  # which the second of them owes
    assert current(told(walk, "changed", "lid")).id == "soap"


# the gate


def test_no_story_takes_a_strip_down_off() -> None:
    rng = random.Random(11)
    for _ in range(STORIES):
        variant = rng.choice(list(every_variant()))
        symptom = rng.choice(sorted(SHIPPED.symptoms))
        walk = shipped(symptom, variant)
        owed = walk.standing.strips_owed(symptom)
        for name, question in SHIPPED.history.items():
            said = rng.sample(sorted(question.answers), 3 if question.several else 1)
            known = [answer for answer in said if not question.answers[answer].healthy] or said[:1]
            walk = told(walk, name, *known)
        assert walk.standing.strips_owed(symptom) >= owed


def test_a_strip_down_is_owed_although_the_story_speaks_for_something_else() -> None:
    everything = shows({"low-rich": 0.99}, 0.01)
    walk = told(start(storied({**CHANGED, "answers": {"nothing": FINE, "rich": everything}})), "changed", "rich")
    assert walk.standing.belief["dirt"] < 0.02
    assert walk.standing.strips_owed("loads-up") == {"dirt"}


def test_no_story_opens_a_needle() -> None:
    node = start().knowledge.symptoms["loads-up"].route["leaner"]
    story = {**CHANGED, "answers": {"nothing": FINE, "rich": shows({"low-rich": 0.99}, 0.01, turned=True)}}
    walk = told(start(storied(story)), "changed", "rich")
    assert {lock.rule for lock in locks(walk.standing, node, 0.0)} >= {1, 4, 5, 7}  # type: ignore[arg-type]


# a screw that was turned

TURNED = {**CHANGED, "answers": {**CHANGED["answers"], "screw": shows({"low-rich": 0.4}, 0.1, turned=True)}}


def mended(*said: str, **more: Any) -> Walk:
    """Return a walk in which a leaking lid was mended, and its check is sound again."""
    walk = told(start(storied(TURNED), **more), "changed", *said)
    walk = answer(walk, barrel="fine", failsafe="fine", hold="bleeds", soap="suds").plus(ev.Mended(0.0, "lid-leaks"))
    return answer(walk, **{current(walk).id.replace("-", "_"): "fine"})


def test_a_screw_that_was_turned_goes_home_in_the_same_stop_as_the_mend() -> None:
    walk = mended("screw", recorded=True)
    step = current(walk)
    assert (step.kind, step.id) == ("restore", "going-back")
    assert step.why.startswith("You said that a screw was turned.")
    walk = walk.plus(walk.choose(step, "done", 0.0))
    assert current(walk).kind == "retest"
    cured = walk.plus(ev.Retested(0.0, "cured")).verdict()
    assert cured is not None
    assert (cured.because, cured.mended) == ("the mend and going back cured it", ("lid-leaks",))


def test_what_went_home_with_a_mend_in_vain_is_on_its_record_and_the_mend_is_struck() -> None:
    walk = mended("screw", recorded=True)
    walk = walk.plus(walk.choose(current(walk), "done", 0.0)).plus(ev.Retested(0.0, "same"))
    assert walk.state.struck == {"lid-leaks"}
    assert walk.state.on_trial == []
    assert walk.standing.on_record
    assert current(walk).kind == "ask"


def test_no_screw_goes_home_that_nobody_turned_or_that_has_no_record_or_twice() -> None:
    assert current(mended("crash", recorded=True)).kind == "retest"
    assert current(mended("screw")).kind == "retest"
    walk = mended("screw", recorded=True)
    assert current(walk.plus(walk.choose(current(walk), "not now", 0.0))).kind == "retest"


# memory


def test_what_is_remembered_is_asked_once_even_after_its_mend() -> None:
    walk = answer(shipped("spins-but-never-fires"), **{"fuel-age": "old or open"}).plus(ev.Mended(0.0, "fuel-old"))
    assert "fuel-age" not in walk.state.recheck
    for _ in range(60):
        if (step := walk.step(0.0)) is None:
            break
        assert step.id != "fuel-age"
        healthy = SHIPPED.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id
        walk = walk.plus(walk.choose(step, "same" if step.kind == "retest" else healthy, 0.0))
