"""What can be typed beside an answer in a plain walk: why, what if, what else was seen, the minutes, a note."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cli.plain_walk import SKIP_HISTORY, WALK, number_of, stored
from cli.running import Diagnose

from diagnose.reason import events as ev


def test_w_says_why_and_asks_nothing_new(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed="\nw\n").out
    assert out.count("\nstep 1 ·") == 1
    assert "Nothing is known yet. The first answers will tell." in out
    assert "of the suspects" in diagnose(*WALK, typed="\n1\nw\n").out


@pytest.mark.parametrize("typed", ["!\n", "\n!\n"])
def test_the_something_is_wrong_key_works_before_any_step(diagnose: Diagnose, typed: str) -> None:
    asked, told = diagnose(*WALK, typed=f"{typed}7\n1\n").out.rsplit("> ", 4)[1::2]
    assert asked == "! Something is wrong: which is it?\n1  hot metal\nType a number, or Enter to go back.\n"
    assert told == "Hot metal\n1. Hold the burn under cool running water.\n"


def test_something_is_wrong_can_be_left_again_and_tells_nothing(diagnose: Diagnose) -> None:
    told = diagnose(*WALK, typed="\n!\n\n").out
    assert "cool running water" not in told.split("which is it?")[1]


def test_c_tells_all_the_hazards_in_full_those_of_the_step_first(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed=SKIP_HISTORY + "1\n1\nc\n").out
    assert "Warning: fuel is poison, for this step. Never suck" in out
    assert "It may be skipped." in diagnose(*WALK, typed="c\n").out


def test_what_is_none_of_the_keys_is_said_and_changes_nothing(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\n77\n\x1b[2J[/x]\nnonsense" + "x" * 10_000 + "\n").out
    assert "'77' is none of these." in out
    assert "\x1b" not in out
    assert len(out) < 4000
    assert len(stored(home)) == 2


def test_a_lists_what_else_can_be_answered_and_asks_it(diagnose: Diagnose, home: Path) -> None:
    listed = diagnose(*WALK, typed="\na\n").out
    pressure = number_of("tank pressure", listed)
    out = diagnose(*WALK, typed=f"\na\n{pressure}\n1\n").out
    assert "Does the tank hold pressure?" in out
    event = stored(home)[-1]
    assert isinstance(event, ev.Answered)
    assert event.check == "tank-holds-pressure"


def test_u_leaves_a_check_that_was_chosen_unasked(diagnose: Diagnose, home: Path) -> None:
    pressure = number_of("tank pressure", diagnose(*WALK, typed="\na\n").out)
    out = diagnose(*WALK, typed=f"\na\n{pressure}\nu\n").out
    assert out.count("\nstep 1 ·") == 3
    assert len(stored(home)) == 2


def test_a_takes_a_second_symptom_as_evidence(diagnose: Diagnose, home: Path, shipped: Path) -> None:
    idle = (shipped / "symptoms" / "idle.yaml").read_text("utf-8")
    second = idle.replace("revs-hang:", "idles-high:").replace("name: revs hang", "name: idles high")
    (shipped / "symptoms" / "second.yaml").write_text(second, "utf-8")
    listed = diagnose(*WALK, typed="\na\n").out
    also = number_of("it also: ", listed)
    diagnose(*WALK, typed=f"\na\n{also}\n")
    event = stored(home)[-1]
    assert isinstance(event, ev.Told)
    assert event.question == ev.ALSO


def test_t_sets_the_minutes_lists_what_is_owed_and_says_the_last_word(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\nt 8\n").out
    assert re.search(r"8 min to go. Close the car up in [0-9½]+ min, at \d\d:\d\d\.\nin this order:\n\w", out)
    assert re.search(r"\n→ Stay out: .+\n\w", out)
    assert re.search(r"\n. Race as it is: .+\n. Mend now: ", out)
    assert stored(home)[-1] == ev.Deadline(stored(home)[-1].at, 8.0)
    assert "Say how many minutes there are" in diagnose(*WALK, typed="\nt\n").out
    assert "Say it like 8, 8 min or 7:30" in diagnose(*WALK, typed="\nt soon\n").out
    assert "minutes can't be" in diagnose(*WALK, typed="\nt 9000\n").out


def test_t_no_takes_the_deadline_away(diagnose: Diagnose, home: Path) -> None:
    diagnose(*WALK, typed="\nt 8\nt no\n")
    assert stored(home)[-1] == ev.Deadline(stored(home)[-1].at, None)


def test_i_says_what_would_follow_each_answer_and_answers_nothing(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\ni\n").out
    assert re.search(r"\nit is held open \(\d+ in \d+\)\nit would then be: .+\n→ ", out)
    assert len(stored(home)) == 2


def test_a_question_mark_alone_explains_the_words_of_the_step(diagnose: Diagnose, home: Path, shipped: Path) -> None:
    (shipped / "words.yaml").write_text("format: 1\nbarrel: {say: It opens and shuts.}\n", "utf-8")
    out = diagnose(*WALK, typed="\n?\n").out
    assert "barrel: It opens and shuts." in out
    assert len(stored(home)) == 2


def test_one_key_tells_one_thing_at_a_time_and_everything_at_once_again(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\nf9\n\n\n\n1\nf9\n").out
    assert "One thing at a time from here. Nothing is lost." in out
    assert "Press Enter when it is done." in out or "step 1 · about" in out
    assert "Everything at once from here. Nothing is lost." in out
    assert [type(event) for event in stored(home)].count(ev.Answered) == 1


def test_a_with_words_finds_a_look_by_what_was_seen(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\na tank pressure bleeds away\n1\n2\n").out
    assert "Does the tank hold pressure?" in out
    event = stored(home)[-1]
    assert isinstance(event, ev.Answered)
    assert event.check == "tank-holds-pressure"


@pytest.mark.parametrize("typed", ["\nnote smells of rubber\n", "\na\nnote smells of rubber\n"])
def test_a_note_is_kept_with_the_outing_and_printed_on_its_sheet(diagnose: Diagnose, home: Path, typed: str) -> None:
    assert "Noted." in diagnose(*WALK, typed=typed).out
    assert stored(home)[-1] == ev.Noted(stored(home)[-1].at, "smells of rubber")
    sheet = home / "sheet.html"
    assert diagnose("paper", "outing", "last", "-o", str(sheet)).code == 0
    assert "smells of rubber" in sheet.read_text("utf-8")
