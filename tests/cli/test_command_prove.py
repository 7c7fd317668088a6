"""``diagnose prove``: structure, rules and worked cases, on the small knowledge."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose, write
from graph.knowledge_files import FILES

from diagnose.graph.problem import Place, Problem
from diagnose.measure.coverage import uncovered

CASE = "cases/pressure-line.yaml"
UNCOVERED = uncovered  # before it is taken away below


@pytest.fixture(autouse=True)
def proven(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take the rules as kept, and every fault as covered: they have tests of their own."""
    monkeypatch.setattr("diagnose.graph.prove.prove", lambda *_: [])
    monkeypatch.setattr("diagnose.measure.coverage.uncovered", lambda *_: [])


def test_knowledge_that_holds_is_counted_and_exits_0(diagnose: Diagnose) -> None:
    found = diagnose("prove")
    assert found.code == 0
    assert "everything holds: 1 symptoms, 5 checks, 5 faults, 1 cases" in found.out
    assert "tank-holds-pressure" in found.out or "checks/fuel.yaml" in found.out  # its bare minutes
    report = diagnose("prove", "--json").json
    assert report["holds"] is True
    assert report["counts"]["cases"] == 1
    assert report["bare"]


def test_what_the_practice_bench_cannot_show_is_told_and_fails_nothing(diagnose: Diagnose, tmp_path: Path) -> None:
    row = "format: 1\nlow-needle-lean: {often: 1, comes: slowly, modes: [{low needle: [-1, -6]}]}\n"
    club = write(tmp_path / "club", {"simulated/faults.yaml": row})
    found = diagnose("prove", club)
    assert found.code == 0
    assert "practice: 'pressure-line-off' acts on no part of the simulated engine: say in it what it acts" in found.out
    assert "'low-needle-lean' acts on no part" not in found.out
    told = [line.split("'")[1] for line in diagnose("prove", club, "--json").json["unpractised"]]
    assert len(told) == 4 + 4
    assert "pinch-at-idle" not in told  # it names the needle, so it is seen by its own numbers


def test_it_is_told_too_while_something_else_does_not_hold(
    diagnose: Diagnose, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("diagnose.measure.coverage.uncovered", lambda *_: ["low-needle-lean"])
    row = "format: 1\nlow-needle-lean: {often: 1, comes: slowly, modes: [{low needle: [-1, -6]}]}\n"
    club = write(tmp_path / "club", {"simulated/faults.yaml": row})
    found = diagnose("prove", club)
    assert found.code == 1
    assert "practice: 'pressure-line-off' acts on no part of the simulated engine: say in it what it acts" in found.out
    assert found.out.endswith("1 problem\n")  # what the bench can't show is none


def test_a_case_that_comes_out_otherwise_is_a_problem_with_its_place(diagnose: Diagnose, tmp_path: Path) -> None:
    club = write(tmp_path / "club", {CASE: FILES[CASE].replace("adjustments: 0", "adjustments: 1")})
    found = diagnose("prove", club)
    assert found.code == 1
    assert f"{club}/cases/pressure-line.yaml:8:1: 0 adjustments, not 1 (case)\n" in found.out
    assert found.out.endswith("1 problem\n")
    assert found.err == ""


def test_a_fault_without_a_case_is_a_problem_with_its_place(
    diagnose: Diagnose, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("diagnose.measure.coverage.uncovered", lambda *_: ["low-needle-lean"])
    found = diagnose("prove")
    assert found.code == 1
    assert "screws.yaml:2:1: 'low-needle-lean' is the truth of no worked case (fault-without-case)" in found.out


def test_a_form_without_a_case_is_a_problem_where_the_form_stands(
    diagnose: Diagnose, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("diagnose.measure.coverage.uncovered", UNCOVERED)
    line = FILES["faults/mechanical.yaml"]
    forms = "  forms: {off: {name: off, share: 0.6}, split: {name: split, share: 0.4}}\n"
    at = "  name: pressure line off or split\n"
    club = write(tmp_path / "club", {"faults/mechanical.yaml": line.replace(at, at + forms)})
    told = "'pressure-line-off.split' is the truth of no worked case (fault-without-case)"
    assert told in diagnose("prove", club).out
    case = FILES[CASE]
    assert "pressure-line-off]" in case
    truth = case.replace("faults: [pressure-line-off]", "faults: [pressure-line-off.split]")
    write(club, {"cases/the-split.yaml": truth})
    found = diagnose("prove", club).out
    assert told not in found
    assert f"{club}/faults/mechanical.yaml:" in found  # where the other form stands
    assert "'pressure-line-off.off' is the truth of no worked case" in found


def test_a_case_whose_truth_is_a_form_that_is_not_there_is_refused(diagnose: Diagnose, tmp_path: Path) -> None:
    case = FILES[CASE].replace("faults: [pressure-line-off]", "faults: [pressure-line-off.splt]")
    found = diagnose("prove", write(tmp_path / "club", {CASE: case}))
    assert found.code == 1
    assert "'pressure-line-off' has no form 'splt' (unknown-name)" in found.out


def test_a_case_that_names_a_recorded_engine_is_a_problem(diagnose: Diagnose, tmp_path: Path) -> None:
    engine = "engine: {needles: 3, starter: box, run in: true}"
    club = write(tmp_path / "club", {CASE: FILES[CASE].replace(engine, "engine: blue truggy")})
    assert "describes its engine in place" in diagnose("prove", club).out


def test_a_rule_that_is_broken_is_printed_and_no_case_is_run(
    diagnose: Diagnose, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = Problem(Place("knowledge/symptoms/idle.yaml", 15, 5), "first-look", "an adjustment is reached too early")
    monkeypatch.setattr("diagnose.graph.prove.prove", lambda *_: [broken])
    club = write(tmp_path / "club", {CASE: FILES[CASE].replace("adjustments: 0", "adjustments: 1")})
    found = diagnose("prove", club)
    assert found.code == 1
    first, *between, last = found.out.splitlines()
    assert (first, last) == (str(broken), "1 problem")
    assert all(line.startswith("practice: ") for line in between)


def test_knowledge_that_cannot_be_read_exits_1_with_every_problem(diagnose: Diagnose, tmp_path: Path) -> None:
    club = write(tmp_path / "club", {"words.yaml": "format: 1\nrich: {}\n", "facts.yaml": "format: 2\n"})
    found = diagnose("--knowledge", club, "prove")
    assert found.code == 1
    assert "words.yaml:2:" in found.out
    assert "facts.yaml:1:" in found.out
    outcome = diagnose("prove", club, "--json")
    assert (outcome.code, '"holds": false' in outcome.out) == (1, True)


def test_what_an_overlay_looks_for_no_longer_is_listed(diagnose: Diagnose, tmp_path: Path) -> None:
    route = FILES["symptoms/idle.yaml"].replace("[linkage, radio, tank pressure]", "[linkage, radio]")
    club = write(tmp_path / "club", {"symptoms/idle.yaml": route})
    found = diagnose("prove", club)
    assert "fewer: revs hang: pressure line off or split has no first look any more" in found.out


def test_full_adds_the_figures_of_each_symptom(diagnose: Diagnose) -> None:
    (figures,) = diagnose("prove", "--full", "--json").json["figures"]
    assert figures["symptom"] == "revs-hang"
    assert 0 < figures["detected"] <= 1
    assert 0 < figures["true_right"] <= 1
    assert figures["slip_cured"] <= figures["slip_honest"] == 1
    assert "owed min" in diagnose("prove", "--full").out
    assert "owed min" not in diagnose("prove").out


def test_language_names_the_long_texts_and_those_that_are_read_late(
    diagnose: Diagnose, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    club = write(tmp_path / "club", {"words.yaml": f"format: 1\nlean:\n  say: {'little fuel ' * 31}\n"})
    monkeypatch.setattr("diagnose.graph.texts.read_late", lambda _: [(12.5, ("words", "lean", "say"))])
    out = diagnose("prove", club, "--language").out
    assert f"{club}/words.yaml:3:3: 62 words without a break\n" in out
    assert f"{club}/words.yaml:3:3: read at 12.5 years\n" in out
    assert "without a break" not in diagnose("prove", club).out
    assert len(diagnose("prove", club, "--language", "--json").json["texts"]) == 2
    monkeypatch.setattr("diagnose.graph.texts.read_late", lambda _: None)
    assert "the reading age is not measured" in diagnose("prove", club, "--language").out
