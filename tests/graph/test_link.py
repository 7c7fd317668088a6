from __future__ import annotations

import pytest
from graph.knowledge_files import FILES, changed, told

from diagnose.graph.model import Variant
from diagnose.graph.read import read

LINKS = [
    (
        "faults/screws.yaml",
        "revs-hang: 4",
        "revs-hung: 4",
        "unknown symptom 'revs-hung'; did you mean 'revs-hang' (unknown-name)",
    ),
    (
        "symptoms/idle.yaml",
        "ask: pinch-at-idle",
        "ask: pinch-at-idel",
        "unknown check 'pinch-at-idel'; did you mean 'pinch-at-idle' (unknown-name)",
    ),
    (
        "symptoms/idle.yaml",
        "dies at once: richer",
        "dies at one: richer",
        "'pinch-at-idle' has no answer 'dies at one'; did you mean 'dies at once' (unknown-name)",
    ),
    (
        "symptoms/idle.yaml",
        "dies at once: richer",
        "dies at once: richer\n      rather: {dies at once: [revs-hung]}",
        "unknown symptom 'revs-hung'; did you mean 'revs-hang' (unknown-name)",
    ),
    (
        "symptoms/idle.yaml",
        "dies at once: richer",
        "dies at once: richer\n      rather: {dies at one: [revs-hang]}",
        "'pinch-at-idle' has no answer 'dies at one'; did you mean 'dies at once' (unknown-name)",
    ),
    (
        "symptoms/idle.yaml",
        "then: pinch",
        "then: pich",
        "the route has no node 'pich'; did you mean 'pinch' (unknown-name)",
    ),
    ("symptoms/idle.yaml", "then: hand over", "then: revs-hang", "the route has no node 'revs-hang' (unknown-name)"),
    (
        "symptoms/idle.yaml",
        "sweep: [seals]",
        "sweep: [seels]",
        "unknown area 'seels'; did you mean 'seals' (unknown-name)",
    ),
    (
        "faults/mechanical.yaml",
        "touches: [radio]",
        "touches: [radios]",
        "unknown area 'radios'; did you mean 'radio' (unknown-name)",
    ),
    (
        "symptoms/idle.yaml",
        "hand over: {refer: Take the engine to somebody with a pressure tester.}",
        "hand over: {prepare: bring-to-heta, then: strip}",
        "unknown preparation 'bring-to-heta'; did you mean 'bring-to-heat' (unknown-name)",
    ),
    (
        "preparations.yaml",
        "<head-floor>",
        "<head-flor>",
        "unknown fact 'head-flor'; did you mean 'head-floor' (unknown-name)",
    ),
    (
        "preparations.yaml",
        "cautions: [hot-metal]",
        "cautions: [hot-mettle]",
        "unknown caution 'hot-mettle'; did you mean 'hot-metal' (unknown-name)",
    ),
    (
        "faults/mechanical.yaml",
        "    touches: [tank pressure]\n",
        "    touches: [tank pressure]\n    after: [pinch-at-idel]\n",
        "unknown check 'pinch-at-idel'; did you mean 'pinch-at-idle' (unknown-name)",
    ),
    ("checks/fuel.yaml", "where: tank", "where: tnak", "unknown drawing 'tnak'; did you mean 'tank' (unknown-name)"),
    (
        "checks/fuel.yaml",
        "  minutes: look-minutes\n",
        "  minutes: lok-minutes\n",
        "unknown fact 'lok-minutes'; did you mean 'look-minutes' (unknown-name)",
    ),
    (
        "checks/fuel.yaml",
        "  minutes: look-minutes\n",
        "  minutes: low-turns\n",
        "'low-turns' is in 'turns', not in 'min' (wrong-unit)",
    ),
    (
        "facts.yaml",
        "look-minutes: {value: 0.5,",
        "look-minutes: {range: [0.5, 1],",
        "'look-minutes' is a range; one number is needed here (single-value)",
    ),
    ("checks/fuel.yaml", "  minutes: 2\n", "  minutes: 0\n", "a job takes some minutes: more than none (minutes)"),
    ("facts.yaml", "{value: 180, ", "{", "'head-floor' needs a 'value:' or a 'range:', and not both (fact-value)"),
    (
        "facts.yaml",
        "{value: 180, ",
        "{value: 180, range: [1, 2], ",
        "'head-floor' needs a 'value:' or a 'range:', and not both (fact-value)",
    ),
    ("facts.yaml", "[10, 15]", "[15, 10]", "a range goes from the smaller number to the larger (fact-value)"),
    (
        "facts.yaml",
        ", source: a general handbook",
        "",
        "'low-turns' is published; say where with 'source:' (fact-source)",
    ),
    (
        "checks/fuel.yaml",
        "ten seconds, healthy: true",
        "ten seconds, else: 0.1",
        "exactly one answer is healthy: true; here none (one-healthy)",
    ),
    (
        "checks/fuel.yaml",
        "say: bleeds away",
        "say: bleeds away\n      healthy: true",
        "exactly one answer is healthy: true; here 'holds', 'bleeds' (one-healthy)",
    ),
    (
        "history.yaml",
        "say: nothing, healthy: true",
        "say: nothing, else: 0.2",
        "exactly one answer is healthy: true; here none (one-healthy)",
    ),
    (
        "checks/fuel.yaml",
        "ten seconds, healthy: true",
        "ten seconds, healthy: true, else: 0.9",
        "'holds' is healthy: it takes what the others leave, so it has no 'if:' and no 'else:' "
        "(healthy-takes-the-rest)",
    ),
    (
        "checks/fuel.yaml",
        "      else: 0.03\n",
        "",
        "'bleeds' needs 'else:', its probability with any other fault (no-else)",
    ),
    (
        "checks/fuel.yaml",
        "    bleeds:\n",
        "    drips: {say: it drips, if: {pressure-line-off: 0.2}, else: 0.1}\n    bleeds:\n",
        "with 'pressure-line-off' the unhealthy answers have 1.1 together ('else' counted); at most 1 "
        "(probability-sum)",
    ),
    (
        "checks/fuel.yaml",
        "    dies at once:\n      say",
        "    it climbs: {say: it climbs, else: 0.96}\n    dies at once:\n      say",
        "'else' comes to 1.01 together; at most 1 (probability-sum)",
    ),
    ("checks/seals.yaml", "  opens: the carburettor\n", "", "a strip-down says what it 'opens:' (opens)"),
    (
        "checks/fuel.yaml",
        "  good for: tank\n",
        "  good for: tank\n  opens: the tank\n",
        "a first look opens nothing (opens)",
    ),
    (
        "faults/mechanical.yaml",
        "  because: Only a pressure test of the open engine shows it.\n",
        "",
        "'front-seal-leaks' has no first look; say why with 'because:' (first-look-because)",
    ),
    (
        "faults/screws.yaml",
        "  setting: lean\n",
        "",
        "'low-needle-lean' is a screw's: it needs 'screw:' and 'setting:' (screw-setting)",
    ),
    (
        "faults/screws.yaml",
        "kind: screw",
        "kind: mechanical",
        "'low-needle-lean' is mechanical: it has no 'screw:' and no 'setting:' (screw-setting)",
    ),
    (
        "faults/screws.yaml",
        "setting: lean",
        "setting: shut",
        "the low needle can't be 'shut', only rich or lean or off (screw-setting)",
    ),
    ("symptoms/idle.yaml", "way: richer", "way: out", "the low needle goes leaner or richer, not out (way)"),
    ("symptoms/idle.yaml", "way: in", "way: leaner", "the idle stop goes in or out, not leaner (way)"),
    (
        "drawings.yaml",
        "    =|____|==",
        "    " + "=" * 30 + "|____|==",
        "the picture is 57 columns wide and 2 lines high; at most 40 columns and 12 lines fit (picture-size)",
    ),
    (
        "drawings.yaml",
        "      ____\n",
        "      ____\n" + "      |  |\n" * 11,
        "the picture is 28 columns wide and 13 lines high; at most 40 columns and 12 lines fit (picture-size)",
    ),
    (
        "faults/mechanical.yaml",
        "    touches: [tank pressure]\n",
        "    touches: [tank pressure]\n    where: tanc\n",
        "unknown drawing 'tanc'; did you mean 'tank' (unknown-name)",
    ),
    (
        "engines/generic.yaml",
        "  say: A safe",
        "  where: tanc\n  say: A safe",
        "unknown drawing 'tanc'; did you mean 'tank' (unknown-name)",
    ),
    (
        "bench.yaml",
        "stripped: {into: 15, out: 20, say: stripped}\n",
        "",
        "bench.yaml has no entry 'stripped' (unknown-name)",
    ),
    (
        "cases/pressure-line.yaml",
        "symptom: revs-hang",
        "symptom: revs-hag",
        "unknown symptom 'revs-hag'; did you mean 'revs-hang' (unknown-name)",
    ),
    (
        "cases/pressure-line.yaml",
        "pressure: bleeds",
        "pressure: bleds",
        "'tank-holds-pressure' has no answer 'bleds'; did you mean 'bleeds' (unknown-name)",
    ),
    (
        "cases/pressure-line.yaml",
        "{tank-holds-pressure: bleeds}",
        "{tank-holds-presure: bleeds}",
        "unknown check 'tank-holds-presure'; did you mean 'tank-holds-pressure' (unknown-name)",
    ),
    (
        "cases/pressure-line.yaml",
        "{changed: nothing}",
        "{chanced: nothing}",
        "unknown question 'chanced'; did you mean 'changed' (unknown-name)",
    ),
    (
        "cases/pressure-line.yaml",
        "{changed: nothing}",
        "{changed: nothin}",
        "'changed' has no answer 'nothin'; did you mean 'nothing' (unknown-name)",
    ),
    (
        "cases/pressure-line.yaml",
        "faults: [pressure-line-off]",
        "faults: [pressure-line-on, {low-needle-len: 1}]",
        "unknown fault 'pressure-line-on'; did you mean 'pressure-line-off' (unknown-name)",
    ),
    (
        "cases/pressure-line.yaml",
        "mended: [pressure-line-off]",
        "mended: [seal-leaks]",
        "unknown fault 'seal-leaks'; did you mean 'front-seal-leaks' (unknown-name)",
    ),
]


@pytest.mark.parametrize(("file", "old", "new", "what"), LINKS)
def test_what_does_not_fit_together_is_told(file, old, new, what):
    assert any(line.endswith(f": {what}") for line in told(changed(file, old, new)))


def test_each_problem_names_the_place_of_the_word_that_is_wrong():
    (line,) = told(changed("symptoms/idle.yaml", "sweep: [seals]", "sweep: [seels]"))
    assert line.startswith("symptoms/idle.yaml:23:21: ")
    (line,) = told(changed("checks/seals.yaml", "front-seal-leaks", "front-seal-leak"))
    assert line.startswith("checks/seals.yaml:16:12: ")


READING = """\
head-temperature:
  name: head temperature
  ask: How hot is the head?
  how: [Point the gun at the plug.]
  why: Heat says how lean it runs.
  minutes: look-minutes
  state: warm
  look: first
  good for: start
  reading: {unit: °C, least: 0, most: 200}
  answers:
    cool: {say: cool, up to: head-floor, else: 0.1}
    warm: {say: warm, up to: 121, healthy: true}
    hot: {say: hot, if: {low-needle-lean: 0.5}, else: 0.1}
"""


def reading(old: str = "", new: str = "") -> dict[str, str]:
    assert old in READING
    return {**FILES, "checks/heat.yaml": "format: 1\n" + READING.replace(old, new, 1)}


def test_bands_may_end_at_a_fact_in_either_temperature_unit():
    knowledge = read(reading()).knowledge
    check = knowledge.checks["head-temperature"]
    assert [knowledge.band(check, degrees, Variant()) for degrees in (82, 83, 121)] == ["cool", "warm", "hot"]
    assert "checks/heat.yaml:14:23" in knowledge.bare
    assert "checks/heat.yaml:13:23" not in knowledge.bare


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("up to: 121, ", "", "'warm': with a 'reading:', each answer but the last needs 'up to:' (reading)"),
        (
            "{say: hot, ",
            "{say: hot, up to: 150, ",
            "'hot': with a 'reading:', each answer but the last has no 'up to:' (reading)",
        ),
        (
            "  reading: {unit: °C, least: 0, most: 200}\n",
            "",
            "'cool': without a 'reading:', an answer has no 'up to:' (reading)",
        ),
        ("up to: 121", "up to: 80", "bands go up: 80 comes after 82.22 (bands-ascend)"),
        ("most: 200", "most: 100", "bands go up: 100 comes after 121 (bands-ascend)"),
        ("least: 0", "least: 90", "bands go up: 82.22 comes after 90 (bands-ascend)"),
        ("head-floor", "head-flor", "unknown fact 'head-flor'; did you mean 'head-floor' (unknown-name)"),
        ("head-floor", "hold-seconds", "'hold-seconds' is a range; one number is needed here (single-value)"),
        ("head-floor", "look-minutes", "'look-minutes' is in 'min', the reading in '°C' (wrong-unit)"),
    ],
)
def test_bands_that_leave_a_gap_are_told(old, new, what):
    assert any(line.endswith(f": {what}") for line in told(reading(old, new)))


def test_a_file_that_cannot_be_read_brings_no_complaints_about_the_names_in_it():
    lines = told({**FILES, "facts.yaml": "format: 1\na: 'open", "faults/mechanical.yaml": "- x"})
    assert [line.split(":")[0] for line in lines] == ["facts.yaml", "faults/mechanical.yaml"]


def test_an_entry_that_does_not_fit_is_still_known_by_its_name():
    (line,) = told(changed("faults/mechanical.yaml", "kind: mechanical\n  what: Air", "kind: mechanic\n  what: Air"))
    assert "unknown-value" in line
