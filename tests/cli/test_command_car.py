"""``diagnose car`` and ``diagnose paper car``: the page, as JSON, as CSV and on paper."""

from __future__ import annotations

import csv
import io
from datetime import datetime
from pathlib import Path

import clevercsv
import html5lib
import pytest
from cli.running import Diagnose
from cli.tuned import BLUE


def test_a_note_and_a_walk_come_back_as_page_json_and_csv(blue: Diagnose) -> None:
    blue("walk", "revs-hang", "--plain", "--engine", BLUE, typed="\n1\nq\n")
    told = blue("car", BLUE, "--note", "new bell, 14 teeth")
    assert "new bell, 14 teeth" in told.out
    assert "not finished" in told.out
    found = blue("car", BLUE, "--json").json
    assert found["notes"][0]["text"] == "new bell, 14 teeth"
    assert found["outings"][0]["outcome"] == "open"
    rows = csv.DictReader(io.StringIO(blue("car", BLUE, "--csv").out))
    (row,) = (one for one in rows if one["kind"] == "outing")
    assert row["symptom"] == "revs-hang"
    assert datetime.fromisoformat(row["at"]).timestamp() == int(found["outings"][0]["begun"])


def test_the_page_prints_and_no_word_of_a_person_becomes_markup(blue: Diagnose, tmp_path: Path) -> None:
    blue("car", BLUE, "--note", "<script>alert(1)</script>")
    assert blue("paper", "car", BLUE, "-o", tmp_path / "car.html").code == 0
    text = (tmp_path / "car.html").read_text("utf-8")
    html5lib.HTMLParser(strict=True).parse(text)
    assert "<script" not in text
    assert "&lt;script&gt;" in text


def test_a_car_that_is_not_there_is_refused_with_the_nearest(blue: Diagnose) -> None:
    found = blue("car", "blue trugy")
    assert found.code == 2
    assert f"did you mean '{BLUE}'" in found.err


def test_the_csv_says_the_same_in_another_reader(blue: Diagnose) -> None:
    blue("needles", BLUE, "set", "high needle", "38")
    blue("car", BLUE, "--note", '=1+1; "quoted", with a comma')
    blue("walk", "revs-hang", "--plain", "--engine", BLUE, typed="\n1\nq\n")
    told = blue("car", BLUE, "--json").json
    text = io.StringIO(blue("car", BLUE, "--csv").out, newline="")
    head, *body = clevercsv.reader(text, clevercsv.dialect.SimpleDialect(",", '"', ""))  # a parser of its own, in C
    rows = [dict(zip(head, row, strict=True)) for row in body]
    assert [row["text"] for row in rows if row["kind"] == "note"] == [told["notes"][0]["text"]]
    stands = {row["screw"]: float(row["hours"]) for row in rows if row["kind"] == "now"}
    assert stands == {screw: depth["hours"] for screw, depth in told["now"].items()}
    assert [row["id"] for row in rows if row["kind"] == "outing"] == [one["id"] for one in told["outings"]]
    assert [row["id"] for row in rows if row["kind"] == "owed"] == [one["check"] for one in told["owed"]] != []
    assert sum(row["kind"] == "good" for row in rows) == sum(one["entry"] == "good" for one in told["ledger"])


def test_entries_are_numbered_put_right_and_taken_back(blue: Diagnose) -> None:
    blue("needles", BLUE, "good", "--head", "98C", "--plug", "medium")
    blue("car", BLUE, "--note", "new bel")
    listed = blue("car", BLUE, "--entries").out.splitlines()
    assert "note: new bel" in listed[0]
    assert "marked good: head 98 °C" in listed[1]
    assert blue("car", BLUE, "--put-right", "1", "--as", "new bell").out == "Put right.\n"
    assert blue("car", BLUE, "--put-right", "2").out == "head 98 C, plug medium\n"
    assert blue("car", BLUE, "--put-right", "2", "--as", "head 104 C, plug cold").code == 0
    shown = blue("car", BLUE).out
    assert "new bell" in shown
    assert "head 104 °C (219 °F), plug cold" in shown
    assert "Taken back." in blue("car", BLUE, "--undo", "2").out
    assert "plug cold" not in blue("car", BLUE).out


@pytest.mark.parametrize(
    ("options", "why"),
    [
        (("--undo", "99"), "there is no entry 99"),
        (("--undo", "0"), "there is no entry 0"),
        (("--put-right", "1", "--as", "third needle 3"), "there is no screw 'third needle 3'"),
        (("--as", "x"), "--as goes with --put-right"),
        (("--json", "--csv"), "one at a time"),
        (("--note", " "), "the note is empty"),
    ],
)
def test_what_can_t_be_done_with_an_entry_is_refused(blue: Diagnose, options: tuple[str, ...], why: str) -> None:
    blue("needles", BLUE, "set", "high needle", "38")
    before = blue("car", BLUE, "--json").json
    told = blue("car", BLUE, *options)
    assert told.code == 2
    assert why in told.err
    assert blue("car", BLUE, "--json").json == before
