"""What one screen of first-day mode says, on the shipped knowledge."""

from __future__ import annotations

import re

import pytest
from shipped import load

from diagnose.commands.printed import spoken
from diagnose.graph.model import Variant
from diagnose.graph.say import say, terms_in
from diagnose.pages.end import end_page
from diagnose.pages.first_day import MOST_WORDS, first_day_page, front, front_page, portions, terms, unclear_page
from diagnose.pages.parts import CautionPart, DrawingPart, Paragraph, Term
from diagnose.pages.ready import ready_page
from diagnose.reason import events as ev
from diagnose.reason.view import Verdict
from diagnose.reason.walk import Walk, begin

KNOWN = load()


def start(symptom: str) -> Walk:
    return begin(KNOWN, ev.Started(0, KNOWN.digest, symptom, "", Variant()))


@pytest.mark.parametrize("name", KNOWN.checks_for(Variant()))
def test_all_that_a_step_says_stands_on_one_screen_or_another_and_no_screen_says_much(name: str) -> None:
    walk = start("spins-but-never-fires")
    step, view = walk.ask(name), walk.view(0)
    told = portions(step, KNOWN)
    assert [line for one in told for line in one.does] == list(step.how)
    for one in told:
        page = first_day_page(walk, view, step, one)
        said = "\n".join(line for part in page.text for line in spoken(part))
        assert (step.ask in said) == one.last
        assert "%" not in said.replace("20 %", "")
        words = sum(len(line.split()) for line in one.does)
        assert words <= MOST_WORDS or len(one.does) == 1 or KNOWN.checks[name].remembered
        if step.engine != "off":
            assert (step.engine_line in said) == (one.number == 1)


def test_the_picture_comes_first_and_below_a_question() -> None:
    walk = start("spins-but-never-fires")
    step, view = walk.ask("plug-glows"), walk.view(0)
    does, asks = portions(step, KNOWN)
    assert isinstance(first_day_page(walk, view, step, does).text[0], DrawingPart)
    assert not any(isinstance(part, DrawingPart) for part in first_day_page(walk, view, step, asks).text)


def test_a_word_that_was_explained_is_not_explained_again() -> None:
    walk = start("spins-but-never-fires")
    step = walk.ask("plug-glows")
    first = portions(step, KNOWN)[0]
    assert "igniter" in terms(step, first, KNOWN)
    assert "igniter" not in terms(step, first, KNOWN, ["igniter"])


def test_a_hazard_says_how_bad_it_is_on_a_small_screen_too() -> None:
    walk = start("spins-but-never-fires")
    step, view = walk.ask("plug-glows"), walk.view(0)
    page = first_day_page(walk, view, step, portions(step, KNOWN)[0], warn="lit-coil")
    for text in (page.text, page.brief()):
        assert [part.head for part in text if isinstance(part, CautionPart)] == ["Warning: a glowing coil"]


def test_what_a_step_needs_stands_where_it_begins_and_nowhere_else() -> None:
    walk = start("spins-but-never-fires")
    step, view = walk.ask("plug-glows"), walk.view(0)
    first, last = (first_day_page(walk, view, step, one).does for one in portions(step, KNOWN))
    needs = Paragraph("You need: plug spanner, igniter")
    assert needs in first
    assert needs not in last


def test_what_nearly_everybody_knows_is_explained_only_to_who_asks() -> None:
    walk = start("spins-but-never-fires")
    step = walk.ask("fuel-age")
    assert terms(step, portions(step, KNOWN)[0], KNOWN) == ()
    assert Term("bottle", say(KNOWN.words["bottle"].say, KNOWN)) in unclear_page(walk, step)


@pytest.mark.parametrize("name", ["turns-freely", "close-and-count", "needle-count", "turned-by-hand-bare"])
def test_never_by_force_stands_on_the_screen_that_says_turn(name: str) -> None:
    lines = KNOWN.checks[name].how if name in KNOWN.checks else KNOWN.preparations[name].do
    turns = next(line for line in lines if re.search(r"[Tt]urn (the flywheel|one needle|it clockwise)", line))
    assert re.search(r"[Nn]ever (force|press|lever)", turns)


def test_what_is_not_understood_is_told_with_every_word() -> None:
    walk = start("spins-but-never-fires")
    said = "\n".join(line for part in unclear_page(walk, walk.ask("plug-glows")) for line in spoken(part))
    assert "A dead plug lights nothing" in said
    assert "igniter: " in said
    assert "On a flat igniter a good plug looks dead." in said


def test_the_front_lists_what_the_door_leads_to_and_ends_with_i_dont_know_and_everything() -> None:
    assert [one.id for one in front(KNOWN)] == [
        "will-not-turn-over",
        "spins-but-never-fires",
        "dies-as-the-igniter-comes-off",
        "pops-but-will-not-catch",
        "other",
        "will-not-start",
        "whole",
    ]
    said = " ".join(line for part in front_page(Variant()) for line in spoken(part))
    assert "have an adult beside you" in said


@pytest.mark.parametrize(
    ("check", "word"),
    [
        ("bottle-in-a-jar", "stand"),  # it stands while you look at something else
        ("bottle-in-a-jar", "thread"),  # threads at the bottom
        ("pressure-line-dry", "hang"),  # the line hangs lower
        ("press-and-pinch", "pinch test"),  # two fingers, and no engine that idles
        ("range-walk", "walk"),
        ("plug-glows", "dry"),
        ("leads-wiggled", "glow plug"),  # what joins a radio's lead is a connector
        ("coil-by-eye", "bead"),  # tiny beads
        ("way-of-stopping", "brake pad"),  # a pad of rag
        ("one-squeeze", "barrel"),  # it slides past the top
        ("fuel-age", "answer"),
        ("cold-air", "air"),
    ],
)
def test_a_word_that_means_something_else_here_is_not_explained_as_the_trades(check: str, word: str) -> None:
    made = KNOWN.checks[check]
    read = " ".join((*made.how, *(answer.say for answer in made.answers.values())))
    assert word not in terms_in(say(read, KNOWN), KNOWN.words)


def test_a_word_with_two_meanings_is_explained_with_both() -> None:
    assert "connecting rod" not in terms_in("Then the rod is set wrongly.", KNOWN.words)
    assert "The throttle's comes from the servo" in KNOWN.words["rod"].say
    assert "The igniter's holds the plug" in KNOWN.words["clip"].say


def test_before_it_runs_it_is_told_where_and_with_what_on_before_the_first_of_the_three_is_asked() -> None:
    said = [line for part in ready_page("igniter").text for line in spoken(part)]
    told = next(line for line in said if "Outdoors only" in line)
    assert said.index(told) < said.index("Where is the igniter?")
    assert "Safety glasses and ear muffs on." in told


@pytest.mark.parametrize(("turned", "told"), [(0, False), (1, True)])
def test_a_good_tune_is_spoken_of_only_where_a_screw_was_turned(turned: int, told: bool) -> None:
    walk = start("spins-but-never-fires")
    verdict = Verdict("cured", "the mend cured it", ("plug-coil-broken",), turned)
    said = " ".join(line for part in end_page(walk.view(0), verdict, KNOWN, ()) for line in spoken(part))
    assert ("This is the last good tune now." in said) == told
