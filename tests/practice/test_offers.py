"""What a learner is offered."""

from __future__ import annotations

from practice.test_lesson import KNOWLEDGE

from diagnose.graph.model import every_variant
from diagnose.practice import offers
from diagnose.reason.scope import Scope


def test_every_check_and_every_mend_is_offered_once_on_every_engine() -> None:
    for variant in every_variant():
        scope = Scope(KNOWLEDGE, variant)
        looks = [name for names in offers.looks(scope).values() for name in names]
        assert sorted(looks) == sorted(scope.checks)
        mends = [name for names in offers.mends(scope).values() for name in names]
        assert sorted(mends) == sorted(name for name, fault in scope.faults.items() if not fault.turned)
        assert next(iter(offers.looks(scope))) == offers.GUARDS


def test_the_idle_stop_is_offered_with_the_low_needle_only() -> None:
    assert [turn.stop for _, turn in offers.turns("low needle")] == [0, 0, 1, -1, 0, 0]
    assert all(not turn.stop for _, turn in offers.turns("high needle"))
