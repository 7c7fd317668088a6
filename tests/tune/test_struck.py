"""A mistake in the ledger is struck out, and every tune that was kept can be gone back to."""

from __future__ import annotations

from diagnose.tune.back import going_back
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Baseline, Corrected, Good, Struck, Turned, closed, fold, standing

FIRST = Baseline(1.0, {"low needle": closed(12), "high needle": closed(36)})
GOOD = Good(2.0)
LEANER = Turned(3.0, "high needle", "leaner", 1.0)
AGAIN = Good(4.0)


def test_what_was_struck_out_counts_no_more() -> None:
    entries = [FIRST, GOOD, LEANER, AGAIN]
    before = fold([FIRST, GOOD, LEANER])
    after = fold(standing([*entries, Struck(5.0, 4.0, "good")]))
    assert after.now == before.now
    assert after.last_good == before.last_good
    assert after.moved == before.moved == {"high needle": -1.0}


def test_only_the_entry_that_is_meant_is_struck_out() -> None:
    twin = Corrected(4.0, {"low needle": closed(13)})  # written in the same second
    assert standing([FIRST, twin, AGAIN, Struck(5.0, 4.0, "good")]) == [FIRST, twin]


def test_every_tune_that_was_kept_can_be_gone_back_to_the_newest_first() -> None:
    ledger = fold([FIRST, GOOD, LEANER, AGAIN])
    assert [tune.at for tune in ledger.kept] == [4.0, 2.0, 1.0]
    hours = [
        {t.screw: t.record.hours for t in going_back(ledger, Conditions(), record=one).targets} for one in ledger.kept
    ]
    assert [one["high needle"] for one in hours] == [35.0, 36.0, 36.0]


def test_a_tune_that_nobody_counted_is_none_to_go_back_to() -> None:
    assert fold([Good(1.0), FIRST]).kept == (fold([FIRST]).baseline,)
