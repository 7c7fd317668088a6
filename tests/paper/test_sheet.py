"""Paper: every part reaches it, no text becomes markup, and it is one whole file that fetches nothing."""

from __future__ import annotations

import re
from itertools import cycle, groupby
from pathlib import Path
from typing import get_args

import html5lib
import pytest
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Variant
from diagnose.pages import parts
from diagnose.pages.card import GUARDS, card
from diagnose.pages.hazards import emergency
from diagnose.pages.preparation import ticked
from diagnose.paper.hands import beside, hand, sweep
from diagnose.paper.sheet import DEFER, Sheet, html, write
from diagnose.reason import events as ev
from diagnose.reason.view import Turn
from diagnose.reason.walk import begin

KNOWLEDGE = load()
HOSTILE = "<script>alert(1)</script> & \"'"


def one_of_each(*words: str) -> tuple[parts.Part, ...]:
    """Return a part of each kind that says something, its texts taken from `words` in turn."""
    said = cycle(words)

    def say() -> str:
        return next(said)

    def answer() -> parts.AnswerPart:
        return parts.AnswerPart("id", say(), say())

    return (
        parts.Heading(say()),
        parts.Paragraph(say()),
        parts.Line(say(), say()),
        parts.HowTo(say(), 3),
        parts.CautionPart(say(), say()),
        answer(),
        parts.Term(say(), say()),
        parts.DrawingPart(say(), say()),
        parts.Faces((Turn("low needle", "leaner", 1.0),), (say(),)),
        parts.Dials((parts.Dial(say(), 4.0, ((2.0, say()),), say(), (say(),)),), "for screens alone", say()),
        parts.Bar(say(), 0.5, say()),
        parts.Beliefs((parts.Belief(say(), True, (0.25,)),)),
        parts.Table(((say(),), (say(),)), head=True),
        parts.Tree(say(), (parts.Line(say(), say()),)),
        parts.Timed(say(), say()),
        parts.Field("id", say(), say(), say()),
        parts.PickPart("id", say(), (answer(),)),
    )


WORDS = tuple(f"word{number}" for number in range(100))
SILENT = {parts.Gap, parts.Trend, parts.Fit}
"""A plot's matter is said in words elsewhere."""


def sheet(*page: parts.Part, title: str = "a sheet") -> str:
    return html(Sheet(title, page, "made today"))


def parsed(text: str) -> str:
    """Parse a document as strictly as the standard has it, and return its text."""
    parser = html5lib.HTMLParser(strict=True)
    tree = parser.parse(text)
    return " ".join("".join(tree.itertext()).split())


def test_every_kind_of_part_reaches_the_paper() -> None:
    kinds = {kind for group in get_args(parts.Part) for kind in (get_args(group) or (group,))}
    page = one_of_each(*WORDS)
    assert {type(part) for part in page} == kinds - SILENT
    used = set(re.findall(r"word\d+", repr(page)))
    assert len(used) > 30
    # what a face says is heard and not printed twice
    assert used == set(re.findall(r"[Ww]ord\d+", sheet(*page).replace("Word", "word")))


def test_no_text_becomes_markup() -> None:
    made = sheet(*one_of_each(HOSTILE), title=HOSTILE)
    parsed(made)
    assert "<script" not in made
    assert made.count("&lt;script&gt;") > 30


def test_a_sheet_needs_nothing_else_and_runs_nothing() -> None:
    made = sheet(*one_of_each(*WORDS))
    for fetches in ("<script", "<link", "<img", "src=", "href=", "http:", "https:", "url(", "@import"):
        assert fetches not in made
    assert DEFER.replace("'", "&#39;") in made


def test_hours_stand_where_a_clock_has_them() -> None:
    """The face of a clock: 12 up, 3 right, 6 down, 9 left; and an arc to one hour is a twelfth of the way round."""
    assert [hand(hour, 10) for hour in (12, 3, 6, 9)] == ["-0.0,-10.0", "10.0,-0.0", "0.0,10.0", "-10.0,0.0"]
    assert sweep(1, 10).split()[-1] == hand(1, 10) == "5.0,-8.7"
    assert sweep(-1, 10).split()[-1] == hand(11, 10) == "-5.0,-8.7"


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "there").write_text("mine")
    (tmp_path / "folder").mkdir()
    for name, said in (("there", "exists already"), ("folder", "is a folder"), ("no/where", "can't be written")):
        with pytest.raises(DiagnoseError, match=said):
            write("text", tmp_path / name)
    assert (tmp_path / "there").read_text() == "mine"


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
def test_a_card_ticks_each_look_that_is_owed_in_the_order_of_the_walk(symptom: str) -> None:
    walk = begin(KNOWLEDGE, ev.Started(0, "", symptom, "", Variant()))
    owed = [line.name.lower() for line in walk.view(0).owed]
    ticks = [part.text.split(":")[0].lower() for part in card(walk, 0) if isinstance(part, parts.Timed)]
    assert ticks == owed
    parsed(sheet(*card(walk, 0)))


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
def test_a_card_begins_with_the_guards_and_has_chunks_below_ten_each_line_with_its_state(symptom: str) -> None:
    """people.md 1 to 3: killer items first, the wanted state, fewer than ten a pause."""
    walk = begin(KNOWLEDGE, ev.Started(0, "", symptom, "", Variant()))
    page = card(walk, 0)
    chunks = [list(group) for timed, group in groupby(page, lambda part: isinstance(part, parts.Timed)) if timed]
    assert chunks
    assert all(len(chunk) < 10 for chunk in chunks)
    guards = {walk.scope.checks[name].name.lower() for name in walk.scope.guards}
    assert {line.text.split(":")[0].lower() for line in chunks[0] if isinstance(line, parts.Timed)} == guards
    assert all(part.text.partition(": ")[2] for part in page if isinstance(part, parts.Timed))
    assert page.index(parts.Paragraph(GUARDS, "strong")) < page.index(chunks[1][0] if chunks[1:] else page[-1])


def test_a_card_names_its_hazards_first_and_tells_each_in_full_the_worst_first() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0, "", "loads-up-at-idle", "", Variant()))
    page = card(walk, 0)
    told = [part for part in page if isinstance(part, parts.CautionPart)]
    assert {part.level for part in told} == {"warning", "caution"}
    assert [part.level for part in told] == sorted((part.level for part in told), key=["warning", "caution"].index)
    named = [line for line in page[:4] if isinstance(line, parts.Line)]
    assert [line.mark for line in named] == ["Warning:", "Caution:"]
    assert " · ".join(line.text for line in named) == " · ".join(part.name for part in told)
    assert all(part.text for part in told)


def test_what_is_ticked_is_counted_and_the_needle_comes_after_it() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0, "", "loads-up-at-idle", "", Variant()))
    page = card(walk, 0)
    count = next(part for part in page if isinstance(part, parts.Field))
    assert count.text == f"Ticked, of {len(walk.view(0).owed)}"
    boxes = [part.id for part in page if isinstance(part, parts.AnswerPart)]
    assert boxes == ["race", "mend now", "stay out", "ticked", "head", "signs"]


def test_the_emergency_page_has_every_step_numbered_and_room_for_the_place() -> None:
    page = emergency(KNOWLEDGE)
    steps = [len(caution.now) for caution in KNOWLEDGE.cautions.values() if caution.now]
    assert [part.number for part in page if isinstance(part, parts.HowTo)] == [
        number for count in steps for number in range(1, count + 1)
    ]
    assert next(part.text for part in page if isinstance(part, parts.Field)) == "Emergency number"


@pytest.mark.parametrize(
    ("marks", "signs"),
    [
        (((14.0, "g"), (14.0, "b")), [(10.0, "gb")]),
        (((36.0, "g"), (0.2, "b")), [(0.0, "gb")]),
        (((15.0, "g"), (14.0, "b")), [(9.0, "g"), (10.0, "b")]),
    ],
)
def test_signs_of_one_hour_stand_side_by_side(
    marks: tuple[tuple[float, str], ...], signs: list[tuple[float, str]]
) -> None:
    """A screw goes out anticlockwise: 14 hours out is at 10, 36 at 12, 15 at 9."""
    assert beside(marks) == signs


@pytest.mark.parametrize("name", KNOWLEDGE.preparations)
def test_a_preparation_has_a_box_for_each_thing_that_is_done(name: str) -> None:
    page = ticked(KNOWLEDGE, name)
    assert sum(isinstance(part, parts.Timed) for part in page) == len(KNOWLEDGE.preparations[name].do)
    parsed(sheet(*page))
