"""Worked cases: answers in, verdict out, on a simulated clock."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from little import CHECKS, FAULTS, knowledge

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Case, Variant
from diagnose.reason import events as ev
from diagnose.reason.cases import CaseEngine, CaseRun, check_expectation, inline_engine, run_case
from diagnose.reason.events import CANT_TELL


def case(**written: Any) -> Case:
    return msgspec.convert({"symptom": "loads-up", **written}, Case)


def run(**written: Any) -> CaseRun:
    return run_case(knowledge(), case(**written), Variant())


def asked(found: CaseRun) -> list[tuple[str, str, Any]]:
    return [(step.kind, step.id, step.answer) for step in found.steps]


LEAKS = {"answers": {"hold": "bleeds", "soap": "suds"}, "faults": ["lid-leaks"]}
RICH = {"answers": {"pinch": "long climb"}, "faults": [{"low-rich": 1}]}


def test_an_answer_holds_until_a_fault_that_its_check_can_show_is_mended() -> None:
    found = run(**LEAKS)
    assert asked(found)[:2] == [("ask", "barrel", "fine"), ("ask", "failsafe", "fine")]
    assert asked(found)[2:5] == [("ask", "hold", "bleeds"), ("ask", "soap", "suds"), ("mend", "lid-leaks", "done")]
    assert ("recheck", "soap", "fine") in asked(found)
    assert asked(found)[-1] == ("retest", "loads-up", "cured")
    assert (found.verdict.outcome, found.verdict.mended) == ("cured", ("lid-leaks",))
    assert (found.owed, found.adjustments) == ((), ())


def test_a_mend_of_what_was_not_broken_leaves_the_answer_as_it_was() -> None:
    found = run(answers={"hold": "bleeds", "soap": "can't tell"}, faults=["lid-leaks"])
    mended = [(step.kind, step.id, step.answer) for step in found.steps if step.kind in ("mend", "recheck")]
    assert mended == [
        ("mend", "line-off", "done"),
        ("recheck", "hold", "bleeds"),
        ("recheck", "hold", "bleeds"),
        ("mend", "lid-leaks", "done"),
        ("recheck", "hold", "fine"),
    ]
    assert found.verdict.mended == ("lid-leaks",)  # the other was mended in vain


def test_the_clock_advances_by_the_minutes_of_the_steps() -> None:
    found = run(**LEAKS)
    assert found.minutes == pytest.approx(sum(step.minutes for step in found.steps))
    assert found.minutes > 4


def test_a_screw_is_right_once_the_net_adjustment_has_covered_its_hours() -> None:
    found = run(**RICH)
    assert found.verdict.outcome == "cured"
    assert found.verdict.adjustments == 1
    (turn,) = found.adjustments
    assert (turn.screw, turn.way, turn.hours) == ("low needle", "leaner", 1)


def test_a_screw_that_is_two_hours_off_needs_two_adjustments() -> None:
    found = run(answers={"pinch": "long climb", "re-test": ["better", "cured"]}, faults=[{"low-rich": 2}])
    outcomes = [step.answer for step in found.steps if step.kind == "retest"]
    assert outcomes == ["better", "cured"]
    assert [step.id for step in found.steps if step.kind == "ask"].count("jet") == 1  # before the second hour


def test_a_wrong_way_undone_covers_nothing() -> None:
    found = run(answers={"pinch": "long climb", "re-test": "worse"}, faults=[{"low-rich": 1}])
    kinds = [step.kind for step in found.steps]
    assert "undo" in kinds
    assert found.verdict.outcome == "handed over"


def test_successive_answers_are_used_one_after_another_and_the_last_one_holds() -> None:
    found = run(answers={"hold": ["bleeds", "bleeds"], "soap": ["suds", "fine"]}, faults=["lid-leaks", "line-off"])
    assert [step.answer for step in found.steps if step.id == "hold"] == ["bleeds", "bleeds", "fine"]
    assert [step.answer for step in found.steps if step.id == "soap"][:2] == ["suds", "fine"]
    assert found.verdict.outcome == "cured"


def test_what_the_case_does_not_answer_is_healthy() -> None:
    found = run()
    assert found.verdict.outcome == "handed over"
    assert {step.answer for step in found.steps if step.kind == "ask"} <= {"fine", "same", "short climb"}


def test_what_the_case_does_not_answer_cant_be_told() -> None:
    found = run(otherwise=CANT_TELL)
    assert found.verdict.outcome == "handed over"
    assert {step.answer for step in found.steps if step.kind == "ask"} == {CANT_TELL}
    assert {"barrel", "failsafe"} <= set(found.owed)  # can't tell leaves a check owed
    assert {lock.rule for lock in found.locked} >= {1, 5}


def test_what_the_case_does_not_answer_stops_it_and_says_where() -> None:
    found = run(otherwise="stop")
    assert (found.verdict.outcome, found.verdict.because) == ("stopped", "no answer is given for 'barrel'")
    assert found.steps == ()
    assert "hold" in found.owed


def test_a_swap_cures_when_its_fault_is_what_is_wrong() -> None:
    found = run(faults=["plug-tired"])
    assert ("ask", "new-plug", "cured") in asked(found)
    assert found.verdict.mended == ("plug-tired",)
    assert ("ask", "new-plug", "same") in asked(run())


def test_a_mend_that_is_put_off_ends_in_a_hand_over() -> None:
    found = run(answers={"bubbles": "bubbles", "froth": "not now"})
    assert ("mend", "froth", "not now") in asked(found)
    assert found.verdict.outcome == "handed over"
    assert [step.minutes for step in found.steps if step.answer == "not now"] == [0]
    assert found.minutes == sum(step.minutes for step in found.steps)


def test_a_re_test_with_a_second_fault_says_the_same_and_the_walk_goes_on() -> None:
    found = run(answers={"bubbles": "bubbles", **LEAKS["answers"]}, faults=["froth", "lid-leaks"])
    assert [step.answer for step in found.steps if step.kind == "retest"] == ["same", "cured"]
    assert set(found.verdict.mended) == {"froth", "lid-leaks"}


def test_a_preparation_comes_out_as_the_case_says() -> None:
    found = run(answers={"pinch": "long climb", "bring-to-heat": ["too cool", 95]}, faults=[{"low-rich": 1}])
    assert [step.answer for step in found.steps if step.id == "bring-to-heat"][:2] == ["too cool", 95]
    assert found.verdict.outcome == "cured"
    cold = run(answers={"bring-to-heat": "won't run"})
    assert cold.verdict.outcome == "handed over"


@pytest.mark.parametrize(("idled", "adjustments", "outcome"), [(110, 0, "handed over"), (95, 1, "cured")])
def test_a_head_that_is_read_too_hot_permits_leaning_only_once_it_has_idled_down(
    idled: float, adjustments: int, outcome: str
) -> None:
    answers = {"pinch": "long climb", "bring-to-heat": 110, "let-it-idle": idled}
    found = run(answers=answers, faults=[{"low-rich": 1}])
    assert (found.verdict.adjustments, found.verdict.outcome) == (adjustments, outcome)


def test_history_is_told_before_the_first_step() -> None:
    told = run(history={"changed": "crash"}, otherwise="stop")
    assert told.belief["held-open"] > run(otherwise="stop").belief["held-open"]


def test_a_number_answers_a_reading_and_the_mend_makes_it_healthy() -> None:
    volts: dict[str, Any] = {
        **CHECKS["bubbles"],
        "name": "volts",
        "reading": {"unit": "V", "least": 0, "most": 10},
        "answers": {
            "low": {"say": "low", "if": {"froth": 0.9}, "else": 0.02, "up to": 5},
            "fine": {"say": "fine", "healthy": True},
        },
    }
    known = knowledge(checks={**CHECKS, "bubbles": volts})
    found = run_case(known, case(answers={"bubbles": 4.2}, faults=["froth"]), Variant())
    assert ("ask", "bubbles", 4.2) in asked(found)
    assert ("recheck", "bubbles", "fine") in asked(found)
    assert found.verdict.outcome == "cured"
    with pytest.raises(DiagnoseError, match="'bubbles' reads 0 to 10 V, not 40"):
        run_case(known, case(answers={"bubbles": 40}), Variant())


def test_answers_that_contradict_each_other_end_in_a_hand_over() -> None:
    found = run(answers={"pinch": ["dies", "long climb"], "hold": ["bleeds"] * 9, "soap": ["suds", "fine", "suds"]})
    assert found.verdict.outcome in ("handed over", "cured")
    assert sum(found.belief.values()) == pytest.approx(1)


def test_everything_that_is_no_answer_is_reported_at_once() -> None:
    wrong = case(
        answers={"hold": 3, "re-test": "bettr", "bring-to-heat": "redy", "froth": "don", "soap": []},
        faults=[{"lid-leaks": 1}, {"low-rich": -1}],
    )
    with pytest.raises(DiagnoseError) as caught:
        run_case(knowledge(), wrong, Variant())
    assert str(caught.value).splitlines() == [
        "'hold' has no answer 3; it takes no number",
        "'re-test' has no answer 'bettr'; did you mean 'better'",
        "'bring-to-heat' has no answer 'redy'; did you mean 'ready'",
        "'froth' has no answer 'don'; did you mean 'done'",
        "'soap' has an empty list of answers",
        "'lid-leaks' is no screw, so it has no hours",
        "'low-rich' stands -1 hours off: that must be more than 0",
    ]


def test_a_fault_that_this_engine_cannot_have_is_refused() -> None:
    faults = {**FAULTS, "froth": {**FAULTS["froth"], "only": {"needles": 3}}}
    with pytest.raises(DiagnoseError, match="'froth' is not for this engine \\(two needles"):
        run_case(knowledge(faults=faults), case(faults=["froth"]), Variant(needles=2))


def test_going_back_to_the_record_puts_every_screw_right() -> None:
    back = {**FAULTS["low-rich"], "setting": "off", "mend": {**FAULTS["low-rich"]["mend"], "back": True}}
    checks = {name: one for name, one in CHECKS.items() if name != "pinch"}
    depth = {**CHECKS["hold"], "answers": {"fine": CHECKS["hold"]["answers"]["fine"], "off": {
        "say": "off", "if": {"needle-off": 0.9}, "else": 0.02}}}  # fmt: skip
    known = knowledge(
        checks={**checks, "depth": depth},
        faults={**FAULTS, "needle-off": back},
        symptoms={
            "loads-up": {
                "name": "loads up", "when": "at idle", "does": "It loads up.",
                "retest": {"do": ["Try it."], "minutes": 1, "state": "running on the stand"},
                "route": {
                    "depth": {"node": "ask", "ask": "depth", "branches": {"fine": "end", "off": "end"}},
                    "end": {"node": "refer", "refer": "Ask someone."},
                },
            }
        },
    )  # fmt: skip
    written = case(answers={"depth": "off"}, faults=[{"low-lean": 2}, {"needle-off": 1}])
    found = run_case(known, written, Variant(), CaseEngine(recorded=True))
    assert ("restore", "needle-off", "done") in asked(found)
    assert found.verdict.outcome == "cured"


def test_what_did_not_come_out_as_expected_is_said() -> None:
    good = case(**LEAKS, expect={"verdict": "cured", "mended": ["lid-leaks"], "adjustments": 0})
    assert check_expectation(good, run_case(knowledge(), good, Variant())) == []
    bad = case(**LEAKS, expect={"verdict": "handed over", "mended": ["froth"], "adjustments": 2})
    assert check_expectation(bad, run_case(knowledge(), bad, Variant())) == [
        "the verdict is 'cured' (the mend cured it), not 'handed over'",
        "mended: lid-leaks; expected: froth",
        "0 adjustments, not 2",
    ]
    assert check_expectation(case(**LEAKS), run(**LEAKS)) == []


def test_a_walk_without_end_is_an_error_of_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("diagnose.reason.play.MOST_STEPS", 2)
    with pytest.raises(RuntimeError, match="no end after 2 steps"):
        run()


def test_an_engine_is_described_in_place() -> None:
    made = inline_engine({"needles": 2, "starter": "pull", "run in": False, "recorded": True})
    assert (made.variant, made.recorded) == (Variant(needles=2, starter="pull", run_in=False), True)
    with pytest.raises(DiagnoseError, match="no 'needle'; did you mean 'needles'"):
        inline_engine({"needle": 2})
    with pytest.raises(DiagnoseError, match="does not fit"):
        inline_engine({"needles": 5})
    with pytest.raises(DiagnoseError, match="true or false"):
        inline_engine({"recorded": "perhaps"})


def test_every_kind_of_step_is_one_that_the_interface_names() -> None:
    kinds = {step.kind for found in (run(**LEAKS), run(**RICH), run()) for step in found.steps}
    assert kinds == {"ask", "prepare", "mend", "recheck", "retest", "adjust", "follow", "refer"}
    assert isinstance(run(**RICH).adjustments[0], ev.Adjusted)
