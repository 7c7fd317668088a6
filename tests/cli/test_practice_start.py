"""``diagnose practice`` for learners: lessons, a practice in plain lines, and results."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from cli.running import Outcome
from shipped import load, proven_already

from diagnose.cli import cli, guarded
from diagnose.graph.wording import capital
from diagnose.pages.debrief import BEST, OWN
from diagnose.record.journal import Journal
from diagnose.workshop.learners import PREFIX, nickname, practices, results

KNOWLEDGE = load()


@pytest.fixture
def practice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    """Run ``diagnose practice`` with these arguments; `typed` comes in line by line."""
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))
    proven_already(monkeypatch)

    def run(*arguments: str, typed: tuple[str, ...] = ()) -> Outcome:
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in typed)))
        code = guarded(lambda: cli.main(["practice", *arguments], prog_name="diagnose", standalone_mode=False))
        return Outcome(code, *capsys.readouterr())

    return run


def journal(tmp_path: Path) -> Journal:
    return Journal.open(tmp_path / "journal.sqlite3")


START = ("start", "--plain", "--lesson", "start-it-safely")
GIVE_UP = "9"


def test_the_lessons_are_listed_in_their_order(practice) -> None:
    assert [one["id"] for one in practice("lessons", "--json").json] == list(KNOWLEDGE.lessons)
    assert "better, and not gone" in practice("lessons").out


def test_a_plain_practice_is_looked_at_mended_and_tried_to_its_end(practice, tmp_path: Path) -> None:
    typed = ("1", "1", "1", "1", "1", "1", "2", "1", GIVE_UP, "1", "1")
    right = KNOWLEDGE.lessons["start-it-safely"].question
    asked = practice(*START, typed=typed).out.splitlines()
    number = next(line.split()[0] for line in asked if line.endswith(right.answers[right.right].say))
    found = practice(*START, "--learner", "kim", typed=(*typed, number, "Look before you start it.", "1"))
    assert found.code == 0
    assert "Lesson: start it safely" in found.out
    assert "What do you expect to see?" in found.out
    assert "You see: " in found.out
    assert "the first wasteful step" in found.out
    assert "belief over time\nstep  " in found.out
    assert "✓ yes: " in found.out
    assert "Kept for kim" in found.out
    assert found.out.index(BEST) < found.out.index("\nwhat it was\n") < found.out.index(OWN)
    with journal(tmp_path) as opened:
        kept = results(opened, "kim")
        assert [(one.scored.lesson, one.scored.ended) for one in kept] == [("start-it-safely", "given up")]
        assert kept[0].scored.reply == KNOWLEDGE.lessons["start-it-safely"].question.right
        assert [len(one.lines) for one in practices(opened, "kim", KNOWLEDGE)] == [3]


def test_running_before_the_guards_is_told_in_plain_lines_too(practice) -> None:
    found = practice(*START, typed=("4", "q"))
    assert "! You ran it before you saw to the guard" in found.out
    assert "You left." in found.out


def test_a_wrong_number_and_trouble_are_met_and_nothing_happens(practice) -> None:
    found = practice(*START, typed=("99", "x", "²", "!", "1", "l", "3", "0", "q"))
    assert found.out.count("Type a number from 1 to 9") == 3
    assert "Nothing yet." in found.out
    assert capital(next(one.name for one in KNOWLEDGE.cautions.values() if one.now)) in found.out


def test_screws_hints_and_the_record_are_offered(practice) -> None:
    found = practice(*START, typed=("3", "1", "1", "7", "8", "0", "2", "6", "q"))
    assert "Too early" in found.out
    assert "on the record" in found.out
    assert "Make this check" in found.out


def test_laps_are_driven_for_a_reading(practice) -> None:
    found = practice("start", "--plain", "--lesson", "hot-on-the-track", typed=("5", "l", "q"))
    assert "drive fast laps, and read the head as it comes in" in found.out
    assert "A few fast laps, and in at once. The head reads" in found.out
    assert "You ran it before you saw to the guard" in found.out


def test_the_end_of_the_input_leaves_quietly(practice) -> None:
    found = practice(*START)
    assert (found.code, found.err) == (0, "")


def test_without_a_nickname_nothing_is_kept(practice, tmp_path: Path) -> None:
    practice(*START, typed=(GIVE_UP, "0"))
    with journal(tmp_path) as opened:
        assert opened.streams(PREFIX) == []


def test_the_same_seed_draws_the_same_engine(practice) -> None:
    first, again = (practice("start", "--plain", "--seed", "7", typed=(GIVE_UP,)).out for _ in range(2))
    other = practice("start", "--plain", "--seed", "8", typed=(GIVE_UP,)).out
    assert first == again != other


def test_two_faults_can_be_drawn(practice) -> None:
    out = practice("start", "--plain", "--seed", "3", "--faults", "2", typed=(GIVE_UP,)).out
    was = out.split("what it was\n")[1].splitlines()[0]
    assert sum(fault.name in was for fault in KNOWLEDGE.faults.values()) >= 2


def test_a_mentor_hides_a_fault(practice) -> None:
    hidden = ("start", "--plain", "--symptom", "cuts-on-the-straight", "--fault", "pick-up-split")
    found = practice(*hidden, typed=(GIVE_UP,))
    asked, _, told = found.out.partition("what it was")
    assert KNOWLEDGE.faults["pick-up-split"].name not in asked
    assert KNOWLEDGE.faults["pick-up-split"].name in told


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--lesson", "start-it-safly"), "did you mean 'start-it-safely'"),
        (("--symptom", "revs-hang"), "choose one"),
        (("--lesson", "it-runs-hot", "--seed", "1"), "choose one"),
        (("--symptom", "revs-hang", "--fault", "igniter-flt"), "did you mean 'igniter-flat'"),
        (("--symptom", "cuts-on-the-straight", "--fault", "igniter-flat"), "choose another symptom"),
        (("--seed", "1", "--learner", "k" * 25), "24 at most"),
        (("--seed", "1", "--learner", "kim\x1b[2J"), "can't be shown"),
    ],
)
def test_what_cannot_be_set_is_refused_with_a_reason(practice, arguments: tuple[str, ...], told: str) -> None:
    found = practice("start", "--plain", *arguments)
    assert found.code != 0
    assert told in found.err
    assert "\x1b" not in found.err


def test_without_a_terminal_the_plain_way_is_named(practice) -> None:
    found = practice("start", "--lesson", "it-runs-hot")
    assert found.code != 0
    assert "--plain" in found.err


def test_results_are_listed_for_all_and_for_one(practice) -> None:
    assert "no result yet" in practice("results").out
    for name in ("kim", "ana"):
        practice(*START, "--learner", name, typed=(GIVE_UP, "1"))
    assert [one["learner"] for one in practice("results", "--json").json] == ["kim", "ana"]
    mine = practice("results", "--learner", "kim", "--json").json
    assert [one["lesson"] for one in mine] == ["start-it-safely"]
    assert {"points", "minutes", "program minutes", "best minutes", "ended", "reply"} <= set(mine[0])
    assert "ana" not in practice("results", "--learner", "kim").out


def test_a_nickname_is_all_that_is_kept_of_a_person() -> None:
    assert nickname("  kim   k ") == "kim k"


def test_a_practice_that_cannot_be_read_is_said_and_left_alone(practice, tmp_path: Path) -> None:
    with journal(tmp_path) as opened:
        opened.append(f"{PREFIX}kim", 0, ['{"kind": "danced"}'], 1.0)
    found = practice("results")
    assert found.code != 0
    assert "can't be read" in found.err
