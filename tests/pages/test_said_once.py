"""A sentence has one place, and every front end renders it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import diagnose
from diagnose.commands.printed import spoken
from diagnose.pages import parts
from diagnose.pages.asks import asks
from diagnose.pages.conditions import air_and_fuel
from diagnose.pages.going_back import going_back
from diagnose.pages.ledger import done
from diagnose.pages.own_slope import own_slope
from diagnose.pages.stand import stand
from diagnose.pages.window import window
from diagnose.screens.widgets.rendered import rendered
from diagnose.tune import back
from diagnose.tune.air import Air
from diagnose.tune.drift import advise, explain
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions, Span
from diagnose.tune.needles import Baseline, Good, Turned, closed, fold
from diagnose.tune.slope import Logged, learn
from diagnose.tune.window import Offer, Window

ROOMS = Path(diagnose.__file__).parent
SHORT = 30
"""Letters of what may stand in two places: a few words are no sentence."""
MILD, HOT = Conditions(Air(20, 101_325, 0.5), Blend(0.16, 0.10)), Conditions(Air(30, 101_325, 0.5), Blend(0.25, 0.10))
LEDGER = fold(
    (
        Baseline(0, {"high needle": closed(36), "low needle": closed(14)}),
        Good(1, MILD),
        Turned(2, "high needle", "leaner", 1),
    )
)
FRONT_END = (
    "u take back, a what you saw, t 8 for eight minutes to go, f9 one by one, ! something is wrong, q leave",  # keys
    "w why, i what if, c hazards, ? words, {}",
    "l what you did so far, ! something is wrong, q leave",
    "{} {} leaves it open.",
    ", with ? when not quite sure",
    "the number that you read, in {}{}, or a letter{}",
    "s  [{}] not quite sure",
    "'{}' is none of these.",  # what was typed
    "{}: {} µs can't be; it goes from {} to {} µs",
    "going on with the walk of {}",  # an id of the journal, for who types it
    "; a problem ends in the name of its rule",  # errors of the knowledge, as those that `graph` finds
    "'{}' is the truth of no worked case",
    "a worked case of the knowledge describes its engine in place: {needles: 3, starter: box}",
)
"""What only one front end can say: its keys, what was typed there, its signs; and what is wrong with a file."""
DRAWN = parts.Dials, parts.Trend, parts.Fit


def texts(code: str, *, refusals: bool = True) -> Iterator[str]:
    """Yield the texts in code, what is filled in as ``{}``. Docstrings, and the help of commands, are none.

    Without `refusals` what is raised is none either.
    """
    tree = ast.parse(code)
    beside = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            beside |= {id(part) for part in node.values}
        elif isinstance(node, ast.keyword) and node.arg == "help":
            beside.add(id(node.value))
        elif isinstance(node, ast.Raise) and not refusals:
            beside |= {id(part) for part in ast.walk(node)}
    for node in ast.walk(tree):
        if id(node) in beside:
            continue
        if isinstance(node, ast.JoinedStr):
            yield "".join(part.value if isinstance(part, ast.Constant) else "{}" for part in node.values).strip()  # type: ignore[misc]
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value.strip()


def sentences(text: str) -> list[str]:
    """Return the sentences of a text that are more than a few words."""
    found = (one.strip(" .:;,?!{}").casefold() for one in re.split(r"(?<=[.?!]) |\{\}", text))
    return [one for one in found if len(one) >= SHORT and " " in one]


def said_twice(files: dict[str, str]) -> list[str]:
    """Return the sentences of a page that stand in another file too; `files` are code by its place."""
    where: dict[str, set[str]] = {}
    for place, code in files.items():
        for one in (one for text in texts(code) for one in sentences(text)):
            where.setdefault(one, set()).add(place)
    pages = {one: places for one, places in where.items() if any(place.startswith("pages") for place in places)}
    return [one for one, places in pages.items() if len(places) > 1]


def said_outside(code: str) -> list[str]:
    """Return the sentences in the code of a front end: five words or more, or a few that end like one.

    A front end may name its own keys and commands, and refuse what was typed.
    """
    return [
        text
        for text in texts(code, refusals=False)
        if (len(text.split()) >= 5 or (len(text.split()) >= 3 and text[-1] in ".?!"))
        and not re.search(r"\bdiagnose [a-z]|--[a-z]|\b(Type|Press|press|esc|[Ee]nter)\b", text)
        and text not in FRONT_END
    ]


CODE = {str(file.relative_to(ROOMS)): file.read_text(encoding="utf-8") for file in sorted(ROOMS.rglob("*.py"))}


def test_no_sentence_of_a_page_stands_in_a_second_file() -> None:
    own = [one for place in CODE if place.startswith("pages") for text in texts(CODE[place]) for one in sentences(text)]
    assert len(own) > 100
    assert said_twice(CODE) == []


def test_a_sentence_in_a_second_file_is_found() -> None:
    page = {"pages/a.py": 'A = f"{x} is warm. Never turn a needle while it is cold."'}
    for text in ('"never turn a needle while it is cold"', 'f"{y}? Never turn a needle while it is cold. So there."'):
        assert said_twice({**page, "tune/b.py": f"B = {text}"}) == ["never turn a needle while it is cold"]
        assert said_twice({"tune/a.py": page["pages/a.py"], "tune/b.py": f"B = {text}"}) == []
    assert said_twice({**page, "tune/b.py": 'B = "Never turn a needle while it is warm."'}) == []


@pytest.mark.parametrize("place", [one for one in CODE if one.startswith(("screens", "commands"))])
def test_no_sentence_is_written_in_a_front_end(place: str) -> None:
    assert said_outside(CODE[place]) == []


def test_a_sentence_in_a_front_end_is_found() -> None:
    assert said_outside('say("Nothing has been typed.")') == ["Nothing has been typed."]
    assert said_outside('say(f"{x} leaves it just as it is")') == ["{} leaves it just as it is"]
    for fine in (
        'raise E("That is none of these at all.")',
        'say("Type a number, or Enter for none.")',
        '"""It is so."""',
    ):
        assert said_outside(fine) == []


def pages() -> dict[str, parts.Page]:
    good = LEDGER.last_good
    assert good is not None
    found = explain(-1, good, HOT, 3600.0, offset=0)
    return {
        "stand": stand(LEDGER, 3, "Write them down."),
        "ledger": done(LEDGER, 30),
        "air and fuel": air_and_fuel(HOT),
        "asks": asks(found, advise(found, Span(82, 104)), "Go back."),
        "going back": going_back(back.going_back(LEDGER, HOT), HOT),
        "window": window(Window(82, 104), Offer((), None, "None is written down yet.")),
        "no slope": own_slope(LEDGER, None),
    }


@pytest.mark.parametrize("name", list(pages()))
@pytest.mark.parametrize("width", [40, 60, 100])
def test_what_is_said_in_plain_lines_is_on_the_screen_too(name: str, width: int) -> None:
    page = pages()[name]
    drawn = " ".join(rendered(page, width).plain.split())
    said = [line for part in page if not isinstance(part, DRAWN) for line in spoken(part)]
    assert any(said) or name == "stand"
    assert [line for line in said if " ".join(line.split()) not in drawn] == []


def test_a_screw_is_said_in_words_above_its_face_or_below_it_and_always_in_plain_lines() -> None:
    [dials, *_] = stand(LEDGER, 2, "")
    words = "High needle: 35 hours (2 turns and 11 hours) out from gently closed. Last good tune: 36 hours."
    assert isinstance(dials, parts.Dials)
    assert any(line.startswith(words) for line in spoken(dials))
    narrow, wide = (rendered((dials,), width).plain for width in (63, 100))
    assert words.split(" out ")[0] in narrow
    assert narrow.index("High needle: 35 hours") < narrow.index("●")
    assert "High needle: 35 hours" not in wide
    assert "g 36 hours" in wide
    assert wide.index("●") < wide.index("35 hours")
    assert dials.legend not in " ".join(spoken(dials))  # there is no face that it could explain


def test_plots_are_silent_in_plain_lines_and_have_a_legend_only_where_they_are_drawn() -> None:
    [trend] = [part for part in done(LEDGER, 30) if isinstance(part, parts.Trend)]
    tunes = tuple(Logged(day, air, turns) for day, air, turns in ((0, 1.10, 2.8), (9e4, 1.15, 2.9), (2e5, 1.20, 3.0)))
    fit = parts.Fit(tunes, learn(tunes), "● a good tune")
    assert spoken(trend) == spoken(fit) == []
    assert "┼" in rendered((trend,), 60).plain
    assert rendered((fit,), 60).plain.endswith("\n● a good tune")
    assert rendered((parts.Fit(tunes[:1], learn(tunes), "● a good tune"),), 60).plain == ""


def test_belief_is_a_picture_on_the_screen_and_a_table_in_plain_lines() -> None:
    page = parts.Beliefs((parts.Belief("filter", True, (0.8, 0.9), 2), parts.Belief("plug", False, (0.1, 0.05))))
    assert spoken(page) == ["step  filter *  plug", "1     80%       10%", "2     90%       5%"]
    drawn = rendered((page,), 60).plain.split("\n")
    assert drawn[1].split() == ["filter", "*", "▓✓"]
    assert drawn[2].split() == ["plug", "░·"]


def test_a_page_that_ends_in_a_gap_is_printed_without_it(capsys: pytest.CaptureFixture[str]) -> None:
    from diagnose.commands.printed import show

    show((parts.Heading("the air"), parts.Line("thin"), parts.Gap()))
    assert capsys.readouterr().out == "the air\n· thin\n"
