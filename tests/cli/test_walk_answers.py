"""``diagnose walk --answers``: the interface for tests and scripts, and what it says to bad input."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose, write

from diagnose.graph.load import LIMIT

GOOD = """\
format: 1
symptom: revs-hang
engine: {needles: 3, starter: box, run in: true}
history: {changed: nothing}
answers: {tank-holds-pressure: bleeds}
faults: [pressure-line-off]
"""

STEP_KINDS = {"ask", "prepare", "mend", "recheck", "retest", "adjust", "follow", "undo", "restore", "refer"}


@pytest.fixture
def case(tmp_path: Path) -> Path:
    file = tmp_path / "case.yaml"
    file.write_text(GOOD, "utf-8")
    return file


def test_a_case_file_comes_out_as_json(diagnose: Diagnose, case: Path) -> None:
    found = diagnose("walk", "--answers", case, "--json").json
    assert set(found) == {"steps", "verdict", "minutes", "owed", "locked", "belief"}
    assert found["verdict"] == {
        "outcome": "cured",
        "because": "the mend cured it",
        "mended": ["pressure-line-off"],
        "adjustments": [],
    }
    assert set(found["steps"][0]) == {"kind", "id", "node", "answer", "minutes", "why", "symptom", "asks", "says"}
    assert {step["symptom"] for step in found["steps"]} == {"revs-hang"}
    assert {step["kind"] for step in found["steps"]} <= STEP_KINDS
    assert found["minutes"] == pytest.approx(sum(step["minutes"] for step in found["steps"]))
    assert sum(found["belief"].values()) == pytest.approx(1)


def test_json_shows_the_adjustments_and_why_a_needle_is_locked(diagnose: Diagnose, case: Path) -> None:
    case.write_text("symptom: revs-hang\nanswers: {pinch-at-idle: dies at once}\nfaults: [{low-needle-lean: 1}]\n")
    found = diagnose("walk", "--answers", case, "--json").json
    assert found["verdict"]["outcome"] == "cured"
    assert found["verdict"]["adjustments"] == [
        {"screw": "low needle", "way": "richer", "hours": 1, "follow": {"idle stop": 0.5}}
    ]
    case.write_text("symptom: revs-hang\notherwise: can't tell\n")
    found = diagnose("walk", "--answers", case, "--json").json
    assert found["verdict"]["outcome"] == "handed over"
    assert {"rule", "because", "faults"} == set(found["locked"][0])
    assert "barrel-held-open" in {one for lock in found["locked"] for one in lock["faults"]}
    assert "barrel-at-rest" in found["owed"]


def test_a_json_file_is_read_too(diagnose: Diagnose, tmp_path: Path) -> None:
    file = tmp_path / "case.json"
    file.write_text('{"symptom": "revs-hang", "otherwise": "stop"}')
    found = diagnose("walk", "--answers", file, "--json").json
    assert found["verdict"]["outcome"] == "stopped"


def test_for_people_it_tells_the_steps_and_the_verdict(diagnose: Diagnose, case: Path) -> None:
    found = diagnose("walk", "--answers", case)
    assert found.code == 0
    assert "→ bleeds away" in found.out
    assert "Cured: the mend cured it" in found.out
    case.write_text("symptom: revs-hang\notherwise: stop\n")
    stopped = diagnose("walk", "--answers", case).out
    assert "still owed: barrel at rest" in stopped
    assert "No needle is turned now. Not looked for yet: " in stopped


def test_a_case_may_name_a_recorded_engine(diagnose: Diagnose, case: Path) -> None:
    case.write_text("symptom: revs-hang\nengine: blue truggy\notherwise: stop\n")
    missing = diagnose("walk", "--answers", case)
    assert missing.code == 2
    assert "no engine called 'blue truggy'" in missing.err
    diagnose("engine", "add", "blue truggy", "--needles", "2")
    assert diagnose("walk", "--answers", case).code == 0


def test_every_problem_of_a_bad_case_is_told_with_its_place(diagnose: Diagnose, case: Path) -> None:
    case.write_text(
        "format: 1\nsymptom: revs-hangs\nanswers:\n  tank-holds-presure: holds\n  fail-safe: shut\nfaults: [nonsense]\n"
    )
    found = diagnose("walk", "--answers", case)
    assert (found.code, found.out) == (2, "")
    assert f"{case}:2:1: unknown symptom 'revs-hangs'; did you mean 'revs-hang'" in found.err
    assert f"{case}:4:3: unknown check 'tank-holds-presure'; did you mean 'tank-holds-pressure'" in found.err
    assert "'fail-safe' has no answer 'shut'; did you mean 'shuts'" in found.err
    assert "unknown fault 'nonsense'" in found.err


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("symptom: [", "case.yaml:"),
        ("symptom: revs-hang\nsymptom: revs-hang\n", "set twice"),
        ("symptom: revs-hang\nanswers: {fail-safe: shuts, fail-safe: stays}\n", "set twice"),
        ("symptom: revs-hang\nanswer: {}\n", "did you mean 'answers'"),
        ("symptom: &a revs-hang\n", "anchor"),
        ("symptom: revs-hang\nengine: {needles: 5}\n", "engine"),
        ("symptom: revs-hang\nengine: {needels: 2}\n", "did you mean 'needles'"),
        ("symptom: revs-hang\nanswers: {bring-to-heat: redy}\n", "did you mean 'ready'"),
        ("symptom: revs-hang\nfaults: [{low-needle-lean: -1}]\n", "more than 0"),
        ('symptom: revs-hang\nstory: "\\e[2J"\n', "control character"),
        ("- symptom\n", "case.yaml:1:1"),
        ("", "empty"),
    ],
)
def test_bad_input_is_one_clear_message(diagnose: Diagnose, case: Path, text: str, said: str) -> None:
    case.write_text(text)
    found = diagnose("walk", "--answers", case)
    assert (found.code, found.out) == (2, "")
    assert found.err.startswith("diagnose: ")
    assert said in found.err
    assert "Traceback" not in found.err


def test_a_file_that_cannot_be_read_is_one_clear_line(diagnose: Diagnose, tmp_path: Path) -> None:
    assert "can't be read" in diagnose("walk", "--answers", tmp_path / "none.yaml").err
    assert "can't be read" in diagnose("walk", "--answers", tmp_path).err
    latin = tmp_path / "latin.yaml"
    latin.write_bytes(b"story: caf\xe9\n")
    assert "not UTF-8" in diagnose("walk", "--answers", latin).err
    big = tmp_path / "big.yaml"
    big.write_bytes(b"#" * (LIMIT + 1))
    assert "larger than 1 MiB" in diagnose("walk", "--answers", big).err


def test_contradictory_answers_still_come_to_a_verdict(diagnose: Diagnose, case: Path) -> None:
    case.write_text(
        "symptom: revs-hang\n"
        "answers: {tank-holds-pressure: [bleeds, bleeds, bleeds], pinch-at-idle: [dies at once, short climb],"
        " re-test: [worse, better, worse]}\n"
        "faults: [front-seal-leaks]\n"
    )
    found = diagnose("walk", "--answers", case, "--json").json
    assert found["verdict"]["outcome"] == "handed over"


def test_options_that_do_not_go_together_are_refused(diagnose: Diagnose, case: Path) -> None:
    assert "stands alone" in diagnose("walk", "revs-hang", "--answers", case).err
    assert "goes with --answers" in diagnose("walk", "revs-hang", "--json").err
    assert "say the symptom" in diagnose("walk").err


def test_an_overlay_s_symptom_can_be_walked(diagnose: Diagnose, case: Path, shipped: Path, tmp_path: Path) -> None:
    own = (shipped / "symptoms/idle.yaml").read_text("utf-8").replace("revs-hang:", "idles-low:")
    faults = (shipped / "faults/mechanical.yaml").read_text("utf-8").replace("{revs-hang:", "{idles-low: 2, revs-hang:")
    screws = (shipped / "faults/screws.yaml").read_text("utf-8").replace("{revs-hang:", "{idles-low: 2, revs-hang:")
    club = write(tmp_path / "club", {"symptoms/own.yaml": own, "faults/m.yaml": faults, "faults/s.yaml": screws})
    case.write_text("symptom: idles-low\notherwise: stop\n")
    assert diagnose("walk", "--answers", case).code == 2
    assert diagnose("--knowledge", club, "walk", "--answers", case).code == 0
