from __future__ import annotations

import subprocess
import sys
from contextlib import suppress

import pytest
from graph.knowledge_files import FILES, changed, told
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.graph.model import Adjust, Ask, Sweep
from diagnose.graph.problem import KnowledgeError, Place, Problem
from diagnose.graph.read import read, read_case


def test_sound_knowledge_is_read_whole():
    knowledge, places, cases, *_ = read(FILES)
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
        "symptoms/idle.yaml",
        "      ask: pinch-at-idle\n",
        "      ask: pinch-at-idle\n      only: {starter: pull}\n      else: strip\n",
    )
    node = read(files).knowledge.symptoms["revs-hang"].route["pinch"]
    assert (node.only.starter, node.otherwise) == (("pull",), "strip")


def test_an_answer_that_is_no_answer_may_have_a_branch():
    files = changed(
        "symptoms/idle.yaml",
        "      dies at once: richer\n",
        "      dies at once: richer\n      can't tell: hand over\n",
    )
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
        "checks/fuel.yaml:20:12: unknown fault 'pressure-line-of'; did you mean 'pressure-line-off' (unknown-name)",
        "drawings.yaml:2:4: a quote is opened and never closed (syntax)",
        "facts.yaml:4:39: 'provenance' can't be 'from memry', only common practice, no source, from memory, "
        "judgement, unchecked or published; "
        "did you mean 'from memory' (unknown-value)",
        "words.yaml:2:8: unknown field 'sai' in 'lean'; did you mean 'say' (unknown-field)",
    ]


def test_a_later_layer_replaces_and_adds():
    overlay = {"faults/ours.yaml": FILES["faults/screws.yaml"].replace("name: low", "name: our low")}
    overlay["words.yaml"] = "format: 1\nrich: {say: too much fuel}\n"
    knowledge, places, *_ = read(FILES, [overlay], ["knowledge", "club"])
    assert knowledge.faults["low-needle-lean"].name == "our low needle lean"
    assert list(knowledge.words) == ["lean", "rich"]
    assert places["faults", "low-needle-lean", "name"] == Place("club/faults/ours.yaml", 3, 3)
    assert places["faults", "fail-safe-off", "name"].file == "knowledge/faults/mechanical.yaml"


def test_what_a_replaced_entry_no_longer_says_has_no_place():
    slim = "format: 1\nhot-metal: {name: hot, say: hot}\n"
    places = read(FILES, [{"cautions.yaml": slim}]).places
    assert ("cautions", "hot-metal", "say") in places
    assert ("cautions", "hot-metal", "now") not in places


def test_the_places_in_problems_of_an_overlay_lead_to_the_overlay():
    with pytest.raises(KnowledgeError) as caught:
        read(FILES, [{"words.yaml": "format: 1\nlean: {sai: x}"}], ["knowledge", "club"])
    assert {problem.place.file for problem in caught.value.problems} == {"club/words.yaml"}


def test_an_id_that_two_files_of_a_layer_have_is_told():
    (line,) = told({**FILES, "faults/z.yaml": FILES["faults/screws.yaml"]})
    assert (
        line == "faults/z.yaml:2:1: 'low-needle-lean' is in faults/screws.yaml:2:1 too; keep one of them (duplicate-id)"
    )


@pytest.mark.parametrize(
    ("name", "text", "line"),
    [
        (
            "chekcs/a.yaml",
            "format: 1",
            "a file is named after its kind, or lies in a folder that is: checks.yaml, checks/fuel.yaml; "
            "did you mean 'checks' (unknown-file)",
        ),
        (
            "checks/a.yml",
            "format: 1",
            "a file of knowledge ends in .yaml: give this one that ending (unknown-file)",
        ),
        ("checks/a.yaml", "", "the file is empty (no-entries)"),
        ("checks/a.yaml", "# nothing yet\n", "the file is empty (no-entries)"),
        ("checks/a.yaml", "- x", "a file holds 'format: 1' and entries by id, no list (no-entries)"),
        ("checks/a.yaml", "{}", "the file starts with 'format: 1' (format)"),
        (
            "checks/a.yaml",
            "format: 2",
            "format 2 is not read here; 1 is. A newer program can read it, if it was written for one (format)",
        ),
        ("checks/a.yaml", "format: true", "format true is not read here; 1 is (format)"),
    ],
)
def test_a_file_that_is_no_knowledge_file_is_told(name, text, line):
    assert told({**FILES, name: text}) == [f"{name}:1:1: {line}"]


@pytest.mark.parametrize("name", ["Two Words", "two words", "-x", "x" * 61, "", "[/x]"])
def test_an_id_that_is_none_is_told(name):
    before = FILES["cautions.yaml"]
    lines = told({**FILES, "cautions.yaml": f"{before}'{name}': {{name: x, say: y}}\n"})
    assert [line for line in lines if "is not an id" in line]
    assert all(line.startswith(f"cautions.yaml:{before.count(chr(10)) + 1}:1: ") for line in lines)


def test_a_bench_state_that_is_none_is_told():
    lines = told(changed("bench.yaml", "stripped:", "striped:"))
    assert "bench.yaml:5:1: 'striped' is no bench state; did you mean 'stripped' (bad-name)" in lines


def test_a_problem_that_the_loader_found_is_told_with_the_others():
    known = Problem(Place("facts.yaml", 1, 1), "too-big", "larger than 1 MiB")
    lines = told({**FILES, "facts.yaml": known, "words.yaml": "x"})
    assert [line.rpartition("(")[2] for line in lines] == ["too-big)", "no-entries)"]


def test_no_files_are_empty_knowledge():
    assert not read({}).knowledge.symptoms


def test_hostile_text_that_is_harmless_is_kept_as_it_is():
    files = changed("checks/fuel.yaml", "say: bleeds away", "say: '[/x] [on] {0} %s \\e'")
    assert read(files).knowledge.checks["tank-holds-pressure"].answers["bleeds"].say == "[/x] [on] {0} %s \\e"


@pytest.mark.parametrize(
    "text",
    [
        'format: 1\n"a\\e[2J\\u202eb": x\n"a\\e[2J\\u202eb": y\n',
        "format: 1\nlean: {say: {a: |\n 1\n}}",
        f"format: 1\nlean: {{say: x, {'y' * 1000}: z}}",
        'format: 1\n"a\\nb": {say: x, "c\\rd": z}\n',
        "format: 1\nlean: !%1b[2J {say: x}",
    ],
)
def test_no_hostile_text_reaches_the_terminal_by_way_of_a_problem(text):
    lines = told({**FILES, "words.yaml": text})
    assert lines
    assert all(line.isprintable() and len(line) < 500 for line in lines)


def test_a_case_outside_the_knowledge_is_read_against_it():
    knowledge = read(FILES).knowledge
    assert read_case("mine.yaml", FILES["cases/pressure-line.yaml"], knowledge).symptom == "revs-hang"
    answers = "{re-test: cured, bring-to-heat: [too cool, 95], fail-safe-off: done, fail-safe: no tool now}"
    assert len(read_case("mine.yaml", f"symptom: revs-hang\nanswers: {answers}", knowledge).answers) == 4
    with pytest.raises(KnowledgeError, match=r"^mine.yaml:3:1: unknown symptom 'x' .unknown-name.$"):
        read_case("mine.yaml", "format: 1\n\nsymptom: x", knowledge)


def test_sound_knowledge_is_read_without_the_schema_library():
    code = "import sys; from graph.knowledge_files import FILES; from diagnose.graph.read import read; read(FILES); "
    code += "print(*sys.modules.keys() & {'jsonschema', 'networkx', 'textual'})"
    run = subprocess.run(
        [sys.executable, "-c", code], text=True, capture_output=True, env={"PYTHONPATH": ":".join(sys.path)}, check=True
    )
    assert not run.stdout.strip()


LINES = sorted({line for text in FILES.values() for line in text.splitlines()})
TOKENS = ["[]", "{}", "7", "true", "x", "[x, 1]", "{x: 1}", "'' ", "-0.5", "tank", "revs-hang", "'[/x]'"]


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_knowledge_that_is_spoilt_at_random_is_read_or_told(data):
    files = dict(FILES)
    for _ in range(data.draw(st.integers(1, 3))):
        name = data.draw(st.sampled_from(sorted(files)))
        lines = files[name].splitlines() or [""]  # a file can be spoilt down to nothing
        number = data.draw(st.integers(0, len(lines) - 1))
        key = lines[number].partition(":")[0]
        spoilt = st.sampled_from(LINES) | st.sampled_from(TOKENS).map(lambda token, key=key: f"{key}: {token}")
        lines[number : number + 1] = data.draw(st.lists(spoilt, max_size=2))
        files[name] = "\n".join(lines)
    with suppress(KnowledgeError):  # and nothing else
        assert read(files).knowledge.facts is not None
