"""A club's own fault and check are practised by rows in its own files, without Python."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from cli.running import write
from practice.learners import advised

from diagnose.errors import DiagnoseError
from diagnose.graph.load import load
from diagnose.graph.model import Knowledge
from diagnose.graph.problem import KnowledgeError
from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.check_answers import truth
from diagnose.practice.debrief import debrief
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
    with pytest.raises(DiagnoseError, match=r"acts like: air-filter-dirty.*a row in simulated/faults.yaml"):
        setting.hidden(known, "will-not-rev-out", "dust-sock-clogged", "1")


LESSON = """\
format: 1
grey-sunday:
  name: a grey Sunday
  text: It will not rev out. It ran well all summer.
  symptom: will-not-rev-out
  faults: {dust-sock-clogged: 0.9}
  notice: [What only your club has is looked at like everything else.]
  question:
    ask: Is it the needle?
    answers: {no: {say: not yet, right: true, because: Look first.}, yes: {say: it is, because: It was right.}}
"""


def like(says: str) -> dict[str, str]:
    """Return the club's files, its fault with what it acts like."""
    faults = CLUB["faults/own.yaml"].replace("  area: air\n", f"  area: air\n{says}")
    return {**CLUB, "faults/own.yaml": faults, "lessons/own.yaml": LESSON}


ALIKE = like("  acts like: air-filter-dirty\n  how badly: [0.5, 1]\n")


@pytest.fixture(scope="module")
def alike(tmp_path_factory: pytest.TempPathFactory) -> Knowledge:
    return load([write(tmp_path_factory.mktemp("alike"), ALIKE)])


def test_what_acts_like_another_fault_has_a_part_of_its_range(alike: Knowledge) -> None:
    assert list(missing(alike)) == []
    low, high = alike.simulated_faults["air-filter-dirty"].modes[0]["choke"]
    assert alike.simulated_faults["dust-sock-clogged"].modes == ({"choke": ((low + high) / 2, high)},)


def begun(known: Knowledge) -> Practice:
    practice = Practice(known, [setting.from_lesson(known, "grey-sunday")])
    for guard in practice.scope.guards:
        practice = practice.plus(hp.Looked(guard))
    return practice


def test_it_does_the_same_to_the_engine_and_is_another_fault_all_the_same(alike: Knowledge) -> None:
    practice = begun(alike)
    engine = practice.hands.engine
    assert engine.strength("will-not-rev-out") >= 1
    assert truth("filter-by-eye", alike.checks["filter-by-eye"], engine.seen()) == ("clean and whole", "H")
    wrong = practice.plus(hp.MendedPart("air-filter-dirty")).plus(hp.Tried())
    assert wrong.lines[-2].in_vain
    assert not wrong.ended
    right = practice.plus(hp.MendedPart("dust-sock-clogged"))
    assert right.lines[-1].put_right == ("dust-sock-clogged",)
    assert right.plus(hp.Tried()).ended == CURED


def test_a_check_of_its_own_is_seen_by_its_own_numbers(alike: Knowledge) -> None:
    check, engine = alike.checks["dust-sock-by-eye"], begun(alike).hands.engine
    seen = Counter(engine.see("dust-sock-by-eye", check, visit) for visit in range(2000))
    assert seen["dark"] / 2000 == pytest.approx(0.95, abs=0.02)
    mended = engine.mended("dust-sock-clogged", alike.faults["dust-sock-clogged"])
    seen = Counter(mended.see("dust-sock-by-eye", check, visit) for visit in range(2000))
    assert seen["dark"] / 2000 == pytest.approx(0.02, abs=0.01)


def test_a_shipped_check_that_names_the_fault_sees_it_too(tmp_path: Path) -> None:
    named = """\
format: 1
filter-by-eye:
  keep the rest: true
  answers: {dark or dripping: {if: {dust-sock-clogged: 0.7}}}
"""
    known = load([write(tmp_path, {**ALIKE, "checks/shipped.yaml": named})])
    check, engine = known.checks["filter-by-eye"], begun(known).hands.engine
    seen = Counter(engine.see("filter-by-eye", check, visit) for visit in range(2000))
    assert seen["dark or dripping"] / 2000 == pytest.approx(
        known.chances(check, "dust-sock-clogged")["dark or dripping"], abs=0.02
    )


def test_its_lesson_is_played_to_the_end_by_the_advice(alike: Knowledge) -> None:
    practice = advised(Practice(alike, [setting.from_lesson(alike, "grey-sunday")]))
    assert practice.ended == CURED
    assert debrief(practice).earned == ("dust-sock-clogged",)


WRONG = {
    "  how badly: [0.5, 1]\n": "say which one, with 'acts like:'",
    "  acts like: air-filter-dirt\n": "unknown fault 'air-filter-dirt'; did you mean 'air-filter-dirty'",
    "  acts like: high-needle-lean\n": "is a screw that stands wrong",
    "  acts like: air-filter-dirty\n  how badly: [0.8, 0.2]\n": "the mildest first, and then the worst",
    "  acts like: dust-sock-clogged\n": "'dust-sock-clogged' acts like itself: name a fault",
    "  acts like: fuel-line-split.melted\n": "'fuel-line-split' has no form 'melted'",
}


@pytest.mark.parametrize("says", WRONG)
def test_what_it_cannot_act_like_is_told_with_its_place(says: str, tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError) as found:
        load([write(tmp_path, like(says))])
    assert len(found.value.problems) == 1
    assert WRONG[says] in found.value.problems[0].what
    assert found.value.problems[0].place.file.endswith("faults/own.yaml")
    assert found.value.problems[0].place.line > 4


def test_both_what_it_acts_like_and_a_row_are_one_too_many(tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError, match="keep the one or the other"):
        load([write(tmp_path, {**ALIKE, "simulated/faults.yaml": ROWS["simulated/faults.yaml"]})])


def test_a_lesson_and_a_fault_that_never_show_are_named(tmp_path: Path) -> None:
    known = load([write(tmp_path, like("  acts like: igniter-flat\n"))])
    fault, lesson = missing(known)
    assert fault.startswith("'dust-sock-clogged' shows none of what it explains on the practice bench")
    assert lesson.startswith("the lesson 'grey-sunday' can't be set: no simulated engine with air filter sock clogged")
