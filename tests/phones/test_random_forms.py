"""Forms of anything at all: no error of the program, and nothing is stored that was not answered."""

from __future__ import annotations

import random

import pytest
from amount import amount
from phones.at_the_door import WIDE, begin, forms, serving, shown

from diagnose.phones.form import EVENTS, QUIET
from diagnose.phones.shown import BESIDE
from diagnose.record.index import OUTINGS

pytestmark = pytest.mark.slow
ODD = [
    "",
    "x",
    "0",
    "-1",
    "nan",
    "9" * 30,
    "é",
    "\x00",
    "note/a",
    "also/x",
    "ask/",
    "ask//before",
    "'; --",
    "<b>",
    "yes",
]


def test_no_form_of_anything_breaks_it_or_stores_what_was_not_answered() -> None:
    rng = random.Random(20)
    with serving(limits=WIDE) as served:
        phone, known = served.phone(), served.behind.walks.knowledge
        ids = [*known.checks, *known.symptoms, *known.history, *known.faults]
        at = begin(phone, "revs-hang")
        key = served.behind.door.token(served.behind.door.visitor(phone.cookies["visitor"]))
        seen: list[str] = []
        real: list[tuple[dict[str, str], list[str]]] = []

        def length() -> int:
            return sum(one.length for one in served.behind.walks.journal.streams(OUTINGS))

        before, stored = length(), 0
        for number in range(amount(600, quick=100, long=10_000)):
            if number % 150 == 149:
                at = begin(phone, rng.choice(list(known.symptoms)))
                before = length()
            if number % 5 == 0:
                page = shown(phone, f"{at}?at={rng.choice([*BESIDE, 'look', ''])}&part={rng.choice(['1', '9', 'x'])}")
                real = [one for one in forms(page) if one[1]] or real
                seen = [one for hidden, answers in real for one in (*hidden.values(), *answers)]
            some = [*ODD, *seen, *rng.sample(ids, 5)]
            data = {
                "n": rng.choice([str(rng.randrange(12)), rng.choice(some)]),
                "key": rng.choice([key, key, key, rng.choice(some)]),
                "do": rng.choice([*EVENTS, *QUIET, rng.choice(some)]),
                "about": rng.choice(some),
                "say": rng.sample(some, rng.randrange(4)),
                "typed": rng.choice(some),
            }
            if real and rng.random() < 0.4:  # a form as it is, or with one thing changed
                hidden, answers = rng.choice(real)
                odd = rng.choice(["", *data])
                data = {**hidden, "say": [rng.choice(answers)], **({odd: data[odd]} if odd else {})}
            status = phone.post(at, data=data).status_code
            assert status in (303, 400, 403, 409, 413, 422), (status, data)
            grown = length() - before
            assert grown in ((0, 1) if status == 303 else (0,)), (status, data)
            stored, before = stored + grown, before + grown
        assert stored
