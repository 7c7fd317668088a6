"""How often what a walk says of its suspects is right: counted by the word, against what is really wrong."""

from __future__ import annotations

from shipped import load

from diagnose.graph.model import Variant
from diagnose.practice.believed import NOTHING, believed, together
from diagnose.practice.drive import drive
from diagnose.practice.engine import random_engine
from diagnose.reason import events as ev
from diagnose.reason.explain import SHOWN
from diagnose.reason.likelihood import BANDS, word
from diagnose.reason.walk import begin

KNOWLEDGE = load()


def test_every_suspect_that_is_listed_is_counted_under_its_word_and_right_when_it_is_there() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0, "", "revs-hang", "", Variant()))
    listed = {f: share for f, share in walk.standing.spoken.items() if share >= SHOWN and f in walk.scope.faults}
    first = max(listed, key=lambda fault: listed[fault])
    counted = believed(walk, {first})
    assert sum(one.count for one in counted) == len(listed)
    assert abs(sum(one.shares for one in counted) - sum(listed.values())) < 1e-9
    assert [said for (_, said), one in zip(BANDS, counted, strict=True) if one.right] == [word(listed[first])]


def test_counts_add_up() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0, "", "revs-hang", "", Variant()))
    once = believed(walk, ())
    assert [one.count for one in together((once, NOTHING, once))] == [2 * one.count for one in once]


def test_a_drive_counts_what_was_said_once_before_anything_was_done_and_at_every_step_with_something_wrong() -> None:
    engine = random_engine("believed 3", KNOWLEDGE, 1)
    driven = drive(engine, KNOWLEDGE)
    before = sum(one.count for one in driven.before_anything)
    assert 0 < before < sum(one.count for one in driven.at_every_step)
    assert sum(one.right for one in driven.before_anything) <= 1
