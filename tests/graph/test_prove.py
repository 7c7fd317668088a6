from __future__ import annotations

import pytest
from graph.small import (
    AT_THE_THROTTLE,
    DEAD,
    HERE,
    NEXT_DOOR,
    NO_AIR,
    OUT,
    SMALL,
    adjust,
    ask,
    broken,
    door,
    edited,
    fault,
    guard,
    look,
    places,
    routed,
    screw,
    small,
    sweep,
)
from msgspec.structs import replace

from diagnose.graph.model import Knowledge, LastQuestion, Lesson, Only, Reply
from diagnose.graph.problem import Place
from diagnose.graph.prove import prove

ENGINE = "on two needles, box start, run in"


def twins() -> Knowledge:
    """Return the small knowledge with a second symptom that the same faults explain with the same weights."""
    known = replace(SMALL, symptoms={**SMALL.symptoms, "hums": SMALL.symptoms[HERE]})
    for name, one in SMALL.faults.items():
        if HERE in one.explains:
            known = edited("faults", name, known, explains=dict.fromkeys((HERE, "hums"), one.explains[HERE]))
    return known


def lesson(symptom: str = HERE, **engine: object) -> Knowledge:
    """Return the small knowledge with a lesson on a torn filter."""
    answers = {"a": Reply("yes", "It is so.", right=True), "b": Reply("no", "It is not.")}
    made = Lesson("torn", "Look.", symptom, {"filter-torn": 0.5}, ("It is torn.",), LastQuestion("Is it?", answers))
    return replace(SMALL, lessons={"torn": made})


def waits_for(check: str) -> Knowledge:
    """Return the small knowledge with a mend that waits for a check."""
    torn = SMALL.faults["filter-torn"]
    return edited("faults", "filter-torn", mend=replace(torn.mend, after=(check,)))


@pytest.mark.parametrize("check", ["filter", "suds", "open-up"])
def test_a_mend_waits_for_no_look_that_runs_or_opens_the_engine_or_shows_its_own_fault(check: str) -> None:
    assert len(broken(waits_for(check), "mend-after")) == 1


def test_a_mend_waits_for_a_look_that_every_engine_with_its_fault_has() -> None:
    known = edited("checks", "hold", waits_for("hold"), only=Only(needles=3))
    assert len(broken(known, "mend-after")) == 1
    assert broken(edited("faults", "filter-torn", known, only=Only(needles=3)), "mend-after") == []


NOWHERE = {"do": ["Mend it."], "minutes": 2}
"""A mend that touches nothing."""

CASES: list[tuple[str, Knowledge, str, Knowledge]] = [
    (
        "first-look-before-adjustment",
        routed({"outside": NO_AIR}),
        "symptoms.yaml:13 'leaner' can be reached with no look for 'filter-torn': outside (symptoms.yaml:11) → "
        f"pinch (12) → leaner (13); {ENGINE}",
        routed({"outside": NO_AIR, "leaner": sweep("air", to="again")}),
    ),
    (
        "no-first-look",
        small(checks={"filter": look({"filter-torn": 0.6})}),
        "faults.yaml:401 no first look can show 'filter-torn' on two needles, box start, run in",
        small(checks={"filter": look({"filter-torn": 0.65})}),
    ),
    (
        "strip-down-before-second-hour",
        routed({"leaner": adjust("low needle", "leaner", "again"), "strip": None}),
        "symptoms.yaml:14 'again' can turn the low needle a second hour with no strip-down for 'seal-leaks': outside "
        "(symptoms.yaml:11) → pinch (12) → leaner (13) → again (14); "
        f"{ENGINE}",
        routed({"leaner": adjust("low needle", "leaner", "strip", worse="again")}),
    ),
    (
        "one-hour",
        routed({"leaner": adjust("high needle", "leaner", "strip", hours=1.5)}),
        "symptoms.yaml:13 'leaner' turns the high needle by 1.5 hours; one hour at most is allowed",
        routed({"leaner": adjust("high needle", "leaner", "strip", hours=0.5)}),
    ),
    (
        "guard-before-running",
        small(checks={"barrel": None, "rest": look({"held-open": 0.9})}),
        "symptoms.yaml:11 no check is the barrel guard, and the check 'suds' runs the engine: outside "
        f"(symptoms.yaml:11); {ENGINE}",
        guard(state="plug out"),
    ),
    (
        "guard-in-route",
        routed({"leaner": ask("barrel", fine="strip", bad="strip")}),
        "symptoms.yaml:13 'leaner' asks the guard 'barrel'; guards come by themselves",
        routed({"leaner": ask("hold", fine="strip", bad="strip")}),
    ),
    (
        "guards-again",
        small(faults={"held-open": fault("linkage", mend=NOWHERE, **{"first look": "always"})}),
        "faults.yaml:701 the mend of 'held-open' is of the area 'linkage'; it must touch what the guards look at: "
        "'linkage'",
        small(faults={"held-open": fault("linkage", mend=AT_THE_THROTTLE, **{"first look": "always"})}),
    ),
    (
        "unreachable",
        routed({"lonely": OUT}),
        "symptoms.yaml:18 no way leads to 'lonely' on any engine that it is for",
        routed({"pinch": ask("pinch", fine="back", bad="leaner", cant_tell="lonely"), "lonely": OUT}),
    ),
    (
        "no-end",
        routed({"out": sweep("tank", to="back")}),
        "symptoms.yaml:16 from 'back' the walk can come to no end",
        routed({"out": sweep("tank", to="leaner")}),
    ),
    (
        "branch-missing",
        routed({"pinch": ask("pinch", bad="leaner")}),
        "symptoms.yaml:12 'pinch' asks 'pinch' and has no branch for 'fine'",
        routed({"pinch": ask("pinch", fine="out", bad="leaner")}),
    ),
    (
        "node-else",
        routed({"out": {**OUT, "only": {"needles": 3}}}),
        "symptoms.yaml:17 'out': 'only:' and 'else:' go together; 'else:' says where the other engines go",
        routed({"out": {**OUT, "only": {"needles": 3}, "else": "two"}, "two": OUT}),
    ),
    (
        "not-shown",
        small(faults={"high-lean": screw("high needle", "lean")}),
        "faults.yaml:801 nothing on the route shows 'high-lean': no adjustment of its screw that way, and no check",
        routed(
            {"again": adjust("high needle", "richer", "back")},
            small(faults={"high-lean": screw("high needle", "lean")}),
        ),
    ),
    (
        "area-unswept",
        routed({"outside": NO_AIR}),
        f"symptoms.yaml:1 no sweep looks at 'air', where 'filter-torn' can be wrong; {ENGINE}",
        routed({"outside": NO_AIR, "back": ask("filter", fine="out", bad="out")}),
    ),
    (
        "unused",
        small(checks={"gaze": look({})}),
        "checks.yaml:801 'gaze' can show no fault, and no route asks it",
        routed({"leaner": ask("gaze", fine="strip", bad="strip")}, small(checks={"gaze": look({})})),
    ),
    (
        "caution-missing",
        small(checks={"suds": look({"lid-leaks": 0.9}, state="running on the stand")}),
        "checks.yaml:701 'suds' has to do with 'running on the stand' and does not list the caution 'hot-metal'",
        small(checks={"suds": look({"lid-leaks": 0.9})}),
    ),
    (
        "mend-after",
        waits_for("filter"),
        "faults.yaml:401 'filter-torn' is mended after 'filter'; that must be a first look, engine off, on every",
        waits_for("hold"),
    ),
    (
        "low-needle-minds-stop",
        routed({"leaner": adjust("low needle", "leaner", "strip", follow={})}),
        "symptoms.yaml:13 'leaner' turns the low needle leaner; the idle stop must follow, out",
        routed({"leaner": adjust("high needle", "leaner", "strip")}),
    ),
    (
        "twin-symptoms",
        twins(),
        "symptoms.yaml:101 'hums' is explained by the same faults as 'hangs', with the same weights",
        edited("faults", "line-off", twins(), explains={HERE: 5, "hums": 4}),
    ),
    (
        "cant-tell-adjusts",
        routed({"pinch": ask("pinch", fine="back", bad="leaner", cant_tell="leaner")}),
        f"symptoms.yaml:12 'pinch' leads who answers 'can't tell' to an adjustment: leaner; {ENGINE}",
        routed({"pinch": ask("pinch", fine="back", bad="leaner", cant_tell="back")}),
    ),
    (
        "cant-tell-normal",
        routed(
            {"pinch": ask("pinch", fine="well", bad="leaner", cant_tell="well"), "well": {**OUT, "nothing wrong": True}}
        ),
        f"symptoms.yaml:12 'pinch' tells who answers 'can't tell' that nothing is wrong: well; {ENGINE}",
        routed(
            {"pinch": ask("pinch", fine="well", bad="leaner", cant_tell="back"), "well": {**OUT, "nothing wrong": True}}
        ),
    ),
    (
        "no-mid",
        routed({"leaner": adjust("mid needle", "leaner", "strip")}),
        f"symptoms.yaml:13 'leaner' turns a mid needle that this engine does not have; {ENGINE}",
        routed({"leaner": adjust("mid needle", "leaner", "strip", only={"needles": 3}, **{"else": "strip"})}),
    ),
    (
        "not-for-engine",
        small(checks={"pinch": look({"low-rich": 0.8}, only={"needles": 3}, bad={"sign": {"low needle": "rich"}})}),
        f"symptoms.yaml:12 'pinch' asks 'pinch', which is not for this engine; {ENGINE}",
        routed(
            {"pinch": {**ask("pinch", fine="back", bad="leaner"), "only": {"needles": 3}, "else": "back"}},
            small(checks={"pinch": look({"low-rich": 0.8}, only={"needles": 3}, bad={"sign": {"low needle": "rich"}})}),
        ),
    ),
    (
        "few-faults",
        small(faults={"filter-torn": None, "plug-tired": None}),
        f"symptoms.yaml:1 only 4 mechanical faults explain 'hangs'; say why with 'few:'; {ENGINE}",
        edited("symptoms", HERE, small(faults={"filter-torn": None, "plug-tired": None}), few="It is small."),
    ),
    (
        "dead-engine-adjusts",
        DEAD,
        f"symptoms.yaml:13 'leaner' adjusts an engine that will not keep running; {ENGINE}",
        routed({"pinch": ask("pinch", fine="back", bad="strip"), "again": OUT, "leaner": None}, DEAD),
    ),
    (
        "lean-needs-signs",
        edited("symptoms", HERE, sign={}),
        "symptoms.yaml:13 'leaner' leans, and the route finds fewer than two signs that the low needle is rich: "
        f"'pinch'; {ENGINE}",
        small(
            checks={"plug": look({"plug-tired": 0.9}, bad={"sign": {"low needle": "rich"}})},
            known=edited("symptoms", HERE, sign={}),
        ),
    ),
    (
        "last-word",
        routed({"out": {**OUT, "stay out": True}}, race="race", sign={}),
        "symptoms.yaml:1 'hangs' says 'race', and its hand-over 'out' keeps the car off the track: outside "
        "(symptoms.yaml:11)",
        routed({"out": {**OUT, "stay out": True}}, sign={}),
    ),
    (
        "built-in-missing",
        small(facts={"head-floor": {"unit": "°C", "provenance": "from memory", "range": (1, 2)}}),
        "facts.yaml:801 'head-floor' needs one value: readings are compared with it",
        small(facts={"drop-gone": {"unit": "s", "provenance": "from memory", "range": (2, 5)}}),
    ),
    (
        "number-in-text",
        edited("preparations", "let-it-cool", do=("Wait.", "Turn it through two whole turns.")),
        "preparations.yaml:301 'two whole turns' is a number of the trade: give it an entry in facts.yaml and quote it "
        "as <its-id>",
        edited("preparations", "let-it-cool", do=("Wait.", "Turn it <tries>, one hand on the car.")),
    ),
    (
        "word-missing",
        small(checks={"hold": look({"line-off": 0.9, "lid-leaks": 0.8}, tools=["long frobnicator"])}),
        "checks.yaml:701 words.yaml has no entry for 'long frobnicator', nor for what it ends in",
        small(
            checks={"hold": look({"line-off": 0.9, "lid-leaks": 0.8}, tools=["long frobnicators"])},
            words={"frobnicator": {"say": "A tool."}},
        ),
    ),
    (
        "lesson-fault",
        lesson("hums"),
        "lessons.yaml:1 'filter-torn' does not explain 'hums'",
        lesson(),
    ),
    (
        "door",
        small(symptoms={"next": {**NEXT_DOOR, "route": {"out": OUT}}}),
        "symptoms.yaml:101 no fault explains 'next', and it is no door, which only asks and leads to other symptoms; "
        f"{ENGINE}",
        door(fine=HERE, bad="out"),
    ),
]


def test_the_small_knowledge_keeps_every_rule() -> None:
    assert prove(SMALL, places(SMALL)) == []


@pytest.mark.parametrize(("rule", "bad", "what", "good"), CASES, ids=[case[0] for case in CASES])
def test_each_rule_finds_what_breaks_it_and_says_where(rule: str, bad: Knowledge, what: str, good: Knowledge) -> None:
    assert any(told.startswith(what) for told in broken(bad, rule)), broken(bad, rule)
    assert broken(good, rule) == []


@pytest.mark.parametrize("lost", [{"facts": {"head-stop": None}}, {"preparations": {"bring-to-heat": None}}])
def test_what_the_program_asks_for_by_itself_must_be_there(lost: dict[str, dict[str, None]]) -> None:
    assert len(broken(small(**lost), "built-in-missing")) == 1


def test_everything_wrong_is_told_at_once_in_file_order() -> None:
    known = routed({"outside": NO_AIR, "lonely": OUT, "leaner": adjust("low needle", "leaner", "again", hours=2)})
    found = prove(known, places(known))
    assert {"first-look-before-adjustment", "one-hour", "unreachable", "area-unswept"} <= {p.rule for p in found}
    assert found == sorted(found)


def test_a_problem_without_a_place_still_has_one() -> None:
    assert {p.place for p in prove(routed({"lonely": OUT}), {})} == {Place("?", 1, 1)}
