"""``diagnose walk --plain``: one question at a time on stdin and stdout."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cli.running import Diagnose
from screens.hands import Clock

from diagnose.commands import plain
from diagnose.commands.prompt import typed_line
from diagnose.reason import events as ev
from diagnose.record.journal import Journal, JournalError
from diagnose.workshop.session import Session

WALK = ("walk", "revs-hang", "--plain")
SKIP_HISTORY = "\n"
KEYS = "w why, i what if, c hazards, ? words, u take back, a what you saw, t 8 for eight minutes to go, "


def stored(home: Path) -> list[ev.Event]:
    """Return the events of the newest outing in the journal."""
    with Journal.open(home / "journal.sqlite3") as journal:
        return [ev.from_json(body) for body in journal.read(journal.streams("outing/")[-1].name)]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


def number_of(said: str, out: str) -> str:
    """Return the number in front of a choice."""
    found = re.search(rf"^(\d+)  {re.escape(said)}", out, re.MULTILINE)
    assert found, out
    return found[1]


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
    assert "- When it is done: press air in and see that it holds." in out


def test_a_look_after_a_mend_says_why_before_how_to_look(diagnose: Diagnose) -> None:
    asked, how = diagnose(*WALK, typed=SKIP_HISTORY + "1\n1\n2\n1\n").out.split("It was mended: ")
    assert asked.rsplit("> ", 1)[1].rstrip().endswith("Does the tank hold pressure?\nWarning: fuel is poison")
    assert "- Blow into the pressure line" in how


def test_the_end_of_the_input_leaves_politely_and_everything_is_saved(diagnose: Diagnose, home: Path) -> None:
    found = diagnose(*WALK, typed="1\n1\n")
    assert found.code == 0
    assert "You left; everything is saved; go on with: diagnose walk revs-hang --plain --resume" in found.out
    events = stored(home)
    assert [type(event).__name__ for event in events] == ["Started", "Told", "Answered"]


def test_q_leaves_and_resume_goes_on_where_it_was(diagnose: Diagnose, home: Path) -> None:
    first = diagnose(*WALK, typed="\n1\nq\n").out
    again = diagnose(*WALK, "--resume", typed="q\n").out
    last_question = first.rsplit("\nstep 2 ·", 1)[1].split("\n")[1]
    assert "\nstep 2 ·" in again
    assert last_question in again
    assert len(stored(home)) == 3


def test_resume_without_an_open_walk_says_so(diagnose: Diagnose) -> None:
    found = diagnose(*WALK, "--resume")
    assert found.code == 2
    assert "no open walk" in found.err


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


def test_a_lists_what_else_can_be_answered_and_asks_it(diagnose: Diagnose, home: Path) -> None:
    listed = diagnose(*WALK, typed="\na\n").out
    pressure = number_of("tank pressure", listed)
    out = diagnose(*WALK, typed=f"\na\n{pressure}\n1\n").out
    assert "Does the tank hold pressure?" in out
    event = stored(home)[-1]
    assert isinstance(event, ev.Answered)
    assert event.check == "tank-holds-pressure"


def test_the_history_is_asked_again_once_everything_was_taken_back(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\n1\nu\nu\n1\n").out
    asked = number_of("nothing", out)
    assert out.count(f"{asked}  nothing\n") == 2
    told = [event for event in stored(home) if isinstance(event, ev.Told)]
    assert [event.answer for event in told] == [ev.SKIPPED, "nothing"]


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


def test_a_head_reading_is_typed_with_its_unit(diagnose: Diagnose, home: Path) -> None:
    typed = "\n"
    for _ in range(8):
        out = diagnose(*WALK, typed=typed).out
        last = out.rsplit("\nstep ", 1)[1]
        if "\nBring to heat." in last:
            break
        typed += "1\n"
    assert "Type the number that you read, in °C, or a letter. w why" in last
    assert "\nb  " in last
    for text in ("= 203 F", "203F", "95", "95,0 °C"):
        diagnose(*WALK, typed=f"{typed}{text}\n")
        event = stored(home)[-1]
        assert isinstance(event, ev.Prepared)
        assert event.head == pytest.approx(95)


def at_heat(diagnose: Diagnose) -> str:
    """Return what is typed until the head is asked for."""
    typed = "\n"
    while "\nBring to heat." not in diagnose(*WALK, typed=typed).out.rsplit("\nstep ", 1)[1]:
        typed += "1\n"
    return typed


def test_where_a_number_is_asked_a_digit_is_no_answer(diagnose: Diagnose, home: Path) -> None:
    diagnose(*WALK, typed=f"{at_heat(diagnose)}1\n")
    event = stored(home)[-1]
    assert isinstance(event, ev.Prepared)
    assert event.head == 1


def test_where_a_number_is_asked_a_letter_answers(diagnose: Diagnose, home: Path) -> None:
    asked = diagnose(*WALK, typed=at_heat(diagnose)).out
    found = re.search(r"^([a-z])  stays below", asked, re.MULTILINE)
    assert found, asked
    diagnose(*WALK, typed=f"{at_heat(diagnose)}{found[1]}\n")
    event = stored(home)[-1]
    assert isinstance(event, ev.Prepared)
    assert (event.outcome, event.head) == ("too cool", None)


@pytest.mark.parametrize("text", ["220", "= hot", "104 dogs", "900 C", "1/0", "."])
def test_a_reading_that_can_not_be_is_refused_and_asked_for_again(diagnose: Diagnose, home: Path, text: str) -> None:
    typed = at_heat(diagnose)
    before = len(stored(home))
    found = diagnose(*WALK, typed=f"{typed}{text}\n")
    assert found.code == 0
    assert "Say it like 104, 104 C or 220 F." in found.out or "it lies between" in found.out
    assert len(stored(home)) == before


def test_an_unknown_symptom_is_one_line_with_the_nearest_name(diagnose: Diagnose, home: Path) -> None:
    found = diagnose("walk", "revs-hangs", "--plain")
    assert (found.code, found.out) == (2, "")
    assert found.err == "diagnose: there is no symptom 'revs-hangs'; did you mean 'revs-hang'\n"
    assert stored_outings(home) == 0


def stored_outings(home: Path) -> int:
    with Journal.open(home / "journal.sqlite3") as journal:
        return len(journal.streams("outing/"))


def test_a_bad_journal_is_left_alone_and_the_walk_goes_on_unsaved_if_the_person_agrees(
    diagnose: Diagnose, home: Path
) -> None:
    home.mkdir()
    (home / "journal.sqlite3").write_text("not a journal")
    agreed = diagnose(*WALK, typed="1\n\n")
    assert agreed.code == 0
    assert "1  go on without saving" in agreed.out
    assert "You left; what you answered after you agreed to go on without saving is gone" in agreed.out
    refused = diagnose(*WALK, typed="q\n")
    assert refused.code == 2
    assert refused.err.count("\n") == 1
    assert (home / "journal.sqlite3").read_text() == "not a journal"


def test_a_journal_that_fails_on_the_way_may_be_left_behind(
    diagnose: Diagnose, monkeypatch: pytest.MonkeyPatch
) -> None:
    append = Journal.append

    def full(self: Journal, stream: str, expected: int, bodies: list[str], at: float) -> int:
        if expected and self.saved:
            raise JournalError("the disk is full")
        return append(self, stream, expected, bodies, at)

    monkeypatch.setattr(Journal, "append", full)
    agreed = diagnose(*WALK, typed="\n1\n1\n")
    assert agreed.code == 0
    assert "\nstep 2 ·" in agreed.out
    assert diagnose(*WALK, typed="\nq\n").code == 2


def test_answers_of_an_earlier_outing_count_unless_something_happened_since(diagnose: Diagnose, home: Path) -> None:
    diagnose("engine", "add", "blue truggy")
    truggy = (*WALK, "--engine", "blue truggy")
    looked = diagnose(*truggy, typed="\n1\n").out
    assert "Does the tank hold pressure?" in looked or "Does the barrel rest" in looked
    diagnose(*truggy, typed="\n1\n1\n1\n")
    again = diagnose(*truggy, typed="\n").out
    assert "These answers of earlier today still count. You need not give them again.\n✓ " in again
    diagnose(*truggy, typed="4\n")
    event = stored(home)[-1]
    assert isinstance(event, ev.Happened)
    assert event.what == "crashed"


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """A clock of the test's own for every session."""
    made = Clock()
    monkeypatch.setattr(Session.__init__, "__defaults__", (made,))
    return made


def what(home: Path) -> str:
    """Return what happened, by the newest event."""
    newest = stored(home)[-1]
    assert isinstance(newest, ev.Happened)
    return newest.what


def test_a_walk_resumed_after_an_absence_asks_what_has_happened(diagnose: Diagnose, home: Path, clock: Clock) -> None:
    diagnose(*WALK, typed="\n1\nq\n")
    clock.at += 25 * 60
    out = diagnose(*WALK, "--resume", typed="\nq\n").out
    assert "What was in order counts on, unless something has happened:\n✓ " in out
    assert what(home) == "nothing"
    assert "What was in order" not in diagnose(*WALK, "--resume", typed="q\n").out


def test_a_walk_resumed_on_another_day_owes_everything_again(diagnose: Diagnose, home: Path, clock: Clock) -> None:
    diagnose(*WALK, typed="\n1\n1\nq\n")
    clock.at += 2 * 86_400
    out = diagnose(*WALK, "--resume", typed="q\n").out
    assert "It is another day, or hours later: all is owed again, the guards first." in out
    assert "still count" not in out
    assert "What was in order" not in out
    assert what(home) == "another day"


def test_an_answer_that_comes_after_an_absence_is_not_taken(
    diagnose: Diagnose, home: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same window: the clock moves on while the person is away from the prompt."""
    typed: list[str] = []

    def away() -> str:
        typed.append(typed_line())
        clock.at += 25 * 60 * (len(typed) == 3)
        return typed[-1]

    monkeypatch.setattr(plain, "typed_line", away)
    out = diagnose(*WALK, typed="\n1\n1\n4\nq\n").out
    assert "Your answer was not taken: say first what has happened to the car since." in out
    assert what(home) == "crashed"


def test_three_things_are_asked_before_the_engine_runs_and_not_yet_says_what_to_do_first(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed=at_heat(diagnose)).out
    before = out[: out.rindex("Bring to heat.")]
    assert before.index("Where is the igniter?") < before.index("How is the fuel bottle?")
    assert before.index("How is the fuel bottle?") < before.index("Where are the wheels?")
    told = diagnose(*WALK, typed=at_heat(diagnose)[: -len("1\n1\n1\n")] + "2\n").out
    assert told.count("Where is the igniter?") == 2
    assert "Take it off first." in told


def test_one_key_tells_one_thing_at_a_time_and_everything_at_once_again(diagnose: Diagnose, home: Path) -> None:
    out = diagnose(*WALK, typed="\nf9\n\n\n\n1\nf9\n").out
    assert "One thing at a time from here. Nothing is lost." in out
    assert "Press Enter when it is done." in out or "step 1 · about" in out
    assert "Everything at once from here. Nothing is lost." in out
    assert [type(event) for event in stored(home)].count(ev.Answered) == 1


def test_the_plain_walk_names_a_person_after_three_that_could_not_be_told(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed="\n0\n0\n0\n").out
    assert "Ask somebody now" in out
    assert "experienced driver" in out


def test_a_plus_ticks_the_look_at_hand_as_it_should_be(diagnose: Diagnose, home: Path) -> None:
    found = diagnose(*WALK, typed=SKIP_HISTORY + "+\nq\n")
    assert ", or + if it is so: it rests on the stop (barrel at rest · 1 of 1" in found.out
    told = [event for event in stored(home) if isinstance(event, ev.Answered)]
    assert [(event.check, event.answer) for event in told] == [("barrel-at-rest", "rests")]


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


def test_the_list_of_engines_says_what_each_owes_and_waits_for(diagnose: Diagnose) -> None:
    diagnose("engine", "add", "red")
    diagnose("engine", "add", "blue")
    diagnose("walk", "revs-hang", "--plain", "--engine", "red", typed="\n1\n")
    red, blue = diagnose("engine", "list").out.splitlines()
    assert "revs hang, step 2 · has not run in a walk today · owes" in red
    assert "no open walk" in blue
