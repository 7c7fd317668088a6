"""``diagnose practice class``: set, seats, the one sheet, and a class file by hand."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from cli.test_practice_start import GIVE_UP, KNOWLEDGE, practice

from diagnose.cli import cli, guarded
from diagnose.folders import home
from diagnose.practice import setting
from diagnose.practice.feedback import screws
from diagnose.practice.lesson import TURNED
from diagnose.record.journal import Journal
from diagnose.workshop.classes import opened

__all__ = ["practice"]  # the fixture

MARKUP = "[bold]ben[/]"
SET = ("class", "set", "--symptom", "cuts-on-the-straight", "--fault", "pressure-line-off", "--seed", "x")
HIDDEN = KNOWLEDGE.faults["pressure-line-off"].name
FILE = """\
symptom: cuts-on-the-straight
faults: {pressure-line-off: 0.8}
seed: saturday
owner says: It was fine last week.
needles off: {high needle: 2}
"""


def test_a_class_is_set_and_shows_everything_but_what_is_hidden(practice) -> None:
    found = practice(*SET, "--seats", f"kim, {MARKUP}")
    assert found.code == 0
    assert "1  kim: not begun, has the turn" in found.out
    assert f"2  {MARKUP}: not begun" in found.out
    assert HIDDEN not in found.out
    assert "0 of 2 done" in practice("class", "list").out


def test_seats_have_their_turns_and_the_sheet_names_who_did_what(practice, tmp_path: Path) -> None:
    practice(*SET, "--seats", f"kim, {MARKUP}")
    first = practice("class", "seat", typed=("4", "3", "1", "1", GIVE_UP, "1", "Guards first.", "1"))
    assert first.out.startswith("kim sits down.")
    assert "What does that tell you?" not in first.out
    second = practice("class", "seat", typed=("1", "1", "1", "1", "1", GIVE_UP, "1", "1", "", "0"))
    assert second.out.startswith(f"{MARKUP} sits down.")
    assert "What does that tell you?" in second.out
    sheet = practice("class", "sheet").out
    assert re.search(rf"{re.escape(MARKUP)} +1 +1 +\d +\d +\d\n", sheet), "one look, and it was foretold"
    assert f"Nobody put this right: {HIDDEN}." in sheet
    assert "kim: Guards first." in sheet
    assert "of 100" not in sheet
    rows = list(csv.DictReader(practice("class", "sheet", "--csv").out.splitlines()))
    assert [(row["learner"], row["turned early"], row["not found"]) for row in rows] == [
        ("kim", "1", HIDDEN),
        (MARKUP, "0", HIDDEN),
    ]
    assert "has had a turn" in practice("class", "seat", "kim").err
    assert "what it was" in practice("debrief", "kim").out
    out = tmp_path / "sheet.html"
    assert guarded(lambda: cli.main(["paper", "class", "-o", str(out)], standalone_mode=False)) == 0
    assert MARKUP in out.read_text("utf-8")


def test_results_name_date_hidden_fault_and_what_was_counted_and_no_points_but_ones_own(practice) -> None:
    practice(*SET, "--seats", "=kim, ana")
    practice("class", "seat", "=kim", typed=("4", GIVE_UP, "1", "", "0"))
    [row] = csv.DictReader(practice("results", "--csv").out.splitlines())
    assert (row["learner"], row["hidden"], row["risks"], row["early"]) == ("'=kim", "pressure-line-off", "1", "0")
    told = practice("results").out
    assert "ana: cuts on the straight · 0 steps" in told
    assert "of 100" not in told
    assert "points" not in practice("results", "--json").json[0]
    assert "points" in practice("results", "--json", "--learner", "=kim").json[0]


def test_a_learner_is_forgotten_only_when_that_is_meant(practice) -> None:
    practice(*SET, "--seats", "kim, ana")
    assert practice("forget", "kim").code == 2
    assert "kim" in practice("class", "list", "last").out
    assert practice("forget", "kim", "--yes").code == 0
    assert "kim" not in practice("class", "list", "last").out


@pytest.mark.parametrize(
    ("off", "turned"),
    [
        (("2",), {"high needle": 2.0}),
        (("mid needle=-0.5", "idle stop=1"), {"mid needle": -0.5, "idle stop": 1.0}),
        (("low needle=-1", "high needle=6"), {"low needle": -1.0, "high needle": 6.0}),
    ],
)
def test_any_screw_may_be_off_and_the_owner_says_that_somebody_turned_them(practice, off, turned) -> None:
    said = [word for one in off for word in ("--off", one)]
    assert TURNED in practice(*SET, *said).out
    begun = opened(Journal.open(home() / "journal.sqlite3")).begun
    assert dict(begun.turned) == turned
    assert set(turned) <= set(screws(setting.engine(begun, KNOWLEDGE).variant)), "the engine that is drawn has them"


def test_those_of_the_last_class_are_seated_again_with_one_word(practice) -> None:
    practice(*SET, "--seats", "kim, ben")
    assert "1  kim: not begun, has the turn" in practice(*SET, "--same", "--seats", "ana").out
    assert [line[:6] for line in practice("class", "list", "last").out.split("\n")[-4:-1]] == [
        "1  kim",
        "2  ben",
        "3  ana",
    ]


def test_a_class_file_sets_the_same_engine_each_time(practice, tmp_path: Path) -> None:
    file = tmp_path / "class.yaml"
    file.write_text(FILE, "utf-8")
    first, again = (practice("class", "set", "--file", str(file)).out.split("\n", 1)[1] for _ in "ab")
    assert first == again
    assert "It was fine last week." in first


@pytest.mark.parametrize(
    ("was", "now", "place", "told"),
    [
        ("cuts-on-the-straight", "cuts-on-the-strait", ":1:1: ", "did you mean 'cuts-on-the-straight'"),
        ("pressure-line-off: 0.8", "pressure-line-of: 0.8", ":2:10: ", "did you mean 'pressure-line-off'"),
        ("0.8", "8", ":2:10: ", "it must be"),
        ("0.8", "badly", ":2:10: ", "a number"),
        ("seed: saturday\n", "", ":1:1: ", "has no 'seed'"),
        ("owner says", "owner say", ":4:1: ", "did you mean 'owner says'"),
        ("high needle: 2", "high: 2", ":5:", "high needle"),
        ("{pressure-line-off: 0.8}", "[pressure-line-off]", ":2:1: ", "a map"),
        ("seed: saturday", "seed: a\nseed: b", ":4:1: ", "twice"),
        ("{pressure", "{{pressure", ":2:", ""),
        (FILE, "", ":1:1: ", "the file says nothing"),
        ("high needle: 2", "high needle: 0", ":5:15: ", "leave it out"),
        ("high needle: 2", "high needle: -6.5", ":5:15: ", "it must be"),
        ("owner says: It", "owner says: |\n  It", ":4:1: ", "put it into one"),
        ("high needle: 2}", "high needle: 2, hi needle: 1}", ":5:", "only high needle, mid needle"),
        ("pressure-line-off", "igniter-flat", ":1:1: ", "choose another symptom"),
    ],
)
def test_a_bad_class_file_says_where_and_what(
    practice, tmp_path: Path, was: str, now: str, place: str, told: str
) -> None:
    file = tmp_path / "class.yaml"
    file.write_text(FILE.replace(was, now), "utf-8")
    found = practice("class", "set", "--file", str(file))
    assert found.code == 2
    assert f"class.yaml{place}" in found.err
    assert told in found.err
    assert "Traceback" not in found.err
    assert "no class yet" in practice("class", "list").out


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("class", "set"), "choose one"),
        (("class", "set", "--level", "4"), "it is 1, 2, 3"),
        (("class", "set", "--level", "1", "--seats", "a,a"), "there twice"),
        (("class", "set", "--file", "nowhere.yaml"), "can't be read"),
        ((*SET, "--off", "lo needle=1"), "only high needle, mid needle, low needle, idle stop"),
        ((*SET, "--off", "low needle=rich"), "write 'low needle=1.5'"),
        ((*SET, "--off", "low needle=6.5"), "up to 6 hours"),
        ((*SET, "--off", "low needle=nan"), "up to 6 hours"),
        (("class", "seat"), "there is no class yet"),
        (("class", "sheet", "x"), "there is no class yet"),
        (("debrief", "nobody"), "has come to no end yet"),
    ],
)
def test_what_cannot_be_is_refused_with_a_reason(practice, arguments: tuple[str, ...], told: str) -> None:
    found = practice(*arguments)
    assert found.code == 2
    assert told in found.err


def test_what_is_next_is_told_with_why_and_begun_behind_a_worked_example(practice) -> None:
    told = practice("next", "kim").out
    assert "why: you have not worked at this area yet" in told
    assert "Too few yet to say." in told
    begun = practice("next", "kim", "--go", typed=("q",)).out
    assert begun.index("what the program does, and why") < begun.index("so far")


def test_learners_of_the_phones_are_listed_and_forgotten_by_themselves(practice) -> None:
    practice(*SET, "--seats", "kim")
    (home() / "journal.sqlite3").rename(
        home() / "served.sqlite3"
    )  # where a class on phones is kept, in the same events
    assert "kim" not in practice("results").out
    assert "kim: " in practice("results", "--phones").out
    assert practice("forget", "kim", "--phones", "--yes").code == 0
    assert "kim" not in practice("results", "--phones").out
