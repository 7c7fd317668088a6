"""A club's own fault and check are practised by rows in its own files, without Python."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import write

from diagnose.errors import DiagnoseError
from diagnose.graph.load import load
from diagnose.graph.model import Knowledge
from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.lesson import CURED, Practice
from diagnose.practice.showable import missing

CLUB = {
    "faults/own.yaml": """\
format: 1
dust-sock-clogged:
  name: air filter sock clogged
  area: air
  kind: mechanical
  what: The sock over the air filter is full of dust and lets too little air through.
  explains: {will-not-rev-out: 3}
  mend: {do: [Wash the sock.], minutes: 3, touches: [air]}
""",
    "checks/own.yaml": """\
format: 1
dust-sock-by-eye:
  name: air filter sock
  ask: Does light come through the dust sock?
  how: [Hold it against the sky.]
  why: A full sock holds back the air.
  minutes: 1
  state: parked
  look: first
  good for: tank
  answers:
    light: {say: light comes through, healthy: true}
    dark: {say: it is dark, if: {dust-sock-clogged: 0.95}, else: 0.02}
""",
}
ROWS = {
    "simulated/faults.yaml": """\
format: 1
dust-sock-clogged: {often: 2, comes: slowly, modes: [{choke: [0.62, 0.82]}]}
""",
    "simulated/checks.yaml": """\
format: 1
dust-sock-by-eye: {trust: H, shows: [{answer: dark, above: {choke: 0.6}}]}
""",
}


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Knowledge:
    return load([write(tmp_path_factory.mktemp("club"), {**CLUB, **ROWS})])


def test_it_is_hidden_seen_and_mended(club: Knowledge) -> None:
    assert list(missing(club)) == []
    practice = Practice(club, [setting.hidden(club, "will-not-rev-out", "dust-sock-clogged", "1")])
    for guard in practice.scope.guards:
        practice = practice.plus(hp.Looked(guard))
    seen = [practice.hands.engine.see("dust-sock-by-eye", club.checks["dust-sock-by-eye"], visit) for visit in range(9)]
    assert seen.count("dark") > seen.count("light")
    practice = practice.plus(hp.MendedPart("dust-sock-clogged")).plus(hp.Tried())
    assert practice.ended == CURED


def test_without_its_row_the_practice_says_which_file_wants_it(tmp_path: Path) -> None:
    known = load([write(tmp_path, CLUB)])
    assert [line.split("'")[1] for line in missing(known)] == ["dust-sock-clogged", "dust-sock-by-eye"]
    with pytest.raises(DiagnoseError, match=r"give it a row in simulated/faults.yaml"):
        setting.hidden(known, "will-not-rev-out", "dust-sock-clogged", "1")
