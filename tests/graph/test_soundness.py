from __future__ import annotations

import pytest
from graph.small import (
    DEAD,
    HERE,
    NEXT_DOOR,
    OUT,
    adjust,
    ask,
    broken,
    edited,
    fault,
    look,
    routed,
    screw,
    small,
    sweep,
)

from diagnose.graph.model import Knowledge, Owed


def test_symptoms_that_lead_only_to_one_another_have_no_end() -> None:
    first = {**NEXT_DOOR, "route": {"which": ask("hold", fine="second", bad="second")}}
    second = {**NEXT_DOOR, "route": {"which": ask("hold", fine="first", bad="first")}}
    told = broken(small(symptoms={"first": first, "second": second}), "no-end")
    assert told[0] == "symptoms.yaml:101 'first' leads only in a circle: 'first', 'second'"
    assert len(told) == 2


def test_a_circle_without_an_end_is_told_node_by_node_and_no_more() -> None:
    known = routed({"outside": sweep("tank", to="pinch"), "pinch": sweep("air", to="outside")})
    assert len(broken(known, "no-end")) == 2
    front = {**NEXT_DOOR, "route": {"which": ask("hold", fine=HERE, bad=HERE)}}
    assert len(broken(small(symptoms={"front": front}, known=known), "no-end")) == 2


def test_a_node_for_other_engines_leads_only_to_its_else() -> None:
    passed = sweep("air", to="strip", only={"needles": 3}, **{"else": "two"})
    known = routed({"leaner": passed, "two": OUT})
    assert broken(known, "unreachable") == []


def test_every_exit_of_a_preparation_is_a_way() -> None:
    exits = {"too cool": "cold", "too hot": "hot", "won't run": "dead"}
    nodes = {"leaner": {"node": "prepare", "prepare": "bring-to-heat", "then": "strip", **exits}}
    assert broken(routed(nodes | dict.fromkeys(exits.values(), OUT)), "unreachable") == []


def test_a_fault_that_only_a_strip_down_shows_needs_a_strip_sweep_of_its_area() -> None:
    known = routed({"strip": sweep("seals", to="again")})
    assert "no strip sweep looks at 'seals', where 'seal-leaks' can be wrong" in broken(known, "area-unswept")[0]


def test_a_first_look_is_no_part_of_a_strip_sweep() -> None:
    peek = look({"seal-leaks": 0.9}, bad={"sign": {"low needle": "rich"}})
    known = small(checks={"peek": peek}, known=edited("symptoms", HERE, sign={}))
    assert len(broken(known, "lean-needs-signs")) == 2


def test_a_strip_down_that_can_show_nothing_leaves_its_fault_unshown() -> None:
    known = small(checks={"open-up": look({"seal-leaks": 0.3}, kind="strip", state="stripped")})
    assert "no strip-down can show 'seal-leaks'" in broken(known, "not-shown")[0]


def test_on_an_engine_that_will_not_run_any_check_may_show_a_needle() -> None:
    route = {
        "outside": sweep("linkage", "tank", "air", "ignition", to="strip"),
        "strip": sweep("seals", kind="strip", to="out"),
    }
    gone = dict.fromkeys(("pinch", "leaner", "again", "back"))
    assert broken(routed({**route, **gone}, DEAD), "not-shown") == []
    assert len(broken(routed({**route, **gone}), "not-shown")) == 1


def test_a_screw_is_shown_by_a_check_that_a_sweep_makes_anyway() -> None:
    known = small(faults={"stop-shut": screw("idle stop", "shut")})
    assert len(broken(known, "not-shown")) == 1
    both = look({"line-off": 0.9, "lid-leaks": 0.8, "stop-shut": 0.8})
    assert broken(small(checks={"hold": both}, known=known), "not-shown") == []


def test_a_needle_off_its_record_is_shown_by_going_back_to_it() -> None:
    known = small(faults={"needle-moved": screw("high needle", "off")})
    assert broken(known, "not-shown") == []
    assert len(broken(routed({"back": None, "again": adjust("low needle", "leaner", "out")}, known), "not-shown")) == 1


def test_the_idle_stop_need_not_go_in_on_an_engine_that_races_already() -> None:
    step = {"leaner": adjust("low needle", "richer", "strip", follow={})}
    assert len(broken(routed(step), "low-needle-minds-stop")) == 1
    assert broken(routed(step, runs_away=True), "low-needle-minds-stop") == []
    wrong = {"leaner": adjust("low needle", "leaner", "strip", follow={"idle stop": {"way": "in", "hours": 1}})}
    assert len(broken(routed(wrong, runs_away=True), "low-needle-minds-stop")) == 1


def test_a_symptom_that_is_a_sign_of_lean_never_leads_to_leaner() -> None:
    known = edited("symptoms", HERE, sign={"low needle": "lean"})
    assert "the symptom itself is a sign of lean" in broken(known, "lean-needs-signs")[0]


def test_an_ask_about_the_mid_needle_is_for_three_needles() -> None:
    known = small(checks={"pinch": look({"low-rich": 0.8}, bad={"sign": {"mid needle": "rich", "low needle": "rich"}})})
    assert "'pinch', which speaks of a mid needle" in broken(known, "no-mid")[0]


@pytest.mark.parametrize(
    ("known", "what"),
    [
        (small(faults={"ghost": fault("air", explains={})}), "'ghost' explains no symptom, and no guard shows it"),
        (small(preparations={"oil": {"name": "oil", "do": ["Oil."], "minutes": 1, "state": "parked"}}), "'oil'"),
        (small(cautions={"bees": {"name": "bees", "say": "Bees.", "owed": {"states": ["plug out"]}}}), "'bees'"),
        (small(drawings={"tank": {"picture": "o", "words": "The tank."}}), "'tank'"),
        (small(facts={"odd": {"unit": "mm", "provenance": "from memory", "value": 1}}), "'odd'"),
    ],
)
def test_nothing_stands_there_that_nothing_uses(known: Knowledge, what: str) -> None:
    assert len(broken(known, "unused")) == 1
    assert what in broken(known, "unused")[0]


def test_a_preparation_that_stands_on_its_own_is_used() -> None:
    oil = {"name": "oil", "do": ["Oil."], "minutes": 1, "state": "parked"}
    assert broken(small(preparations={"oil": {**oil, "on its own": True}}), "unused") == []


def test_a_drawing_may_show_where_to_mend_or_where_the_screws_sit() -> None:
    known = small(drawings={"tank": {"picture": "o", "words": "The tank."}})
    mend = {"do": ["Mend."], "minutes": 1, "where": "tank"}
    assert broken(small(faults={"line-off": fault("tank", mend=mend)}, known=known), "unused") == []
    general = {"name": "any", "only": {}, "turns": {}, "say": "Start.", "where": "tank"}
    assert broken(small(engines={"any": general}, known=known), "unused") == []


def test_a_caution_that_only_a_symptom_lists_is_used() -> None:
    known = small(cautions={"bees": {"name": "bees", "say": "Bees."}})
    assert broken(edited("symptoms", HERE, known, cautions=("bees",)), "unused") == []


@pytest.mark.parametrize("what", ["tools", "parts"])
def test_a_mend_lists_the_caution_of_its_tools_and_of_its_parts(what: str) -> None:
    mend = {"do": ["Mend."], "minutes": 1, what: ["fuel"]}
    assert len(broken(small(faults={"line-off": fault("tank", mend=mend)}), "caution-missing")) == 1
    safe = small(faults={"line-off": fault("tank", mend={**mend, "cautions": ["poison"]})})
    assert broken(safe, "caution-missing") == []


@pytest.mark.parametrize("kind", ["checks", "preparations", "symptoms", "faults"])
def test_whatever_is_done_in_a_dangerous_state_lists_its_caution(kind: str) -> None:
    known = edited("cautions", "fire", owed=Owed(states=("warm",)))
    known = small(
        faults={"line-off": fault("tank", mend={"do": ["Mend."], "minutes": 1, "state": "warm"})}, known=known
    )
    assert any(told.startswith(kind) for told in broken(known, "caution-missing"))
