"""The rules of the texts, and what is reported of them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any, get_args

import pytest
from graph.small import SMALL, adjust, broken, edited, fault, look, routed, screw, small

from diagnose.graph import texts
from diagnose.graph.model import KINDS, Answer, Knowledge, Short, Steps, Text
from diagnose.graph.schema import definitions

PROSE_IS_CALLED = {get_args(kind)[1].description for kind in (Text, Short, Steps)}


def said(text: str) -> list[str]:
    """Return the numbers that the rule finds in a text."""
    known = edited("preparations", "let-it-cool", do=(text,))
    return [line.split("'")[1] for line in broken(known, "number-in-text")]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("Wait 5 min.", "5 min"),
        ("Wait five seconds.", "five seconds"),
        ("Wait for half a minute.", "half a minute"),
        ("Wait for a minute.", "a minute"),
        ("Leave a gap of 0.5 mm.", "0.5 mm"),
        ("Leave about a millimetre.", "a millimetre"),
        ("Leave a one-millimetre gap.", "one-millimetre"),
        ("Stop at 121 °C.", "121 °"),
        ("Stop at 250°.", "250°"),
        ("Use 16% nitro.", "16%"),
        ("Turn it one hour richer.", "one hour"),
        ("Turn it 1/12 turn.", "1/12 turn"),
        ("Turn it a twelfth of a turn.", "twelfth of a turn"),
        ("Turn it two whole turns.", "two whole turns"),
        ("It sags below 4.8 V.", "4.8 V"),
        ("It sags below five volts.", "five volts"),
        ("Do it three times.", "three times"),
        ("It keeps for six months.", "six months"),
        ("Stand ten or more metres away.", "ten or more metres"),
    ],
)
def test_a_number_with_its_unit_is_found(text: str, number: str) -> None:
    assert said(text) == [number]


@pytest.mark.parametrize(
    "text",
    [
        "Hold it with one hand.",
        "Do step 2 first.",
        "Wait a second.",
        "Go an hour further out, and mind the second hour.",
        "Give three short blips in the first minutes.",
        "Fill half a tank, and cover a quarter of the fins.",
        "Count one needle's turns, one at a time.",
        "Drive two laps at 3 in the afternoon.",
        "Wait <tries>, then <tries> more.",
        "Nobody knows how many times.",
    ],
)
def test_what_is_no_number_of_the_trade_passes(text: str) -> None:
    assert said(text) == []


def test_every_number_of_every_text_is_told_with_its_place() -> None:
    bad = Answer(say="bad", means="It sinks in 2 s or 3 s.", otherwise=0.03)
    answers = {**SMALL.checks["hold"].answers, "bad": bad}
    known = edited("checks", "hold", answers=answers, how=("Wait ten seconds.",))
    assert len(broken(known, "number-in-text")) == 3


def test_notes_of_facts_and_pictures_tell_their_numbers_themselves() -> None:
    tries = {"unit": "times", "provenance": "from memory", "value": 3, "note": "some say 5 times"}
    drawing = {"picture": "5 mm", "words": "The filter."}
    assert broken(small(facts={"tries": tries}, drawings={"filter": drawing}), "number-in-text") == []


def prose() -> Iterator[str]:
    """Yield every key of the files whose value is a text, a few words, or a list of them."""
    for kind in KINDS:
        if kind == "facts":
            continue
        for definition in definitions(kind)["$defs"].values():
            for name, part in definition.get("properties", {}).items():
                for one in (part, part.get("items") or {}):
                    if one.get("description") in PROSE_IS_CALLED:
                        yield name


def test_every_key_whose_value_people_read_is_looked_into() -> None:
    unread = {"people say"}  # a search finds an entry by it; no page shows it
    assert set(prose()) - unread == texts.PROSE


@pytest.mark.parametrize(
    ("known", "missing"),
    [
        (small(checks={"hold": look({"line-off": 0.9, "lid-leaks": 0.9}, tools=["rag or sponge"])}), ["rag", "sponge"]),
        (small(faults={"line-off": fault("tank", mend={"do": ["x"], "minutes": 1, "parts": ["hose"]})}), ["hose"]),
        (small(faults={"line-off": fault("plumbing")}), ["plumbing"]),
        (small(faults={"low-rich": screw("idle stop", "open")}), ["idle stop"]),
        (small(checks={"open-up": look({"seal-leaks": 0.9}, kind="strip", opens="the cellar")}), ["the cellar"]),
        (edited("preparations", "let-it-cool", tools=("bucket with water",)), ["bucket"]),
    ],
)
def test_tools_parts_areas_and_screws_have_a_word(known: Knowledge, missing: list[str]) -> None:
    told = broken(known, "word-missing")
    assert sorted(line.split("'")[1] for line in told) == sorted(missing)


def test_a_word_is_found_by_its_end_its_plural_and_its_other_names() -> None:
    tools = ["big Rags", "long nosed pliers", "haemostat"]
    hold = look({"line-off": 0.9, "lid-leaks": 0.9}, tools=tools)
    words = {"rag": {"say": "A rag."}, "pliers": {"say": "A tool."}, "clamp": {"say": "A clip.", "also": ["haemostat"]}}
    assert broken(small(checks={"hold": hold}, words=words), "word-missing") == []


def test_a_faults_name_has_a_part_that_is_explained() -> None:
    known = small(faults={"line-off": fault("tank", name="gizmos bent")})
    assert broken(known, "word-missing") == ["faults.yaml:701 words.yaml explains no word of 'gizmos bent'"]
    assert broken(small(words={"gizmo": {"say": "A thing."}}, known=known), "word-missing") == []


def test_long_texts_are_those_of_many_words_without_a_break() -> None:
    long, broken_up = "word " * 61, "word " * 40 + "\n" + "word " * 40
    known = edited("preparations", "let-it-cool", do=("word " * 60, long, broken_up))
    assert texts.long_texts(known) == [(61, ("preparations", "let-it-cool", "do", "1"))]


PLAIN = "Look at the line. Pull it at both ends. Bend it and look for a split. Put it back."
HARD = (
    "Considerable irregularities in carburation necessitate the immediate reconsideration "
    "of every preceding adjustment whatsoever."
)


def test_what_is_read_at_over_twelve_years_is_found_and_the_hardest_first() -> None:
    known = edited("preparations", "let-it-cool", do=(PLAIN, HARD, "Too short to tell."))
    late = texts.read_late(known)
    assert late is not None
    assert [path[-1] for _, path in late] == ["1"]
    both = texts.read_late(known, years=-10)
    assert both is not None
    assert [path[-1] for _, path in both] == ["1", "0"]


def test_the_age_is_that_of_the_formula() -> None:
    """13 words and 48 syllables in one sentence, counted by hand, by Kincaid's formula (1975, from memory)."""
    sentence = "Carburettor radiator detector " * 4 + "generator"
    known = edited("preparations", "let-it-cool", do=(sentence,))
    late = texts.read_late(known)
    assert late is not None
    grade = 0.39 * 13 + 11.8 * (4 * (4 + 4 + 3) + 4) / 13 - 15.59
    assert late[0][0] == pytest.approx(grade + 5, abs=0.1)


def test_without_the_library_no_reading_age_is_made_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "readability", None)
    assert texts.read_late(SMALL) is None


def test_the_formula_is_given_sentences_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[list[str]] = []

    def measured(sentences: list[str], lang: str) -> dict[str, Any]:
        given.append(sentences)
        return {"readability grades": {"Kincaid": 8.04}}

    monkeypatch.setitem(sys.modules, "readability", SimpleNamespace(getmeasures=measured))
    text = "Wait <tries>, until it's cool! Then: look at it, and turn it by hand."
    known = edited("preparations", "let-it-cool", do=(text,))
    assert texts.read_late(known) == [(13.0, ("preparations", "let-it-cool", "do", "0"))]
    assert given == [["Wait times until it's cool", "Then", "look at it and turn it by hand"]]


def test_a_step_of_a_route_is_a_text_too() -> None:
    known = routed({"leaner": adjust("low needle", "leaner", "strip", hear="Wait 5 s.")})
    assert broken(known, "number-in-text") == [
        "symptoms.yaml:13 '5 s' is a number of the trade: give it an entry in facts.yaml and quote it as <its-id>"
    ]
