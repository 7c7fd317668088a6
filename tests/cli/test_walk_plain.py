"""``diagnose walk --plain``: one question at a time on stdin and stdout."""

from __future__ import annotations

from pathlib import Path

from cli.plain_walk import SKIP_HISTORY, WALK, number_of, stored
from cli.running import Diagnose

from diagnose.reason import events as ev
from diagnose.record.journal import Journal

KEYS = "w why, i what if, c hazards, ? words, u take back, a what you saw, t 8 for eight minutes to go, "


def test_one_question_is_asked_at_a_time_with_numbered_answers(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed=SKIP_HISTORY).out
    assert out.count("> ") == 2  # the history question, and the first check
    assert "1  nothing\n2  something was opened\n" in out
    assert "0  I can't tell\n9  I have no tool for that now\n" in out
    assert KEYS in out


def test_a_symptom_that_can_run_away_opens_with_stopping_it(diagnose: Diagnose) -> None:
    out = diagnose(*WALK).out
    assert out.index("Is it running now? Stop it.\n1. ") < out.index("> ")


def test_a_caution_stands_before_the_question(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed=SKIP_HISTORY + "9\n9\n9\n").out
    asked = "Does the tank hold pressure?"
    assert "Warning: fuel is poison. Never suck fuel through a line." in out.split(asked)[0]


def test_a_mend_says_what_is_needed_what_may_be_renewed_and_what_to_look_at_again(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed=SKIP_HISTORY + "1\n1\n2\n").out
    assert "You need: knife\nYou may have to renew: pressure line\n" in out
    assert "- When it is done: Press air in and see that it holds." in out


def test_a_look_after_a_mend_says_why_before_how_to_look(diagnose: Diagnose) -> None:
    asked, how = diagnose(*WALK, typed=SKIP_HISTORY + "1\n1\n2\n1\n").out.split("It was mended: ")
    assert asked.rsplit("> ", 1)[1].rstrip().endswith("Does the tank hold pressure?\nWarning: fuel is poison")
    assert "- Blow into the pressure line" in how


def test_history_may_be_skipped_with_enter(diagnose: Diagnose, home: Path) -> None:
    diagnose(*WALK, typed=SKIP_HISTORY)
    told = stored(home)[1]
    assert isinstance(told, ev.Told)
    assert told.answer == ev.SKIPPED


def test_u_takes_the_last_answer_back(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\n1\nu\n").out
    assert out.count("\nstep 1 ·") == 2
    assert isinstance(stored(home)[-1], ev.Retracted)
    assert "There is nothing to take back. " in diagnose(*WALK, typed="u\n").out


def test_a_question_about_what_is_known_comes_again_when_all_was_taken_back(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed="\n1\nu\nu\n").out
    assert out.count("question 1 of 1 · you may skip it") == 2
    assert out.rindex("question 1 of 1") > out.rindex("\nstep 1 ·")


def test_a_hazard_is_told_in_full_once_and_by_its_name_in_each_step(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed=SKIP_HISTORY + "9\n9\n9\nu\n").out
    assert out.count("Warning: fuel is poison. ") == 1
    assert out.count("\nWarning: fuel is poison\n") > 1
    assert out.index("Warning: fuel is poison. ") < out.index("\nWarning: fuel is poison\n")


def test_a_question_mark_means_not_quite_sure(diagnose: Diagnose, home: Path) -> None:
    diagnose(*WALK, typed="\n1?\n")
    event = stored(home)[-1]
    assert isinstance(event, ev.Answered)
    assert event.sure is False


def test_a_walk_ends_cured_through_the_pipe(diagnose: Diagnose) -> None:
    typed = "\n"
    answers = {
        "Does the tank hold pressure?": ["bleeds away", "holds for ten seconds"],
        "Put this right": ["done"],
        "Does the barrel rest": ["it rests on the stop"],
        "Does the throttle shut": ["it shuts"],
        "Try it again": ["it is gone: cured"],
    }
    for _ in range(12):
        out = diagnose(*WALK, typed=typed).out
        if "✓ Cured" in out:
            break
        last = out.rsplit("\nstep ", 1)[1]
        (asked,) = [question for question in answers if question in last]
        said = answers[asked].pop(0) if len(answers[asked]) > 1 else answers[asked][0]
        typed += number_of(said, last) + "\n"
    assert "\nThe mend cured it.\n→ mended: pressure line off or split\n" in out


def test_a_hand_over_says_what_was_looked_at_and_what_is_owed(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed="\n" + "0\n" * 10 + "1\n").out
    assert "\n→ Handed over\n" in out
    assert "\nStill owed:\n· " in out
    assert "Please don't turn the needles until what is owed has been looked at." in out


def test_a_hand_over_says_what_was_found(diagnose: Diagnose) -> None:
    asked = diagnose(*WALK, typed="\n").out
    found = diagnose(*WALK, typed=f"\n{number_of('it is held open', asked)}\n2\n" + "1\n" * 8).out
    assert "\nI found:\n! barrel at rest" in found


def test_the_history_is_asked_again_once_everything_was_taken_back(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\n1\nu\nu\n1\n").out
    asked = number_of("nothing", out)
    assert out.count(f"{asked}  nothing\n") == 2
    told = [event for event in stored(home) if isinstance(event, ev.Told)]
    assert [event.answer for event in told] == [ev.SKIPPED, "nothing"]


def test_an_unknown_symptom_is_one_line_with_the_nearest_name(diagnose: Diagnose, home: Path) -> None:
    found = diagnose("walk", "revs-hangs", "--plain")
    assert (found.code, found.out) == (2, "")
    assert found.err == "diagnose: there is no symptom 'revs-hangs'; did you mean 'revs-hang'\n"
    assert stored_outings(home) == 0


def stored_outings(home: Path) -> int:
    with Journal.open(home / "journal.sqlite3") as journal:
        return len(journal.streams("outing/"))


def test_the_plain_walk_names_a_person_after_three_that_could_not_be_told(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed="\n0\n0\n0\n").out
    assert "Ask somebody now" in out
    assert "experienced driver" in out


def test_a_plus_ticks_the_look_at_hand_as_it_should_be(diagnose: Diagnose, home: Path) -> None:
    found = diagnose(*WALK, typed=SKIP_HISTORY + "+\nq\n")
    assert ", or + if it is so: it rests on the stop (barrel at rest · 1 of 1" in found.out
    told = [event for event in stored(home) if isinstance(event, ev.Answered)]
    assert [(event.check, event.answer) for event in told] == [("barrel-at-rest", "rests")]


def test_the_list_of_engines_says_what_each_owes_and_waits_for(diagnose: Diagnose) -> None:
    diagnose("engine", "add", "red")
    diagnose("engine", "add", "blue")
    diagnose("walk", "revs-hang", "--plain", "--engine", "red", typed="\n1\n")
    red, blue = diagnose("engine", "list").out.splitlines()
    assert "revs hang, step 2 · has not run in a walk today · owes" in red
    assert "no open walk" in blue
