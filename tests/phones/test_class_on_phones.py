"""A class on phones: the same engine for all, each thing counted once, and the mentor sees how far each is."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from click.testing import CliRunner
from phones.at_the_door import WIDE, form, forms, serving, to_question
from phones.at_the_door import begin as begin_walk
from phones.classes import Taught, do, engine, look, sit, teaching, wants
from shipped import load

from diagnose.commands.serve import _begin_class, serve
from diagnose.errors import DiagnoseError
from diagnose.graph.say import say
from diagnose.pages import phone_class as said
from diagnose.phones.classroom import Classroom
from diagnose.practice import happenings as hp
from diagnose.practice.lesson import Practice
from diagnose.record.journal import Journal
from diagnose.workshop import classes, learners
from diagnose.workshop.session import AWAY

HOUR = 3600.0


@pytest.fixture
def taught() -> Iterator[Taught]:
    with teaching() as one:
        yield one


def practice(taught: Taught, number: int = 1) -> Practice:
    return taught.room.seats[number].practice


# --- seats


def test_six_phones_sit_down_at_the_same_engine_and_a_second_kim_is_kim_2(taught: Taught) -> None:
    names = ["kim", "ana", "ben", "Kim", "zoe", "kim"]
    for name in names:
        taught.seated(name)
    assert [seat.nickname for seat in taught.room.seats.values()] == ["kim", "ana", "ben", "Kim 2", "zoe", "kim 3"]
    begun = [seat.practice.begun for seat in taught.room.seats.values()]
    assert len({(one.seed, one.symptom, one.troubles, one.group) for one in begun}) == 1
    assert [one.seat for one in begun] == [1, 2, 3, 4, 5, 6]


def test_a_long_second_nickname_still_fits(taught: Taught) -> None:
    taught.seated("a" * 24)
    taught.seated("a" * 24)
    assert taught.room.seats[2].nickname == "a" * 22 + " 2"


def test_who_sits_down_twice_has_one_seat(taught: Taught) -> None:
    phone = taught.phone()
    hidden, _ = form(phone.get("/class").text, "sit")
    for _ in range(3):
        assert phone.post("/class", data={**hidden, "typed": "kim"}).status_code == 303
    assert len(taught.room.seats) == 1


@pytest.mark.parametrize("name", ["", " ", "x" * 25, "a\u202eb", "a\nb\x07"])
def test_a_nickname_that_is_none_seats_nobody_and_says_why(taught: Taught, name: str) -> None:
    answer = sit(taught.phone(), name)
    assert answer.status_code == 422
    assert "nickname" in answer.text
    assert not taught.room.seats


def test_the_first_page_leads_into_the_class_and_only_while_there_is_one(taught: Taught) -> None:
    phone = taught.seated("kim")
    assert 'href="/class"' in phone.get("/").text
    assert 'href="/class"' in taught.phone().get("/").text
    with teaching(begin=False) as empty:
        assert 'href="/class"' not in empty.phone().get("/").text
        answer = empty.phone().get("/class")
        assert (answer.status_code, said.NO_CLASS in answer.text) == (404, True)


# --- predict, observe, explain


def test_a_look_asks_what_is_expected_and_then_what_it_tells(taught: Taught) -> None:
    phone = taught.seated("kim")
    check = next(iter(practice(taught).scope.checks))
    hidden, answers = form(phone.get(f"/class?at=check/{check}").text, "look")
    assert answers == [*practice(taught).scope.checks[check].answers, "skipped"]
    assert phone.post("/class", data={**hidden, "say": answers[0]}).status_code == 303
    page = phone.get("/class").text
    assert [one["do"] for one, _ in forms(page)] == ["tells"]
    assert practice(taught).lines[0].told[0] in page.replace("&#39;", "'")
    assert do(phone, "", "tells", "unclear").status_code == 303
    assert practice(taught).events[1:] == (hp.Looked(check, answers[0]), hp.MadeOfIt("unclear"))


def test_nothing_else_is_done_before_a_look_is_explained(taught: Taught) -> None:
    phone = taught.seated("kim")
    hidden, _ = form(phone.get("/class").text, "do")
    check = next(iter(practice(taught).scope.checks))
    do(phone, f"?at=check/{check}", "look")
    answer = phone.post("/class", data={**hidden, "n": "2", "say": "run"})
    assert (answer.status_code, said.EXPLAIN_FIRST in answer.text) == (409, True)
    assert len(practice(taught).events) == 2


def test_everything_that_hands_do_is_a_form(taught: Taught) -> None:
    phone = taught.seated("kim")
    fault = next(name for name, one in practice(taught).scope.faults.items() if not one.turned)
    assert do(phone, f"?at=part/{fault}", "mend").status_code == 303
    assert do(phone, "?at=turn/0", "turn", "1").status_code == 303
    assert do(phone, "", "do", "run").status_code == 303
    assert do(phone, "", "do", "try").status_code == 303
    assert do(phone, "?at=hint/0", "hint", "1").status_code == 303
    area = re.findall(r"<h1>", phone.get("/class?at=hint").text)
    assert area
    assert do(phone, "?at=hint/skipped", "hint", "2").status_code == 303
    done = practice(taught).events[1:]
    assert done[:4] == (hp.MendedPart(fault), hp.TurnedScrew("high needle", -1.0), hp.Ran(), hp.Tried())
    assert isinstance(done[4], hp.Hinted)
    assert (done[4].strength, bool(done[4].guess)) == (1, True)
    assert done[5] == hp.Hinted(2)


def test_what_is_sent_twice_counts_once_and_another_answer_too_late_is_not_saved(taught: Taught) -> None:
    phone = taught.seated("kim")
    check = next(iter(practice(taught).scope.checks))
    hidden, answers = form(phone.get(f"/class?at=check/{check}").text, "look")
    for _ in range(3):
        assert phone.post("/class", data={**hidden, "say": answers[0]}).status_code == 303
    late = phone.post("/class", data={**hidden, "say": answers[1]})
    assert (late.status_code, "Not saved" in late.text) == (409, True)
    assert practice(taught).events[1:] == (hp.Looked(check, answers[0]),)


@pytest.mark.parametrize("count", ["-1", "x", "", "9" * 900, "1.5"])
def test_a_count_that_is_none_is_refused(taught: Taught, count: str) -> None:
    phone = taught.seated("kim")
    hidden, _ = form(phone.get("/class").text, "do")
    assert phone.post("/class", data={**hidden, "n": count, "say": "run"}).status_code == 400
    assert phone.post("/class", data={**hidden, "n": "0", "say": "run"}).status_code == 422
    assert phone.post("/class", data={**hidden, "n": "77", "say": "run"}).status_code == 422
    assert len(practice(taught).events) == 1


@pytest.mark.parametrize(
    "sent",
    [
        {"do": "look", "about": "no-such", "say": "skipped"},
        {"do": "look", "about": "", "say": "x"},
        {"do": "mend", "say": "no-such"},
        {"do": "turn", "about": "high needle", "say": "99"},
        {"do": "turn", "about": "no screw", "say": "0"},
        {"do": "turn", "about": "high needle", "say": "²"},
        {"do": "hint", "about": "skipped", "say": "9"},
        {"do": "hint", "about": "no area", "say": "1"},
        {"do": "tells", "say": "unclear"},
        {"do": "reflect", "about": "0", "say": "0"},
        {"do": "rule", "typed": "look first"},
        {"do": "do", "say": "fly"},
        {"do": "end"},
        {"do": "do"},
    ],
)
def test_what_is_no_answer_changes_nothing(taught: Taught, sent: dict[str, str]) -> None:
    phone = taught.seated("kim")
    hidden, _ = form(phone.get("/class").text, "do")
    assert phone.post("/class", data={**hidden, **sent}).status_code == 422
    assert len(practice(taught).events) == 1


def test_what_was_done_is_on_disk_and_a_restart_keeps_every_seat() -> None:
    journal = Journal.in_memory()
    with teaching(journal) as taught:
        phone = taught.seated("kim")
        cookie = phone.cookies["visitor"]
        assert do(phone, "", "do", "run").status_code == 303
        wants(taught.mentor(), "pause")
    with teaching(journal, begin=False) as again:
        same = again.phone(come_in=False)
        same.cookies.set("visitor", cookie)
        assert said.WAIT in same.get("/class").text
        wants(again.mentor(), "go on")
        assert do(same, "", "do", "try").status_code == 303
        assert practice(again).events[1:] == (hp.Ran(), hp.Tried())


# --- the mentor


def test_the_mentor_sees_step_prediction_hazards_and_how_long_nothing_was_done() -> None:
    now = [0.0]
    with teaching(steady=lambda: now[0]) as taught:
        phone, mentor = taught.seated("kim"), taught.mentor()
        assert "not begun" in mentor.get("/mentor").text
        check = next(iter(practice(taught).scope.checks))
        answer = next(iter(practice(taught).scope.checks[check].answers))
        look(phone, check, answer)
        page = mentor.get("/mentor").text
        assert "step 1, " in page
        seen = practice(taught).lines[0].answer
        assert ("and it came" if seen == answer else "but saw") in page
        assert f"expected “{say(load().checks[check].answers[answer].say, load())}”" in page
        assert "nothing done for" not in page
        now[0] += 5 * 60
        assert "nothing done for 5 min" in mentor.get("/mentor").text
        do(phone, "", "do", "run")
        page = mentor.get("/mentor").text
        assert "nothing done for" not in page
        assert practice(taught).lines[-1].hazards
        assert "1 risk; the last: " in page


def test_nobody_can_do_anything_while_all_wait_and_then_goes_on(taught: Taught) -> None:
    phone, mentor = taught.seated("kim"), taught.mentor()
    hidden, _ = form(phone.get("/class").text, "do")
    assert wants(mentor, "pause").status_code == 303
    assert forms(phone.get("/class").text) == []
    assert '<noscript><meta http-equiv="refresh" content="5"></noscript>' in phone.get("/class").text
    answer = phone.post("/class", data={**hidden, "say": "run"})
    assert (answer.status_code, said.STOPPED in answer.text) == (409, True)
    assert len(practice(taught).events) == 1
    assert wants(mentor, "go on").status_code == 303
    assert phone.post("/class", data={**hidden, "say": "run"}).status_code == 303


def test_a_hint_goes_to_one_alone_until_it_is_read_and_takes_no_points(taught: Taught) -> None:
    kim, ana, mentor = taught.seated("kim"), taught.seated("ana"), taught.mentor()
    for _ in range(2):  # sent twice
        assert wants(mentor, "hint", "1").status_code in (303, 409)
    assert said.FROM_MENTOR in kim.get("/class").text.lower()
    assert said.FROM_MENTOR not in ana.get("/class").text.lower()
    assert do(kim, "", "read").status_code == 303
    assert said.FROM_MENTOR not in kim.get("/class").text.lower()
    assert taught.room.seats[1].given == 1
    assert len(practice(taught).events) == 1
    assert wants(mentor, "hint", "9").status_code == 409
    assert wants(mentor, "hint", "x").status_code == 400


def test_the_end_opens_sheet_and_debriefs_and_marks_are_to_oneself(taught: Taught) -> None:
    kim, ana, mentor = taught.seated("kim"), taught.seated("ana"), taught.mentor()
    hidden_fault = load().faults[engine().troubles[0].fault].name
    do(kim, "?at=stop", "stop", "yes")
    for page in ("/class/debrief", "/class/marks", "/class/sheet"):
        assert kim.get(page).status_code == 403
    for page in ("/mentor/sheet", "/mentor/debrief/1"):
        assert mentor.get(page).status_code == 403
    wants(mentor, "end")
    assert [seat.practice.ended for seat in taught.room.seats.values()] == ["given up", "given up"]
    for phone in (kim, ana):
        own = phone.get("/class/debrief").text
        assert hidden_fault.lower() in own.lower()
        assert "of 100" not in own
        assert "of 100" in phone.get("/class/marks").text
        sheet = phone.get("/class/sheet").text
        assert "kim" in sheet
        assert "of 100" not in sheet
    for page in ("/mentor/sheet", "/mentor/debrief/1"):
        text = mentor.get(page).text
        assert hidden_fault.lower() in text.lower()
        assert "of 100" not in text
    results = learners.results(taught.room.journal)
    assert sorted(one.learner for one in results) == ["ana", "kim"]


def test_the_mentor_begins_a_class_on_the_page_and_a_second_one_is_refused() -> None:
    with teaching(begin=False) as taught:
        mentor = taught.mentor()
        assert wants(mentor, "begin", "1").status_code == 303
        first = taught.room.of
        assert first is not None
        answer = wants(mentor, "begin", "1")
        assert (answer.status_code, "a class is still going on" in answer.text) == (409, True)
        assert taught.room.of == first
        wants(mentor, "end")
        assert wants(mentor, "begin", "1").status_code == 303
        assert taught.room.of != first
        assert not taught.room.seats


def test_two_classes_at_once_are_refused_on_the_command_line_with_what_to_do(tmp_path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))
    with Journal.open(tmp_path / "served.sqlite3") as journal:
        Classroom(load(), journal).begin(engine())
    monkeypatch.setattr("diagnose.phones.serve.run", lambda *_: None)
    asked = ["--address", "127.0.0.1", "--class", "1"]
    answer = CliRunner().invoke(serve, asked)
    assert isinstance(answer.exception, DiagnoseError)
    assert re.fullmatch(
        r"a class is still going on, set at .*, with 0 seats: start without --class .*", str(answer.exception)
    )
    goes_on = CliRunner().invoke(serve, asked[:2])
    assert "A class is going on, set at" in goes_on.output
    assert "/mentor\n" in goes_on.output
    linked = CliRunner().invoke(serve, [*asked[:2], "--mentor-link"])
    assert re.search(r"for the mentor alone: http://127.0.0.1:\d+/mentor/[\w-]{22}\n", linked.output)
    assert not re.search(r"/mentor/[\w-]{22}", goes_on.output)


def test_a_class_is_begun_by_a_level_or_by_a_file(tmp_path) -> None:  # type: ignore[no-untyped-def]
    file = tmp_path / "class.yaml"
    file.write_text("symptom: revs-hang\nfaults: {fuel-line-split: 0.8}\nseed: tuesday\n")
    room = Classroom(load(), Journal.in_memory())
    _begin_class(room, str(file))
    assert room.of is not None
    assert [one.fault for one in room.of.begun.troubles] == ["fuel-line-split"]
    room = Classroom(load(), Journal.in_memory())
    _begin_class(room, "1")
    assert room.open
    for wrong, told in (("7", "no level 7"), (str(tmp_path / "none.yaml"), "can't be read")):
        with pytest.raises(DiagnoseError, match=told):
            _begin_class(Classroom(load(), Journal.in_memory()), wrong)


# --- the laptop asleep for an hour


def test_a_class_goes_on_after_the_laptop_slept_and_nobody_is_stuck_for_that() -> None:
    """The clock on the wall has moved on by an hour; the steady one stood, as it does on a computer that sleeps."""
    wall, steady = [1_800_000_000.0], [100.0]
    with teaching(clock=lambda: wall[0], steady=lambda: steady[0]) as taught:
        kim, mentor = taught.seated("kim"), taught.mentor()
        hidden, _ = form(kim.get("/class").text, "do")
        assert "asleep" not in mentor.get("/mentor").text
        wall[0] += HOUR
        steady[0] += 3
        page = mentor.get("/mentor").text
        assert "moved on by 60 min at once: it was asleep" in page
        assert "nothing done for" not in page
        assert kim.post("/class", data={**hidden, "say": "run"}).status_code == 303
        assert practice(taught).events[1:] == (hp.Ran(),)


def test_a_walk_goes_on_after_the_laptop_slept_and_asks_what_happened_meanwhile() -> None:
    """It sleeps for an hour before each answer: an answer counts, or what happened since is asked first."""
    wall = [1_800_000_000.0]
    with serving(clock=lambda: wall[0], limits=WIDE) as served:
        phone = served.phone()
        at, refused, taken = begin_walk(phone, "overheats"), 0, 0
        while taken < 12:
            page = to_question(phone, at)
            if 'value="step"' not in page:
                break
            hidden, answers = form(page, "step")
            wall[0] += HOUR
            answer = phone.post(at, data={**hidden, "say": answers[0]})
            if answer.status_code == 409:
                assert AWAY in answer.text
                assert form(answer.text, "since")
                refused += 1
            else:
                assert answer.status_code == 303
                taken += 1
        assert (refused > 0, taken > 3) == (True, True)


# --- what is kept


def test_what_a_class_leaves_in_the_journal_is_nicknames_answers_and_times(taught: Taught) -> None:
    phone = taught.seated("kim")
    look(phone, next(iter(practice(taught).scope.checks)))
    wants(taught.mentor(), "end")
    journal = taught.room.journal
    assert taught.room.of is not None
    streams = {stream.name.partition("/")[0] for stream in journal.streams()}
    assert streams == {"class", "practice", "seated"}
    seated = "".join(journal.read(f"seated/{taught.room.of.id}"))
    assert "kim" not in seated
    assert "127.0" not in "".join("".join(journal.read(stream.name)) for stream in journal.streams())
    assert [seat.nickname for seat in classes.seats(journal, taught.room.of)] == ["kim"]
