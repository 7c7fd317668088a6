"""A fault in several forms: a look clears those that it can show under its conditions, and the belief minds them."""

from __future__ import annotations

from typing import Any

import pytest
from little import FINE, SOUND, answer, check, current, fault, knowledge, raw, shows, start

from diagnose.graph.model import Knowledge
from diagnose.pages.why import check_page
from diagnose.reason.explain import why
from diagnose.reason.scope import Scope
from diagnose.reason.walk import Walk

OFF, KINKED = {"name": "off", "share": 0.6}, {"name": "kinked", "share": 0.4, "when": ["fitted"]}
CONDITIONS = {"fitted": {"name": "fitted", "states": ["parked"]}}


def formed(off: dict[str, Any] = OFF, kinked: dict[str, Any] = KINKED, **more: Any) -> Knowledge:
    """Return the little knowledge in which a line is off or kinked, and a look that takes it off can't see the kink."""
    weight = more.pop("weight", 3)
    line = fault("tank", weight, name="line", forms={"off": off, "kinked": kinked}, **{"first look": "always"})
    line["mend"]["do"] = ["Push it home."]
    written = raw()
    holds = {**written["checks"]["hold"], "under": []}
    along = check("parked", 2, {"fine": FINE, "bad": shows({"line-off": 0.9})}, name="along")
    written["faults"]["line-off"] = line
    written["checks"] |= {"hold": holds, "along": along}
    for kind, entries in more.items():
        written[kind] |= entries
    return knowledge(**{**written, "conditions": CONDITIONS})


def walked(known: Knowledge | None = None, **answers: str) -> Walk:
    return answer(start(known or formed()), **answers)


def test_the_belief_is_that_of_a_fault_for_each_form() -> None:
    apart = raw()
    line = apart["faults"].pop("line-off")
    for name, share, shown in (("line-gone", 0.6, 0.9), ("line-kinked", 0.4, 0.03)):
        apart["faults"][name] = {**line, "explains": {"loads-up": 3 * share}}
        bleeds = apart["checks"]["hold"]["answers"]["bleeds"]
        apart["checks"]["hold"]["answers"] = {"fine": FINE, "bleeds": {**bleeds, "if": {**bleeds["if"], name: shown}}}
    for said in ("fine", "bleeds"):
        belief, forms = walked(hold=said).standing.belief, walked(hold=said).standing.held
        each = walked(knowledge(**apart), hold=said).standing.belief
        assert forms["line-off.off"] == pytest.approx(each["line-gone"])
        assert forms["line-off.kinked"] == pytest.approx(each["line-kinked"])
        assert belief["line-off"] == pytest.approx(each["line-gone"] + each["line-kinked"])
        assert belief["lid-leaks"] == pytest.approx(each["lid-leaks"])
        assert sum(belief.values()) == pytest.approx(1)


def test_a_fault_is_looked_for_only_once_each_of_its_forms_was() -> None:
    once = walked(hold="fine")
    assert "line-off" in once.standing.first_owed
    assert once.standing.first_open & {"line-off", "line-off.off", "line-off.kinked"} == {"line-off.kinked"}
    assert "line-off" not in answer(once, along="fine").standing.first_owed


def test_the_gate_and_the_next_look_name_the_form_that_is_left() -> None:
    walk = walked(**{name: said for name, said in SOUND.items() if name != "bubbles"}, bubbles="fine")
    step = current(walk)
    assert (step.id, step.why) == ("along", "It can show: line (kinked); the last one owed here.")
    [lock] = [lock for lock in walk.view(0).locks if lock.rule == 1]
    assert lock.because == "not looked for yet: line (kinked)"


@pytest.mark.parametrize(
    "kinked",
    [
        {"name": "kinked", "share": 0.09, "when": ["fitted"]},
        {"name": "kinked", "share": 0.4, "when": ["fitted"], "because": "Nobody sees it."},
    ],
)
def test_a_form_that_is_rare_or_that_no_look_shows_holds_nothing_back(kinked: dict[str, Any]) -> None:
    known = formed({"name": "off", "share": 1 - kinked["share"]}, kinked)
    assert "line-off" in walked(known).standing.first_owed
    assert "line-off" not in walked(known, hold="fine").standing.first_owed


def test_a_form_with_hardly_any_belief_holds_nothing_back_and_holds_again_once_it_has_more() -> None:
    known = formed({"name": "off", "share": 0.9}, {"name": "kinked", "share": 0.1, "when": ["fitted"]}, weight=1.5)
    once = walked(known, hold="fine")
    assert once.standing.held["line-off.kinked"] < 0.01
    assert "line-off" not in once.standing.first_owed
    later = answer(once, pinch="short climb", bubbles="fine", new_plug="same", jet="fine")
    assert later.standing.held["line-off.kinked"] > 0.01
    assert "line-off" in later.standing.first_owed


def test_a_fault_that_explains_nothing_here_is_looked_for_by_a_look_that_shows_half_of_it() -> None:
    known = formed(weight=0)
    assert "line-off" in walked(known).standing.first_owed
    assert "line-off" not in walked(known, hold="fine").standing.first_owed
    rare = formed({"name": "off", "share": 0.4}, {"name": "kinked", "share": 0.6, "when": ["fitted"]}, weight=0)
    assert "line-off" in walked(rare, hold="fine").standing.first_owed
    assert "line-off" not in walked(rare, along="fine").standing.first_owed


def test_a_form_that_cannot_show_where_the_symptom_does_explains_nothing_of_it() -> None:
    symptom = {**raw()["symptoms"]["loads-up"], "under": []}
    here = formed(symptoms={"loads-up": symptom})
    assert "line-off.kinked" not in walked(here).standing.held
    assert walked(here).standing.belief["line-off"] == pytest.approx(walked().standing.belief["line-off"])
    assert "line-off" not in walked(here, hold="fine").standing.first_owed


def test_the_form_is_said_once_an_answer_has_made_it_known() -> None:
    def named(walk: Walk) -> str:
        return next(one.name for one in walk.view(0).suspects if one.fault == "line-off")

    assert named(walked(barrel="fine")) == "line"
    assert named(walked(hold="fine")) == "line (kinked)"
    assert named(walked(along="bad")) == "line"
    assert named(walked(hold="bleeds")) == "line (off)"
    mostly = formed({"name": "off", "share": 0.85}, {"name": "kinked", "share": 0.15, "when": ["fitted"]})
    assert named(walked(mostly, barrel="fine")) == "line"


def test_a_mend_is_of_the_fault_and_says_the_form() -> None:
    walk = walked(barrel="fine", failsafe="fine", hold="fine", along="bad")
    while (step := current(walk)).kind == "ask":
        sound = walk.scope.checks[step.id].healthy if step.id != "along" else "bad"
        walk = walk.plus(walk.choose(step, sound, 0.0))
    assert (step.kind, step.id, step.ask) == ("mend", "line-off", "Put this right: line (kinked).")
    assert walk.standing.accused.keys() == {"line-off"}


def test_a_healthy_look_that_cannot_see_the_form_outvotes_nothing() -> None:
    other = check("parked", 2, {"fine": FINE, "bad": shows({"line-off": 0.9})}, name="other")
    accused = walked(formed(weight=0.3, checks={"other": other}), along="bad")
    assert accused.standing.chances["line-off"] < 0.5
    assert "line-off" in answer(accused, hold="fine").standing.accused
    assert "line-off" not in answer(accused, other="fine").standing.accused


def test_what_a_swap_has_cured_is_looked_for_in_every_form() -> None:
    written = raw()["checks"]["new-plug"]
    plug = fault("ignition", 3, forms={"off": OFF, "kinked": KINKED}, mend={"do": ["Fit it."]})
    known = formed(faults={"plug-tired": plug}, checks={"new-plug": {**written, "under": []}})
    assert "plug-tired.kinked" in walked(known).standing.first_open
    assert "plug-tired" not in walked(known, new_plug="cured").standing.first_owed


def test_why_says_which_forms_a_look_says_nothing_about() -> None:
    told = why(start(formed()), "hold")
    assert told.blind == ("line (kinked)",)
    page = check_page(start(formed()), "hold")
    assert any("It says nothing about these forms:" in repr(part) and "line (kinked)" in repr(part) for part in page)
    assert why(start(formed()), "along").blind == ()
    assert [name for name, _, _ in why(start(formed()), "soap").suspects] == ["a fault"]


def test_a_look_twice_as_good_at_one_form_tells_the_fault_apart_as_its_forms_stand() -> None:
    walk = walked(hold="fine")
    likelihood = walk.scope.answer("hold", "bleeds")
    kinked = walk.standing.forms.of("line-off")["line-off.kinked"]
    now = walk.standing.forms.now(likelihood, ["line-off"]).of("line-off")
    assert now == pytest.approx(kinked * 0.03 + (1 - kinked) * 0.9)
    assert likelihood.of("line-off") == pytest.approx(0.4 * 0.03 + 0.6 * 0.9)


def test_masses_are_split_among_forms_and_summed_again() -> None:
    scope = Scope(formed(), start().variant)
    split = scope.split({"line-off": 0.5, "froth": 0.5}, "loads-up")
    assert split == pytest.approx({"line-off.off": 0.3, "line-off.kinked": 0.2, "froth": 0.5})
    assert scope.summed(split) == pytest.approx({"line-off": 0.5, "froth": 0.5})


def test_a_second_sign_of_a_form_is_a_look_that_can_show_it() -> None:
    wire = check("parked", 0.5, {"fine": FINE, "bad": shows({"line-off": 0.9})}, name="wire")
    said = {"barrel": "fine", "failsafe": "fine", "hold": "fine", "along": "bad"}
    seeing = walked(formed(weight=0.8, checks={"wire": wire}), **said)
    step = current(seeing)
    assert (step.id, step.why) == ("wire", "One more sign before that is mended: line (kinked).")
    blind = walked(formed(weight=0.8, checks={"wire": {**wire, "under": []}}), **said)
    assert "One more sign" not in current(blind).why
