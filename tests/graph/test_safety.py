from __future__ import annotations

import pytest
from graph.small import (
    HERE,
    NEXT_DOOR,
    NO_AIR,
    OUT,
    adjust,
    ask,
    broken,
    door,
    fault,
    guard,
    look,
    routed,
    small,
    sweep,
)

from diagnose.graph.model import Knowledge

# the first look before an adjustment


def test_the_counterexample_is_the_shortest_way() -> None:
    around = routed({"outside": NO_AIR, "leaner": sweep("seals", kind="strip", to="again"), "strip": None})
    direct = routed({"outside": sweep("linkage", "tank", "ignition", to="leaner")})
    assert ": outside (symptoms.yaml:11) → pinch" in broken(around, "first-look-before-adjustment")[0]
    assert ": outside (symptoms.yaml:11) → leaner" in broken(direct, "first-look-before-adjustment")[0]


def test_a_fault_that_is_always_owed_must_be_looked_for_though_it_does_not_explain_the_symptom() -> None:
    always = fault("fuel", explains={}, **{"first look": "always"})
    known = small(faults={"froth": always}, checks={"bubbles": look({"froth": 0.9})})
    assert "no look for 'froth'" in broken(known, "first-look-before-adjustment")[0]
    swept = routed({"outside": sweep("linkage", "tank", "air", "ignition", "fuel", to="pinch")}, known)
    assert broken(swept, "first-look-before-adjustment") == []


def test_a_sweep_looks_for_nothing_that_no_first_look_can_show_on_that_engine() -> None:
    pull_only = small(checks={"filter": look({"filter-torn": 0.9}, only={"starter": ["pull"]})})
    told = broken(pull_only, "first-look-before-adjustment")
    assert len(told) == 1
    assert "no look for 'filter-torn'" in told[0]
    assert "on two needles, box start, run in" in told[0]


def test_a_strip_sweep_is_no_first_look() -> None:
    known = routed({"outside": sweep("linkage", "tank", "air", "ignition", to="pinch", kind="strip")})
    assert "'filter-torn', 'held-open', 'lid-leaks'" in broken(known, "first-look-before-adjustment")[0]


def test_a_branch_for_cant_tell_is_a_way_too() -> None:
    skips = {**ask("plug", fine="pinch", bad="pinch", cant_tell="leaner")}
    late = {"outside": sweep("linkage", "tank", "ignition", to="first"), "first": skips}
    late["pinch"] = sweep("air", to="leaner")
    assert "first (18) → leaner" in broken(routed(late), "first-look-before-adjustment")[0]
    skips["branches"].pop("can't tell")
    assert broken(routed(late), "first-look-before-adjustment") == []


def test_a_sweep_that_is_passed_over_on_some_engines_looks_for_nothing_there() -> None:
    only = sweep("linkage", "tank", "air", "ignition", to="pinch", only={"run in": False}, **{"else": "pinch"})
    told = broken(routed({"outside": only}), "first-look-before-adjustment")
    assert len(told) == 1
    assert told[0].endswith("on two needles, box start, run in")


@pytest.mark.parametrize(
    "known",
    [
        small(faults={"tight": fault("crank", only={"run in": False})}, checks={"feel": look({"tight": 0.9})}),
        small(faults={"tight": fault("crank", explains={}, only={"run in": False}, **{"first look": "always"})}),
        small(checks={"filter": look({"filter-torn": 0.9}, only={"run in": True})}),
        routed({"outside": sweep("linkage", to="pinch", only={"run in": True}, **{"else": "pinch"})}),
    ],
    ids=["a fault", "a fault that is always owed", "a check", "a node"],
)
def test_what_is_only_for_some_engines_makes_new_engines_a_case_of_their_own(known: Knowledge) -> None:
    told = broken(known, "first-look-before-adjustment")
    assert any(line.endswith("on two needles, box start, new") for line in told)


def test_a_door_is_proven_where_it_leads() -> None:
    assert broken(door(fine=HERE, bad="out"), "first-look-before-adjustment") == []
    leads = routed({"leaner": ask("plug", fine="next", bad="strip")}, door(fine=HERE, bad="out"))
    assert broken(leads, "no-end") == []


# the strip-down before a second hour


def richer_three_times(screw: str) -> Knowledge:
    """Return a route that turns a needle three times, with its strip-down before the second."""
    return routed(
        {
            "leaner": adjust(screw, "richer", "strip"),
            "again": adjust(screw, "richer", "third"),
            "third": adjust(screw, "richer", "back"),
        }
    )


def test_no_needle_goes_past_two_hours() -> None:
    third = routed({"again": adjust("low needle", "leaner", "third"), "third": adjust("low needle", "leaner", "back")})
    assert "'third' can turn the low needle past two hours" in broken(third, "strip-down-before-second-hour")[0]


def test_richening_the_top_is_never_blocked() -> None:
    assert broken(richer_three_times("high needle"), "strip-down-before-second-hour") == []
    assert len(broken(richer_three_times("low needle"), "strip-down-before-second-hour")) == 1


def test_turning_back_is_never_blocked_and_counts_back() -> None:
    back = {
        "leaner": adjust("low needle", "leaner", "again"),
        "again": adjust("low needle", "richer", "third", worse="back"),
    }
    known = routed(
        {**back, "third": adjust("low needle", "leaner", "strip"), "strip": sweep("seals", kind="strip", to="back")}
    )
    assert broken(known, "strip-down-before-second-hour") == []


def test_what_made_it_worse_is_undone_and_not_counted() -> None:
    worse = adjust("low needle", "leaner", "strip", worse="third")
    known = routed({"leaner": worse, "third": adjust("low needle", "leaner", "strip")})
    assert broken(known, "strip-down-before-second-hour") == []
    same = adjust("low needle", "leaner", "strip", same="third")
    known = routed({"leaner": same, "third": adjust("low needle", "leaner", "strip")})
    assert len(broken(known, "strip-down-before-second-hour")) == 1


def test_a_circle_turns_a_needle_too_far() -> None:
    circle = routed({"leaner": adjust("low needle", "leaner", "outside"), "strip": None, "again": None})
    told = broken(circle, "strip-down-before-second-hour")
    assert "→ leaner (13) → outside (11) → pinch" in told[0]


def test_going_back_frees_a_needle_only_with_a_record() -> None:
    again = {"leaner": adjust("low needle", "leaner", "back"), "strip": None}
    again["back"] = {"node": "prepare", "prepare": "going-back", "then": "again"}
    again["again"] = adjust("low needle", "leaner", "out")
    assert len(broken(routed(again), "strip-down-before-second-hour")) == 1
    recorded = {"strip": sweep("seals", kind="strip", to="back"), "leaner": adjust("low needle", "leaner", "strip")}
    assert broken(routed({**again, **recorded}), "strip-down-before-second-hour") == []


def test_after_going_back_the_hours_count_from_the_record() -> None:
    known = routed(
        {
            "leaner": adjust("low needle", "leaner", "restore", worse="out"),
            "restore": {"node": "prepare", "prepare": "going-back", "then": "richer"},
            "richer": adjust("low needle", "richer", "more"),
            "more": adjust("low needle", "richer", "out"),
            **dict.fromkeys(("strip", "again")),
        }
    )
    assert broken(known, "strip-down-before-second-hour")[0].startswith("symptoms.yaml:18 'more'")


def test_turning_a_rich_top_back_is_never_blocked() -> None:
    names = ("outside", "two", "three", "back one", "out")
    ways = ("richer", "richer", "richer", "leaner")
    known = routed({n: adjust("high needle", way, to) for n, way, to in zip(names, ways, names[1:], strict=False)})
    assert broken(known, "strip-down-before-second-hour") == []


def test_an_adjustment_that_is_passed_over_turns_nothing() -> None:
    new_only = adjust("low needle", "leaner", "again", only={"run in": False}, **{"else": "again"})
    old_only = adjust("low needle", "leaner", "back", only={"run in": True}, **{"else": "back"})
    known = routed({"leaner": new_only, "again": old_only, "strip": None})
    assert broken(known, "strip-down-before-second-hour") == []


def test_all_strip_downs_that_are_owed_come_before_the_second_hour() -> None:
    worn = fault("bearings", because="Inside.", **{"first look": "none"})
    known = small(faults={"worn": worn}, checks={"rock": look({"worn": 0.9}, kind="strip", state="stripped")})
    assert "no strip-down for 'worn'" in broken(known, "strip-down-before-second-hour")[0]
    assert (
        broken(
            routed({"strip": sweep("seals", "bearings", kind="strip", to="again")}, known),
            "strip-down-before-second-hour",
        )
        == []
    )


def test_needles_are_counted_one_by_one() -> None:
    known = routed({"leaner": adjust("high needle", "leaner", "again"), "strip": None})
    assert broken(known, "strip-down-before-second-hour") == []


# one hour, and the guards


def test_only_the_idle_stop_follows_and_only_the_low_needle() -> None:
    wrong = [("low needle", "high needle"), ("high needle", "idle stop")]
    for turned, follows in wrong:
        step = adjust(turned, "leaner", "strip", follow={follows: {"way": "out", "hours": 1}})
        assert len(broken(routed({"leaner": step}), "one-hour")) == 1
    step = adjust("low needle", "leaner", "strip", follow={"idle stop": {"way": "out", "hours": 2}})
    assert "turns the idle stop by 2 hours" in broken(routed({"leaner": step}), "one-hour")[0]


@pytest.mark.parametrize(
    ("more", "wrong"),
    [
        ({"state": "running on the stand"}, "a guard is made with the engine off"),
        ({"kind": "strip"}, "a guard is a first look"),
        ({"only": {"needles": 3}}, "a guard is for all"),
        ({"bad": {}}, "grounds nothing"),
        ({"good for": "day"}, "made anew for every outing"),
    ],
)
def test_a_guard_is_made_engine_off_on_every_engine_and_grounds(more: dict[str, object], wrong: str) -> None:
    assert any(wrong in told for told in broken(guard(**more), "guard-before-running"))


def test_there_is_one_guard_of_each_kind() -> None:
    twice = small(
        checks={"other": look({"held-open": 0.9}, guard="barrel", bad={"grounds": "the throttle does not shut"})}
    )
    assert "'other' is a second barrel guard" in broken(twice, "guard-before-running")[0]


def test_a_guard_is_missed_even_where_nothing_runs() -> None:
    assert len(broken(Knowledge(), "guard-before-running")) == 2
    idle = routed({"outside": sweep("nowhere", to="out")}, small(checks={"fail-safe": None}))
    assert broken(idle, "guard-before-running") == ["?:1 no check is the fail-safe guard"]


def test_the_way_to_what_runs_the_engine_unguarded_is_the_shortest_of_all_symptoms() -> None:
    quick = {**NEXT_DOOR, "route": {"run": ask("suds", fine="out", bad="out"), "out": OUT}}
    known = small(symptoms={"quick": quick}, checks={"fail-safe": None})
    slow = routed({"outside": ask("hold", fine="leaner", bad="leaner")}, known)
    assert "the check 'suds' runs the engine: run (symptoms.yaml:111);" in broken(slow, "guard-before-running")[0]


@pytest.mark.parametrize(
    ("nodes", "what"),
    [
        ({"outside": ask("suds", fine="out", bad="out")}, "the check 'suds'"),
        (
            {"outside": {"node": "prepare", "prepare": "bring-to-heat", "then": "out"}},
            "the preparation 'bring-to-heat'",
        ),
        ({"outside": adjust("high needle", "richer", "out")}, "an adjustment"),
        ({"outside": sweep("air", to="out")}, "the re-test after a mend"),
    ],
)
def test_whatever_runs_the_engine_is_found(nodes: dict[str, object], what: str) -> None:
    known = routed(nodes, small(checks={"fail-safe": None}))
    assert f"and {what} runs the engine" in broken(known, "guard-before-running")[0]
