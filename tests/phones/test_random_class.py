"""Forms of anything at all to a class: no error of the program, and nothing is stored that was not done."""

from __future__ import annotations

import random

import pytest
from amount import amount
from phones.at_the_door import forms
from phones.classes import engine, sit, teaching
from phones.test_random_forms import ODD

from diagnose.phones.deeds import DEEDS
from diagnose.practice.lesson import Practice

pytestmark = pytest.mark.slow
OPENED = [
    "",
    "look/1",
    "mend/2",
    "turn/0",
    "hint/0",
    "stop",
    "done",
    "best/1",
    "rule",
    "case",
    "x/9",
    "look/²",
    "check/",
]


def test_no_form_of_anything_breaks_a_class_or_stores_what_was_not_done() -> None:
    rng = random.Random(17)
    with teaching() as taught:
        known = taught.room.knowledge
        ids = [*Practice(known, [engine()]).scope.checks, *known.faults]
        phone, phones, stored = taught.phone(), 1, 0
        assert sit(phone, "kim").status_code == 303
        real: list[tuple[dict[str, str], list[str]]] = []
        for number in range(amount(600, quick=100, long=10_000)):
            seat = taught.room.seats[phones]
            if seat.practice.ended and phones < 30:
                phone, phones = taught.phone(), phones + 1
                assert sit(phone, "kim").status_code == 303
                seat = taught.room.seats[phones]
            if number % 4 == 0:
                check = f"check/{rng.choice(ids)}"
                page = phone.get(
                    "/class", params={"at": rng.choice([*OPENED, check, check, f"part/{rng.choice(ids)}"])}
                )
                assert page.status_code == 200
                real = [one for one in forms(page.text) if one[1]] or real
            some = [*ODD, "1", "²", *rng.sample(ids, 5)]
            data = {
                "n": rng.choice([str(seat.count), str(rng.randrange(12)), rng.choice(some)]),
                "key": taught.behind.door.token(taught.behind.door.visitor(phone.cookies["visitor"])),
                "do": rng.choice([*DEEDS, "sit", "read", "case", rng.choice(some)]),
                "about": rng.choice(some),
                "say": rng.sample(some, rng.randrange(4)),
                "typed": rng.choice(some),
            }
            if real and rng.random() < 0.4:  # a form as it is, or with one thing changed
                hidden, answers = rng.choice(real)
                odd = rng.choice(["", *data])
                data = {**data, **hidden, "say": [rng.choice(answers)], **({odd: data[odd]} if odd else {})}
            before = seat.count
            status = phone.post("/class", data=data).status_code
            assert status in (303, 400, 403, 409, 413, 422), (status, data)
            grown = seat.count - before
            assert grown in ((0, 1) if status == 303 else (0,)), (status, data)
            stored += grown
        assert stored
        again = type(taught.room)(known, taught.room.journal)  # what is kept comes to the same
        assert [one.practice.events for one in again.seats.values()] == [
            one.practice.events for one in taught.room.seats.values()
        ]
