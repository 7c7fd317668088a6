from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.graph.places import parse
from diagnose.graph.problem import Place


def rules(text: str) -> list[str]:
    return [f"{problem.place.line}:{problem.place.column} {problem.rule}" for problem in parse("f.yaml", text).problems]


def test_a_plain_file_is_read_without_a_word():
    read = parse("f.yaml", "a: {b: [x, 2], c: true}\nd: 1.5\n")
    assert read.data == {"a": {"b": ["x", 2], "c": True}, "d": 1.5}
    assert not read.problems


def test_each_key_and_each_item_has_its_place():
    places = parse("f.yaml", "a:\n  b: [x, y]\n").places
    assert places["a", "b"] == Place("f.yaml", 2, 3)
    assert places["a", "b", "1"] == Place("f.yaml", 2, 10)


@pytest.mark.parametrize(
    "word", ["yes", "no", "on", "off", "y", "n", "0300", "1_000", "12:30", ".inf", "1e999", "0x1f"]
)
def test_a_word_that_old_yaml_would_change_stays_text(word):
    assert parse("f.yaml", f"a: {word}").data == {"a": word}


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("true", True),
        ("False", False),
        ("7", 7),
        ("-3", -3),
        (".5", 0.5),
        ("1e3", 1000.0),
        ("'7'", "7"),
        ("'true'", "true"),
    ],
)
def test_numbers_and_truths_are_read_unless_quoted(written, meant):
    found = parse("f.yaml", f"a: {written}").data
    assert found == {"a": meant}
    assert type(found["a"]) is type(meant)


@pytest.mark.parametrize("key", ["1", "true", "no", "null", "1.5"])
def test_a_key_is_always_text(key):
    assert parse("f.yaml", f"{key}: x").data == {key: "x"}


@pytest.mark.parametrize("nothing", ["", " ~", " null", " # nothing"])
def test_an_empty_value_is_a_problem(nothing):
    assert rules(f"a:{nothing}\nb: x") in (["1:3 empty-value"], ["1:4 empty-value"])


def test_a_comma_in_an_unquoted_text_is_explained():
    assert "quotes" in parse("f.yaml", "a: {say: first, it dies, b: x}").problems[0].what


def test_a_key_that_is_set_twice_is_a_problem_and_the_first_value_stays():
    assert rules("a: 1\nb: 2\na: 3") == ["3:1 duplicate-key"]
    assert parse("f.yaml", "a: 1\na: 3").data == {"a": 1}


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("a: &x y", "1:4 anchor"),
        ("a: &x {b: c}", "1:4 anchor"),
        ("a: *x", "1:4 alias"),
        ("a: !!int 3", "1:4 tag"),
        ("a: !python/object:os.system {b: c}", "1:4 tag"),
        ("[a]: b", "1:1 key-not-text"),
        ("{a: b}: c", "1:1 key-not-text"),
        ("? \n: b", "1:2 key-not-text"),
        ("&k a: b", "1:1 key-not-text"),
        ("a: 1\n---\nb: 2", "2:1 one-document"),
    ],
)
def test_the_parts_of_yaml_that_are_not_used_are_refused(text, rule):
    assert rules(text)[0] == rule


@pytest.mark.parametrize(
    ("text", "where", "hint"),
    [
        ("a: 'open", "1:4", "never closed"),
        ("a: b: c", "1:5", "quotes"),
        ("a:\n\t- b", "2:1", "a tab sets this line in"),
        ("a: [1, 2", "1:4", "not closed"),
        ("a: @b", "1:4", "quotes"),
        ("%NOT\n---\na: b", "1:5", "not YAML"),
    ],
)
def test_broken_yaml_is_told_with_its_place_in_plain_words(text, where, hint):
    (problem,) = parse("f.yaml", text).problems
    assert f"{problem.place.line}:{problem.place.column}" == where
    assert problem.rule == "syntax"
    assert hint in problem.what


@pytest.mark.parametrize("deep", ["[" * 5000, "- " * 200_000, "{a: " * 5000])
def test_a_deeply_nested_file_is_refused_at_its_twenty_first_level(deep):
    assert [problem.rule for problem in parse("f.yaml", deep).problems] == ["too-deep"]


def test_twenty_levels_are_not_too_deep():
    assert not parse("f.yaml", "[" * 20 + "x" + "]" * 20).problems
    assert rules("[" * 21 + "x" + "]" * 21) == ["1:21 too-deep"]


@pytest.mark.parametrize("mark", ["\x00", "\x07", "\x1b", "\x7f", "\x9b", "\u2028", "\ud800", "\ufeff"])
def test_a_control_character_is_refused_where_it_stands(mark):
    assert rules(f"a: b\nc: d{mark}e") == ["2:5 hostile-text"]


@pytest.mark.parametrize("mark", ["\u202e", "\u2066", "\u200f", "\u061c"])
def test_a_mark_that_turns_the_writing_direction_is_refused_in_comments_too(mark):
    assert rules(f"a: b # {mark}") == ["1:8 hostile-text"]


@pytest.mark.parametrize("escape", ["\\e[2J", "\\u202e", "\\r", "\\0", "\\a"])
def test_a_hostile_character_written_as_an_escape_is_refused(escape):
    assert rules(f'a: "x{escape}y"') == ["1:4 hostile-text"]
    assert "1:1 hostile-text" in rules(f'"x{escape}y": a')


def test_markup_in_a_text_is_only_text():
    assert parse("f.yaml", "a: '[/x] [bold]press [on] switch'").data == {"a": "[/x] [bold]press [on] switch"}


def test_a_byte_order_mark_at_the_start_is_no_harm():
    assert parse("f.yaml", "\ufeffa: b").data == {"a": "b"}


@given(st.text(alphabet=st.characters(codec=None), max_size=60))
def test_no_text_at_all_crashes_the_reader(text):
    parse("f.yaml", text)


@given(st.text(alphabet="ab:[]{}-?!&*|>'\"%@`# \n\t,~1.\\", max_size=40))
def test_no_heap_of_yaml_signs_crashes_the_reader(text):
    read = parse("f.yaml", text)
    assert all(problem.place.line >= 1 and problem.place.column >= 1 for problem in read.problems)
