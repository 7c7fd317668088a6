"""The report of an outing, and a car's page for whoever helps: what was seen, the day, the faces, the hazards."""

from __future__ import annotations

from paper.sheets import KNOWLEDGE, WARM, ledger, walked

from diagnose.graph.model import Variant
from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.pages.car import car_page
from diagnose.pages.car_sheet import LOCKED, car_sheet
from diagnose.pages.parts import CautionPart, Dials, Faces, Field, Heading, Line, Page, Paragraph, Timed
from diagnose.pages.report import NO_DAY, OPEN, report
from diagnose.reason import events as ev
from diagnose.reason.carry import Outing
from diagnose.reason.walk import Walk, begin
from diagnose.record.engines import Engine
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Turned, fold
from diagnose.tune.window import Window
from diagnose.workshop.came_to import car_outing
from diagnose.workshop.car import KnownCar


def lines(page: Page) -> list[str]:
    return [part.text for part in page if isinstance(part, Line)]


def told() -> Walk:
    """Return a walk in which something was told, one look was sound and one was not."""
    walk = begin(KNOWLEDGE, ev.Started(0, KNOWLEDGE.digest, "loads-up-at-idle", "", Variant()))
    question = next(iter(KNOWLEDGE.history))
    walk = walk.plus(ev.Told(10, question, next(iter(KNOWLEDGE.history[question].answers))))
    walk = walk.plus(ev.Answered(60, "barrel-at-rest", walk.scope.checks["barrel-at-rest"].healthy))
    return walk.plus(ev.Answered(150, "fail-safe-closes", "stays open"))


def test_a_question_stands_with_what_was_told_and_a_look_with_what_it_showed() -> None:
    walk = told()
    page = report(walk, 150, WARM)
    question = next(iter(KNOWLEDGE.history))
    asked = say(KNOWLEDGE.history[question].ask, KNOWLEDGE, walk.variant)
    assert any(line.startswith(asked) and len(line) > len(asked) + 2 for line in lines(page))
    for check, answer in (
        ("barrel-at-rest", walk.scope.checks["barrel-at-rest"].healthy),
        ("fail-safe-closes", "stays open"),
    ):
        found = walk.scope.checks[check]
        assert f"{capital(found.name)}: {say(found.answers[answer].say, KNOWLEDGE, walk.variant)}" in lines(page)
    lead = page[0]
    assert isinstance(lead, Paragraph)
    assert lead.text.endswith("So far 2½ min at the car.")


def test_a_report_has_the_day_or_says_that_nobody_noted_it() -> None:
    assert any("24 °C" in line and "16 % nitro" in line for line in lines(report(walked(), 60, WARM)))
    assert NO_DAY in lines(report(walked(), 60, Conditions()))
    assert "Fuel: 16 % nitro, 10 % oil." in lines(report(walked(), 60, Conditions(fuel=WARM.fuel)))


def test_what_is_open_and_owed_stands_before_the_branch_with_its_hazards_behind() -> None:
    walk = walked()
    page = report(walk, 60, WARM, ledger())
    assert Paragraph(OPEN, "strong") in page
    owed = [part for part in page if isinstance(part, Timed)]
    assert len(owed) == len(walk.view(60).owed) > 5
    branch = page.index(Heading("what was looked at and done"))
    assert all(page.index(part) < branch for part in owed)
    hazards = {name for line in walk.view(60).owed for name in walk.scope.checks[line.check].cautions}
    assert {KNOWLEDGE.cautions[name].name for name in hazards} <= {
        part.name for part in page if isinstance(part, CautionPart)
    }


def test_only_an_engine_that_is_written_down_has_its_screws_as_faces() -> None:
    (dials,) = [part for part in report(walked(), 60, WARM, ledger()) if isinstance(part, Dials)]
    assert [dial.hours for dial in dials.dials] == [14, 20, 36, 8]
    assert not [part for part in report(walked(), 60, WARM) if isinstance(part, Dials | Faces)]


def test_the_screws_of_a_report_stand_as_they_did_then() -> None:
    since = fold((Turned(90, "high needle", "leaner", 1),), start=ledger())
    (dials,) = [part for part in report(walked(), 60, WARM, since) if isinstance(part, Dials)]
    assert [dial.hours for dial in dials.dials] == [14, 20, 36, 8]
    (dials,) = [part for part in report(walked(), 90, WARM, since) if isinstance(part, Dials)]
    assert [dial.hours for dial in dials.dials] == [14, 20, 35, 8]
    assert Heading("where the screws stood then") in report(walked(), 60, WARM, since)
    assert "hand" in dials.legend_of_hands
    assert "brackets" not in dials.legend_of_hands


def test_an_absence_is_no_time_in_a_report() -> None:
    walk = told()
    walk = walk.plus(ev.Ended(9000))
    lead = report(walk, 9000, WARM)[0]
    assert isinstance(lead, Paragraph)
    assert lead.text.endswith("It took 2½ min at the car.")


def test_a_cars_sheet_has_today_what_is_owed_with_states_and_room_to_write() -> None:
    walk = walked(engine="blue truggy")
    known = KnownCar(
        Engine("blue truggy"), ledger(), None, (car_outing(Outing("one", walk, 60)),), (), walk.view(60).owed, ()
    )
    page = car_sheet(car_page(known, KNOWLEDGE, "a command"), known, KNOWLEDGE, WARM, Window(80, 100))
    assert any("24 °C" in line for line in lines(page))
    assert any("80 °C (176 °F) to 100 °C (212 °F)" in line and LOCKED in line for line in lines(page))
    assert [part.text for part in page if isinstance(part, Field)] == [
        "Head now",
        "Plug in it",
        "Fuel in it",
        "What we changed",
    ]
    boxes = [part.text for part in page if isinstance(part, Timed)]
    assert len(boxes) == len(walk.view(60).owed)
    assert all(": " in box for box in boxes)
    assert [part for part in page if isinstance(part, CautionPart)]
    quiet = car_sheet(
        car_page(known._replace(outings=(), owed=()), KNOWLEDGE, ""),
        known._replace(outings=(), owed=()),
        KNOWLEDGE,
        WARM,
        Window(80, 100),
    )
    assert not [part for part in quiet if isinstance(part, CautionPart | Timed)]
