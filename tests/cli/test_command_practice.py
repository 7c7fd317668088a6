"""``diagnose practice``, on the shipped knowledge."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from cli.running import Outcome
from msgspec.structs import asdict
from shipped import load, proven_already

from diagnose.cli import cli, guarded
from diagnose.measure.disagree import Disagreement
from diagnose.measure.figures import share
from diagnose.measure.measure import WANTED, report
from diagnose.pages.measured import wish, with_interval


@pytest.fixture
def practice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    """Run ``diagnose practice`` with these arguments."""
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))
    proven_already(monkeypatch)

    def run(*arguments: str) -> Outcome:
        code = guarded(lambda: cli.main(["practice", *arguments], prog_name="diagnose", standalone_mode=False))
        return Outcome(code, *capsys.readouterr())

    return run


def test_measuring_prints_every_figure_with_its_interval(practice) -> None:
    found = practice("measure", "--n", "8")
    assert found.code == 0
    assert "8 engines: one fault" in found.out
    assert "against other ways of working" in found.out
    assert "static order: minutes, ours over theirs" in found.out
    assert found.out.count(" to ") > 40


@pytest.mark.slow
def test_measuring_in_json_is_the_same_for_the_same_seed(practice) -> None:
    first, again, other = (practice("measure", "--n", "8", "--seed", seed, "--json") for seed in ("5", "5", "6"))
    assert first.json == again.json
    assert first.json["figures"] != other.json["figures"]
    assert first.json["seed"] == 5
    assert set(first.json) == {"seed", "engines", "figures", "fell short", "uncured", "needle turned early"}
    for figure in first.json["figures"].values():
        assert figure["low"] <= figure["value"] <= figure["high"]


def test_a_person_that_there_is_not_is_refused_with_those_that_there_are(practice) -> None:
    found = practice("measure", "--person", "noisi")
    assert found.code == 2
    assert "did you mean 'noisy'" in found.err


def test_the_progress_goes_beside_the_figures_and_not_among_them(practice) -> None:
    found = practice("measure", "--n", "4", "--json")
    json.loads(found.out)
    assert "engines" in found.err


def test_comparing_lists_what_disagrees(practice, monkeypatch: pytest.MonkeyPatch) -> None:
    one = Disagreement("along-the-lines", "off", "pressure-line-off", 0.9, 0.25)
    monkeypatch.setattr("diagnose.measure.disagree.disagreements", lambda known: [one] if known is load() else [])
    assert practice("compare", "--json").json == {"disagreements": [asdict(one)]}
    assert [line.split() for line in practice("compare").out.splitlines()] == [
        ["check", "answer", "fault", "simulated", "knowledge"],
        ["along-the-lines", "off", "pressure-line-off", "0.90", "0.25"],
    ]


def test_comparing_says_when_nothing_disagrees(practice, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("diagnose.measure.disagree.disagreements", lambda _: [])
    assert practice("compare").out == "they agree on everything, within a factor of three\n"


def test_a_measurement_of_nothing_is_refused(practice) -> None:
    assert practice("measure", "--n", "0").code == 2


def test_a_wish_says_what_was_wanted_and_what_there_is() -> None:
    none = report([], 1)
    assert wish(none, WANTED[0]) == "one fault: cured: 0.000, wanted at least 0.92"
    assert with_interval(share(1, 2))[0] == "0.500"
