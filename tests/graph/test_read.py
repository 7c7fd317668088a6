from __future__ import annotations

import subprocess
import sys

import pytest
from graph.knowledge_files import FILES, changed

from diagnose.graph.model import Adjust, Ask, KnowledgeError, Sweep
from diagnose.graph.problem import KnowledgeError, Place, Problem
from diagnose.graph.read import read, read_case


def told(files, *overlays) -> list[str]:
    with pytest.raises(KnowledgeError) as caught:
        read(files, overlays)
    return [str(problem) for problem in caught.value.problems]


def test_sound_knowledge_is_read_whole():
    knowledge, places, cases = read(FILES)
    route = knowledge.symptoms["revs-hang"].route
    assert list(route) == ["outside", "pinch", "richer", "strip", "hand over"]
    assert isinstance(route["outside"], Sweep)
    assert isinstance(route["pinch"], Ask)
    assert route["pinch"].branches == {"dies at once": "richer", "short climb": "strip"}
    assert isinstance(route["richer"], Adjust)
    assert route["richer"].follow["idle stop"].hours == 0.5
    assert knowledge.checks["tank-holds-pressure"].chance("bleeds", "pressure-line-off") == pytest.approx(0.9)
    assert list(cases) == ["pressure-line"]
    assert places["symptoms", "revs-hang", "route", "richer"] == Place("symptoms/idle.yaml", 21, 5)
    path = ("checks", "tank-holds-pressure", "answers", "bleeds", "if", "pressure-line-off")
    assert places[path] == Place("checks/fuel.yaml", 20, 12)


def test_a_fact_stands_for_a_number_and_a_bare_number_is_noted():
    knowledge = read(FILES).knowledge
    assert knowledge.checks["pinch-at-idle"].minutes == 0.5
    assert knowledge.engines["three-needles"].turns == {"low needle": 2.5}
    assert knowledge.bench["warm"].into == 4
    assert "checks/fuel.yaml:9:3" in knowledge.bare
    assert not any(place.startswith("checks/guards.yaml") for place in knowledge.bare)


def test_every_temperature_is_kept_in_celsius():
    floor = read(FILES).knowledge.facts["head-floor"]
    assert (floor.unit, floor.value) == ("°C", pytest.approx(82.22, abs=0.01))


def test_one_starter_and_a_list_of_starters_are_both_read():
    one = changed("faults/mechanical.yaml", "  area: radio\n", "  area: radio\n  only: {starter: pull}\n")
    two = changed("faults/mechanical.yaml", "  area: radio\n", "  area: radio\n  only: {starter: [pull, box]}\n")
    assert read(one).knowledge.faults["fail-safe-off"].only.starter == ("pull",)
    assert read(two).knowledge.faults["fail-safe-off"].only.starter == ("pull", "box")


def test_a_node_may_be_for_some_engines_only():
    files = changed(
        "symptoms/idle.yaml", "      ask: pinch-at-idle\n", "      ask: pinch-at-idle\n      only: {starter: pull}\n      else: strip\n"
    )
    node = read(files).knowledge.symptoms["revs-hang"].route["pinch"]
    assert (node.only.starter, node.otherwise) == (("pull",), "strip")


def test_an_answer_that_is_no_answer_may_have_a_branch():
    files = changed("symptoms/idle.yaml", "      dies at once: richer\n", "      dies at once: richer\n      can't tell: hand over\n")
    node = read(files).knowledge.symptoms["revs-hang"].route["pinch"]
    assert node.branches["can't tell"] == "hand over"


def test_a_branch_may_lead_to_another_symptom():
    other = FILES["symptoms/idle.yaml"].replace("revs-hang:", "bogs:").replace("format: 1", "")
    files = changed("symptoms/idle.yaml", "short climb: strip", "short climb: bogs")
    files["symptoms/idle.yaml"] += other
    assert read(files).knowledge.symptoms["revs-hang"].route["pinch"].branches["short climb"] == "bogs"


def test_problems_of_all_files_are_told_at_once_in_order():
    files = {
        **FILES,
        "words.yaml": "format: 1\nlean: {sai: x}\n",
        "facts.yaml": FILES["facts.yaml"].replace("from memory}", "from memry}", 1),
        "drawings.yaml": "format: 1\na: 'open",
        "checks/fuel.yaml": FILES["checks/fuel.yaml"].replace("pressure-line-off: 0.9", "pressure-line-of: 0.9"),
    }
    assert told(files) == [
        "checks/fuel.yaml:20:12: unknown fault 'pressure-line-of'; did you mean 'pressure-line-off' (unknown-fault)",
        "drawings.yaml:2:9: a quote is opened and never closed (syntax)",
        "facts.yaml:4:42: 'provenance' can't be 'from memry', only published, common practice, no source or from memory; "
        "did you mean 'from memory' (unknown-value)",
        "words.yaml:2:1: 'lean' has no 'say' (missing-field)",
        "words.yaml:2:8: unknown field 'sai' in 'lean'; did you mean 'say' (unknown-field)",
    ]


SHAPES = [
    ("checks/fuel.yaml", "  minutes: 2\n", "", "checks/fuel.yaml:2:1: 'tank-holds-pressure' has no 'minutes' (missing-field)"),
    ("checks/fuel.yaml", "state: parked", "state: parkd",
     "checks/fuel.yaml:10:3: 'state' can't be 'parkd', only cooling, on the track, parked, plug out, running on the stand, "
     "stripped or warm; did you mean 'parked' (unknown-value)"),
    ("checks/fuel.yaml", "tools: [syringe, line clamp]", "tools: syringe",
     "checks/fuel.yaml:14:3: 'tools' must be a list; write [syringe] (wrong-type)"),
    ("faults/mechanical.yaml", "touches: [seals]", "touches: seals",
     "faults/mechanical.yaml:47:5: 'touches' must be a list; write [seals] (wrong-type)"),
    ("checks/fuel.yaml", "say: bleeds away", "say: 7",
     "checks/fuel.yaml:19:7: 'say' must be text; put quotes around it (wrong-type)"),
    ("checks/fuel.yaml", "say: bleeds away", "say: ''", "checks/fuel.yaml:19:7: 'say' is empty (empty-value)"),
    ("checks/fuel.yaml", "say: bleeds away", "say:", "checks/fuel.yaml:19:11: empty value: nothing stands after 'say' (empty-value)"),
    ("checks/fuel.yaml", "say: bleeds away", "say: " + "x" * 10_000,
     "checks/fuel.yaml:19:7: 'say' has 10000 characters; at most 1200 are read well (too-long)"),
    ("checks/fuel.yaml", "say: bleeds away", 'say: "\\e[2J"',
     "checks/fuel.yaml:19:12: a control character (U+001B); take it out (hostile-text)"),
    ("checks/fuel.yaml", "say: bleeds away", "say: {a: b}", "checks/fuel.yaml:19:7: 'say' must be text (wrong-type)"),
    ("checks/fuel.yaml", "    bleeds:", "    Bleeds!:",
     "checks/fuel.yaml:18:5: 'Bleeds!' is not a name: use lower-case words joined by hyphens or spaces (bad-name)"),
    ("checks/fuel.yaml", "pressure-line-off: 0.9", "pressure-line-off: 1.9",
     "checks/fuel.yaml:20:12: 'pressure-line-off' is 1.9; it must be from 0 to 1 (out-of-range)"),
    ("faults/mechanical.yaml", "{revs-hang: 2}", "{revs-hang: 0}",
     "faults/mechanical.yaml:41:14: 'revs-hang' is 0; it must be above 0 to 10 (out-of-range)"),
    ("checks/fuel.yaml", "low needle: lean", "lo needle: lean",
     "checks/fuel.yaml:39:14: 'lo needle' can't stand here, only low needle, mid needle, high needle or idle stop; "
     "did you mean 'low needle' (bad-name)"),
    ("checks/fuel.yaml", "minutes: 2\n", "minutes: [2]\n",
     "checks/fuel.yaml:9:3: 'minutes' must be a number or the id of a fact (wrong-type)"),
    ("checks/guards.yaml", "tank-holds", "tank-holds", None),
    ("symptoms/idle.yaml", "runs away: true", "runs away: yes",
     "symptoms/idle.yaml:6:3: 'runs away' must be true or false (wrong-type)"),
    ("symptoms/idle.yaml", "hand over: {refer: Take the engine to somebody with a pressure tester.}",
     "hand over: {send: them away}",
     "symptoms/idle.yaml:24:5: 'hand over' has no kind; give it one of the five kinds: sweep, ask, adjust, prepare or refer "
     "(node-kind)"),
    ("symptoms/idle.yaml", "strip: {sweep: [seals], ", "strip: {refer: x, sweep: [seals], ",
     "symptoms/idle.yaml:23:5: 'strip' is sweep and refer at once; give it one of the five kinds: sweep, ask, adjust, "
     "prepare or refer (node-kind)"),
    ("symptoms/idle.yaml", "look: strip, then: hand over", "looks: strip, then: hand over",
     "symptoms/idle.yaml:23:29: unknown field 'looks' in 'strip'; did you mean 'look' (unknown-field)"),
    ("symptoms/idle.yaml", "sweep: [seals]", "sweep: seals",
     "symptoms/idle.yaml:23:13: 'sweep' must be a list; write [seals] (wrong-type)"),
    ("symptoms/idle.yaml", "better: strip, ", "", "symptoms/idle.yaml:21:5: 'richer' has no 'better' (missing-field)"),
    ("symptoms/idle.yaml", "strip: {sweep", "strip: {only: {starter: pul}, else: hand over, sweep",
     "symptoms/idle.yaml:23:20: 'starter' can't be 'pul', only box, pull or electric; did you mean 'pull' (unknown-value)"),
    ("facts.yaml", "range: [10, 15]", "range: [10, x]", "facts.yaml:2:28: 'range' item 2 must be a number (wrong-type)"),
    ("bench.yaml", "stripped:", "striped:", None),
    ("cases/pressure-line.yaml", "verdict: cured", "verdict: curd",
     "cases/pressure-line.yaml:8:10: 'verdict' can't be 'curd', only cured, handed over or stopped; did you mean 'cured' "
     "(unknown-value)"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "line"), [row for row in SHAPES if row[3]])
def test_what_does_not_fit_is_told_in_one_plain_line(file, old, new, line):
    assert told(changed(file, old, new)) == [line]


LINKS = [
    ("faults/screws.yaml", "revs-hang: 4", "revs-hung: 4", "unknown symptom 'revs-hung'; did you mean 'revs-hang' (unknown-symptom)"),
    ("symptoms/idle.yaml", "ask: pinch-at-idle", "ask: pinch-at-idel", "unknown check 'pinch-at-idel'; did you mean 'pinch-at-idle' (unknown-check)"),
    ("symptoms/idle.yaml", "dies at once: richer", "dies at one: richer", "'pinch-at-idle' has no answer 'dies at one'; did you mean 'dies at once' (unknown-answer)"),
    ("symptoms/idle.yaml", "then: pinch", "then: pich", "the route has no node 'pich'; did you mean 'pinch' (unknown-node)"),
    ("symptoms/idle.yaml", "then: hand over", "then: revs-hang", "the route has no node 'revs-hang' (unknown-node)"),
    ("symptoms/idle.yaml", "sweep: [seals]", "sweep: [seels]", "unknown area 'seels'; did you mean 'seals' (unknown-area)"),
    ("faults/mechanical.yaml", "touches: [radio]", "touches: [radios]", "unknown area 'radios'; did you mean 'radio' (unknown-area)"),
    ("symptoms/idle.yaml", "hand over: {refer: Take the engine to somebody with a pressure tester.}", "hand over: {prepare: bring-to-heta, then: strip}", "unknown preparation 'bring-to-heta'; did you mean 'bring-to-heat' (unknown-preparation)"),
    ("preparations.yaml", "<head-floor>", "<head-flor>", "unknown fact 'head-flor'; did you mean 'head-floor' (unknown-fact)"),
    ("preparations.yaml", "cautions: [hot-metal]", "cautions: [hot-mettle]", "unknown caution 'hot-mettle'; did you mean 'hot-metal' (unknown-caution)"),
    ("checks/fuel.yaml", "where: tank", "where: tnak", "unknown drawing 'tnak'; did you mean 'tank' (unknown-drawing)"),
    ("checks/fuel.yaml", "  minutes: look-minutes\n", "  minutes: lok-minutes\n", "unknown fact 'lok-minutes'; did you mean 'look-minutes' (unknown-fact)"),
    ("checks/fuel.yaml", "  minutes: look-minutes\n", "  minutes: low-turns\n", "'low-turns' is in 'turns', not in 'min' (wrong-unit)"),
    ("facts.yaml", "look-minutes: {value: 0.5,", "look-minutes: {range: [0.5, 1],", "'look-minutes' is a range; one number is needed here (single-value)"),
    ("checks/fuel.yaml", "  minutes: 2\n", "  minutes: 0\n", "a job takes some minutes: more than none (minutes)"),
    ("facts.yaml", "{value: 180, ", "{", "'head-floor' needs a 'value:' or a 'range:', and not both (fact-value)"),
    ("facts.yaml", "{value: 180, ", "{value: 180, range: [1, 2], ", "'head-floor' needs a 'value:' or a 'range:', and not both (fact-value)"),
    ("facts.yaml", "[10, 15]", "[15, 10]", "a range goes from the smaller number to the larger (fact-value)"),
    ("facts.yaml", ", source: a general handbook", "", "'low-turns' is published; say where with 'source:' (fact-source)"),
    ("checks/fuel.yaml", "ten seconds, healthy: true", "ten seconds, else: 0.1", "exactly one answer is healthy: true; here none (one-healthy)"),
    ("checks/fuel.yaml", "say: bleeds away", "say: bleeds away\n      healthy: true", "exactly one answer is healthy: true; here 'holds', 'bleeds' (one-healthy)"),
    ("history.yaml", "say: nothing, healthy: true", "say: nothing, else: 0.2", "exactly one answer is healthy: true; here none (one-healthy)"),
    ("checks/fuel.yaml", "ten seconds, healthy: true", "ten seconds, healthy: true, else: 0.9", "'holds' is healthy: it takes what the others leave, so it has no 'if:' and no 'else:' (healthy-takes-the-rest)"),
    ("checks/fuel.yaml", "      else: 0.03\n", "", "'bleeds' needs 'else:', its probability with any other fault (no-else)"),
    ("checks/fuel.yaml", "    bleeds:\n", "    drips: {say: it drips, if: {pressure-line-off: 0.2}, else: 0.1}\n    bleeds:\n", "with 'pressure-line-off' the unhealthy answers have 1.1 together ('else' counted); at most 1 (probability-sum)"),
    ("checks/fuel.yaml", "      else: 0.05\n", "      else: 0.6\n    it climbs: {say: it climbs, else: 0.5}\n", "'else' comes to 1.1 together; at most 1 (probability-sum)"),
    ("checks/seals.yaml", "  opens: the carburettor\n", "", "a strip-down says what it 'opens:' (opens)"),
    ("checks/fuel.yaml", "  good for: tank\n", "  good for: tank\n  opens: the tank\n", "a first look opens nothing (opens)"),
    ("faults/mechanical.yaml", "  because: Only a pressure test of the open engine shows it.\n", "", "'front-seal-leaks' has no first look; say why with 'because:' (first-look-because)"),
    ("faults/screws.yaml", "  setting: lean\n", "", "'low-needle-lean' is a screw's: it needs 'screw:' and 'setting:' (screw-setting)"),
    ("faults/screws.yaml", "kind: screw", "kind: mechanical", "'low-needle-lean' is mechanical: it has no 'screw:' and no 'setting:' (screw-setting)"),
    ("faults/screws.yaml", "setting: lean", "setting: shut", "the low needle can't be 'shut', only rich or lean or off (screw-setting)"),
    ("symptoms/idle.yaml", "hours: 1,", "hours: 1.5,", "1.5 hours; an adjustment turns a screw by at most one hour (one-hour)"),
    ("symptoms/idle.yaml", "hours: 1,", "hours: 0,", "0 hours; an adjustment turns a screw by at most one hour (one-hour)"),
    ("symptoms/idle.yaml", "hours: 0.5", "hours: 2", "2 hours; an adjustment turns a screw by at most one hour (one-hour)"),
    ("symptoms/idle.yaml", "way: richer", "way: out", "the low needle goes leaner or richer, not out (way)"),
    ("symptoms/idle.yaml", "way: in", "way: leaner", "the idle stop goes in or out, not leaner (way)"),
    ("symptoms/idle.yaml", "adjust: low needle", "adjust: high needle", "two screws in one step; only the idle stop follows, and only the low needle (follow)"),
    ("symptoms/idle.yaml", "then: hand over", "else: hand over, then: hand over", "'strip': 'only:' and 'else:' go together (node-else)"),
    ("symptoms/idle.yaml", "strip: {sweep", "strip: {only: {needles: 2}, sweep", "'strip': 'only:' and 'else:' go together (node-else)"),
    ("checks/guards.yaml", "  guard: barrel\n", "  guard: barrel\n  only: {needles: 2}\n", "'barrel-at-rest' is a guard: a first look, made with the engine off, on every engine (guard)"),
    ("checks/guards.yaml", "  guard: fail-safe\n", "  guard: barrel\n", "'barrel-at-rest' is the barrel guard already (guard)"),
    ("drawings.yaml", "    =|____|==", "    " + "=" * 30 + "|____|==", "the picture is 55 columns wide; at most 40 fit (picture-width)"),
    ("bench.yaml", "stripped: {into: 15, out: 20, say: stripped}\n", "", "bench.yaml has no entry 'stripped' (unknown-state)"),
    ("cases/pressure-line.yaml", "symptom: revs-hang", "symptom: revs-hag", "unknown symptom 'revs-hag'; did you mean 'revs-hang' (unknown-symptom)"),
    ("cases/pressure-line.yaml", "pressure: bleeds", "pressure: bleds", "'tank-holds-pressure' has no answer 'bleds'; did you mean 'bleeds' (unknown-answer)"),
    ("cases/pressure-line.yaml", "pressure: bleeds", "pressure: [bleeds, 3]", "'tank-holds-pressure' asks for no reading, so 3 answers nothing (reading)"),
    ("cases/pressure-line.yaml", "{changed: nothing}", "{chanced: nothing}", "unknown question 'chanced'; did you mean 'changed' (unknown-question)"),
    ("cases/pressure-line.yaml", "{changed: nothing}", "{changed: nothin}", "'changed' has no answer 'nothin'; did you mean 'nothing' (unknown-answer)"),
    ("cases/pressure-line.yaml", "faults: [pressure-line-off]", "faults: [pressure-line-on, {low-needle-len: 1}]", "unknown fault 'pressure-line-on'; did you mean 'pressure-line-off' (unknown-fault)"),
    ("cases/pressure-line.yaml", "mended: [pressure-line-off]", "mended: [seal-leaks]", "unknown fault 'seal-leaks'; did you mean 'front-seal-leaks' (unknown-fault)"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "what"), LINKS)
def test_what_does_not_fit_together_is_told_where_it_stands(file, old, new, what):
    lines = told(changed(file, old, new))
    assert any(line.startswith(f"{file}:") and line.endswith(f": {what}") for line in lines) or (
        file == "facts.yaml" and any(line.endswith(what) for line in lines)
    ) or what.startswith("bench.yaml") and any(line.endswith(what) for line in lines), lines
