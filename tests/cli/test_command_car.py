"""``diagnose car`` and ``diagnose paper car``: the page, as JSON, as CSV and on paper."""

from __future__ import annotations

import csv
import io
from datetime import datetime
from pathlib import Path

import html5lib
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
