"""What the tune bench knows, as pages."""

from __future__ import annotations

import pytest

from diagnose.graph.model import Follow, Screw
from diagnose.pages import asks, conditions
from diagnose.pages.ledger import told
from diagnose.pages.parts import Dials, Line, Page
from diagnose.pages.stand import screws, stand
from diagnose.tune.air import Air
from diagnose.tune.drift import explain
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import (
    Baseline,
    Corrected,
    Good,
    Ledger,
    LedgerEntry,
    Turned,
    WentBack,
    caliper,
    closed,
    flush,
    fold,
)

MILD, HOT = Air(20, 101_325, 0.5), Air(30, 101_325, 0.5)
WEAK, STRONG = Blend(0.16, 0.10), Blend(0.25, 0.10)
START = Baseline(0, {"high needle": closed(36), "low needle": flush(2, sunk=True)})


def ledger(*entries: LedgerEntry) -> Ledger:
    return fold((START, *entries))


def leaner(at: float, hours: float = 1) -> Turned:
    return Turned(at, "high needle", "leaner", hours)


def lines(page: Page) -> tuple[str, ...]:
    return tuple(part.text for part in page if isinstance(part, Line))


def standing(found: Ledger, screw: Screw) -> str:
    [dials] = [part for part in stand(found, 3, "") if isinstance(part, Dials)]
    return dials.dials[screws(3).index(screw)].words


def test_two_needles_have_no_mid_among_them() -> None:
    assert screws(2) == ("low needle", "high needle", "idle stop")
    assert screws(3) == ("low needle", "mid needle", "high needle", "idle stop")


def test_where_a_screw_stands_is_said_beside_its_good_tune_and_its_baseline() -> None:
    found = ledger(leaner(1), Good(2), leaner(3))
    assert standing(found, "high needle") == (
        "34 hours (2 turns and 10 hours) out from gently closed. Last good tune: 35 hours. Baseline: 36 hours."
    )
    assert standing(found, "low needle") == (
        "2 hours below flush with the body. Last good tune: 2 hours below flush with the body. "
        "Baseline: 2 hours below flush with the body."
    )
    assert standing(found, "idle stop") == "not counted yet."
    assert lines(stand(found, 3, "")) == ("High needle: one hour leaner since the last good tune, or going back.",)


def test_a_screw_that_went_past_its_end_is_to_be_counted_again() -> None:
    found = fold((Baseline(0, {"high needle": closed(0.5)}), leaner(1)))
    assert standing(found, "high needle") == "turned past its end: count it again. Baseline: half an hour."


def test_the_idle_stop_goes_in_and_out_and_not_richer() -> None:
    found = ledger(Turned(1, "low needle", "leaner", 1, {"idle stop": Follow("out", 0.5)}))
    assert lines(stand(found, 3, "")) == (
        "Low needle: one hour leaner since the last good tune, or going back.",
        "Idle stop: half an hour further out since the last good tune, or going back.",
    )


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (START, ("baseline: high needle 36 hours, low needle 2 hours below flush with the body", "", "")),
        (
            Turned(1, "low needle", "leaner", 1, {"idle stop": Follow("out", 0.5)}, "loads up", "better"),
            ("low needle one hour leaner, idle stop half an hour out", "loads up", "better"),
        ),
        (Good(1), ("marked good", "", "")),
        (
            Good(1, Conditions(HOT, STRONG, 95), "5"),
            ("marked good: 30 °C (86 °F), 50 %, 1013 hPa, 25 % nitro, 10 % oil, head 95 °C (203 °F), plug 5", "", ""),
        ),
        (WentBack(1, {"high needle": closed(37)}, "cold"), ("went back: high needle 37 hours", "cold", "")),
        (
            Corrected(1, {"high needle": caliper(1.5, 0.5)}, "miscounted"),
            ("counted: high needle 1.50 mm above the body by the caliper", "miscounted", ""),
        ),
    ],
)
def test_every_kind_of_entry_is_said_with_its_reason_and_its_result(
    entry: LedgerEntry, expected: tuple[str, str, str]
) -> None:
    assert told(entry) == expected


def test_the_density_of_the_air_comes_with_its_height_and_its_doubt() -> None:
    assert lines(conditions.air_and_fuel(Conditions(MILD))) == (
        "Density: 1.199 kg/m³. The dry part, which burns the fuel: 1.191 kg/m³.",
        "Density altitude: 220 m (720 ft). A standard day has this air there.",
    )
    assert "made for 15 to 27 °C" in lines(conditions.air_and_fuel(Conditions(HOT)))[2]


def test_a_fuel_says_how_much_air_it_asks_for() -> None:
    assert lines(conditions.air_and_fuel(Conditions(fuel=WEAK))) == (
        "16 % nitro, 10 % oil, the rest methanol. A litre asks for 4.10 to 5.22 kg of air, with none of the oil burnt "
        "or all of it.",
    )


def said(drift: float, now: Conditions) -> tuple[tuple[str, ...], tuple[str, ...]]:
    good = fold((START, Good(0, Conditions(MILD, WEAK)))).last_good
    assert good is not None
    found = explain(drift, good, now, 3600.0, offset=0)
    return asks.asked(found), asks.drift(found)


def test_what_the_day_asks_for_is_said_by_cause_and_by_feed() -> None:
    """20 to 30 °C at three turns: 0.9 hours by suction and 0.2 by the exhaust's pressure (as in test_drift)."""
    assert said(0, Conditions(HOT, STRONG))[0] == (
        "Air, by suction: 2.4 % less fuel, 0.9 hours leaner.",
        "Air, pressurised by the exhaust: 0.6 % less fuel, 0.2 hours leaner.",
        "Fuel, however the tank is fed: 7.7 to 9.5 % more fuel, 2.8 to 3.4 hours richer.",
        "Together, by suction: 5.1 to 6.8 % more fuel, 1.8 to 2.4 hours richer.",
        "Together, pressurised by the exhaust: 7.1 to 8.8 % more fuel, 2.5 to 3.2 hours richer.",
    )


def test_what_is_not_known_is_said() -> None:
    assert said(0, Conditions(MILD))[0] == (
        "Air, however the tank is fed: as it was.",
        "The fuel is not known, then or now: it may explain more.",
    )


@pytest.mark.parametrize(
    ("drift", "now", "expected"),
    [
        (0, Conditions(MILD, WEAK), ("The high needle stands where it stood at the last good tune.",)),
        (
            -0.5,
            Conditions(HOT, WEAK),
            (
                "The high needle stands half an hour leaner than at the last good tune.",
                "Nothing of that is left unexplained.",
            ),
        ),
        (
            2,
            Conditions(MILD, WEAK),
            (
                "The high needle stands 2 hours richer than at the last good tune.",
                "Left unexplained: 2 hours. Over an hour: look for what is wrong.",
            ),
        ),
        (
            -0.5,
            Conditions(MILD, WEAK),
            (
                "The high needle stands half an hour leaner than at the last good tune.",
                "Left unexplained: half an hour. Under an hour tells nothing.",
            ),
        ),
        (
            0,
            Conditions(MILD, STRONG),
            (
                "The high needle stands where it stood at the last good tune.",
                "It stands 2.8 hours leaner than air and fuel ask for at the least.",
            ),
        ),
        (
            0,
            Conditions(MILD),
            (
                "The high needle stands where it stood at the last good tune.",
                "How much of a drift is explained can't be told while the day or the fuel is not known.",
            ),
        ),
    ],
)
def test_the_drift_says_what_is_left_unexplained(drift: float, now: Conditions, expected: tuple[str, ...]) -> None:
    assert said(drift, now)[1] == expected
