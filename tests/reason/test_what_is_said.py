"""The sentences that go with a step are true when they are read."""

from __future__ import annotations

from typing import Any

import pytest
from little import CHECKS, FAULTS, SOUND, answer, current, knowledge, planned, raw, screw, start, warm

from diagnose.reason import events as ev
from diagnose.reason import explain
from diagnose.reason.hand_over import groups
from diagnose.reason.walk import Walk

TARGETS = (
    ev.Target("mid needle", 18, "Mid needle: 18 hours."),
    ev.Target("high needle", 37, "High needle: 37 hours, one of them to the rich side."),
)


def on_the_needle(**more: Any) -> Walk:
    return answer(warm(answer(start(**more), **SOUND, soap="fine")), pinch="long climb")


def turned(walk: Walk, outcome: Any, now: float = 20) -> Walk:
    return walk.plus(walk.choose(current(walk, now), "done", now)).plus(ev.Retested(now + 10, outcome))


def two_hours() -> Walk:
    """Turn an hour that helps and, after the strip-down, one that does not."""
    walk = answer(turned(on_the_needle(), "better"), jet="fine")
    walk = answer(warm(walk, 40), 40, pinch="long climb")
    return turned(walk, "same", 50)


def test_a_look_after_a_mend_says_the_second_time_that_it_still_shows() -> None:
    walk = answer(start(), **SOUND | {"bubbles": "bubbles"}).plus(ev.Mended(0, "froth"))
    assert "It was mended" in current(walk).why
    assert "still shows" in current(answer(walk, bubbles="bubbles", soap="fine")).why


def test_of_two_turns_back_only_the_last_says_that_the_screw_stands_where_it_was_found() -> None:
    walk = two_hours()
    first = current(walk, 70)
    second = current(walk.plus(ev.Undone(70)), 80)
    assert (first.kind, second.kind) == ("undo", "undo")
    assert "found" not in first.ask
    assert "where it was found" in second.ask


def test_a_turn_after_going_back_is_turned_back_to_the_record() -> None:
    walk = on_the_needle(recorded=True)
    home = turned(turned(walk, "same"), "same", 30)  # the suspected screw, and the others after it
    walk = turned(answer(warm(home, 40), 40, pinch="long climb"), "better", 50)
    walk = answer(walk, jet="fine")
    walk = answer(warm(walk, 70), 70, pinch="short climb")
    step = current(walk, 80)
    assert step.kind == "undo"
    assert "to the record" in step.ask


def test_the_hand_over_says_how_often_a_screw_was_turned() -> None:
    did = next(group for group in groups(two_hours().view(70)) if group.heading == "I did")
    assert [line for line in did.lines if "leaner" in line] == ["low needle one hour leaner (2 times)"]


@pytest.mark.parametrize(("which", "told"), [("mid needle", False), ("high needle", True)])
def test_the_mend_of_a_screw_speaks_of_a_rich_hour_only_when_it_adds_one(which: str, told: bool) -> None:
    mended = {**FAULTS["low-rich"]["mend"], "back": True}
    off = {**screw("off", 1, which), "mend": mended}
    known = knowledge(faults={**FAULTS, "off": off})
    walk = start(known, recorded=True, back=TARGETS, back_because="An hour for the day.")
    how = walk.decision.steps.mend("off", "").how
    assert sum("hours" in line for line in how) == 1
    assert ("An hour for the day." in how) is told


def test_a_second_look_before_a_hand_over_says_whether_it_was_told_before() -> None:
    symptoms = raw()["symptoms"]
    branches = symptoms["loads-up"]["route"]["pinch"]["branches"]
    symptoms["loads-up"]["route"]["pinch"] = {
        **symptoms["loads-up"]["route"]["pinch"],
        "branches": {**branches, "can't tell": "hand over"},
    }
    walk = answer(warm(answer(start(knowledge(symptoms=symptoms)), **SOUND, soap="can't tell")), pinch="can't tell")
    assert planned(walk).kind == "refer"
    said = {}
    while (step := current(walk)).kind == "ask":
        said[step.id] = step.why
        walk = answer(walk, **{step.id.replace("-", "_"): "can't tell" if step.id == "soap" else "fine"})
    assert "could not be told" in said.pop("soap")
    assert said
    assert all("a look can miss" in why for why in said.values())


def test_a_look_that_a_turn_has_made_too_old_says_so() -> None:
    walk = answer(turned(on_the_needle(), "better"), jet="fine")
    step = current(warm(walk, 40), 40)
    assert (step.kind, step.id) == ("ask", "pinch")
    assert step.why.startswith("A screw was turned since")
    assert step.why_first


@pytest.mark.parametrize(
    ("check", "said"),
    [
        ("soap", "1 of the suspects, in 2 minutes. That it is this one:"),
        ("hold", "2 of the suspects, in 2 minutes. That it is one of these:"),
    ],
)
def test_one_suspect_is_this_one_and_two_are_one_of_these(check: str, said: str) -> None:
    assert said in explain.why(start(), check).sentence


def test_half_a_minute_is_told_in_words() -> None:
    quick = {**CHECKS, "soap": {**CHECKS["soap"], "minutes": 0.5}}
    assert explain.why(start(knowledge(checks=quick)), "soap").sentence.startswith(
        "It can show 1 of the suspects, in half a minute. "
    )


def test_a_guard_that_shows_none_of_the_suspects_names_no_share() -> None:
    assert explain.why(start(), "failsafe").sentence == "It can show none of the suspects, and takes 1 minute."
