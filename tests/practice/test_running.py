"""What the simulated engine does, against what tuners say (common practice, no source)."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.graph.model import Variant
from diagnose.practice.faults import broken
from diagnose.practice.parts import SOUND, Parts, Screws, Weather
from diagnose.practice.running import Running, run
from diagnose.practice.symptoms import Circumstances, shown, strengths
from diagnose.tune.air import Air

ROWS = load().simulated_faults
DAY = Weather()
THREE = Variant()
NEW = Variant(run_in=False)


def running(
    screws: Screws | None = None, parts: Parts = SOUND, day: Weather = DAY, variant: Variant = THREE
) -> Running:
    return run(parts, screws or Screws(), day, variant)


def symptoms(
    screws: Screws | None = None, parts: Parts = SOUND, variant: Variant = THREE, day: Weather = DAY
) -> set[str]:
    return set(shown(Circumstances(parts, screws or Screws(), day, variant)))


def faulty(fault: str, mode: int = 0, severity: float = 0.6, variant: Variant = THREE) -> set[str]:
    parts, screws = broken(SOUND, Screws(), ROWS[fault], mode, severity)
    return symptoms(screws, parts, variant)


def test_a_sound_engine_shows_nothing() -> None:
    assert symptoms() == set()
    assert symptoms(variant=NEW) == set()


def test_an_hour_off_right_shows_nothing() -> None:
    for screw in ("high needle", "mid needle", "low needle", "idle stop"):
        for hours in (-1, 1):
            assert symptoms(Screws().turned(screw, hours)) == set()


def test_a_rich_low_needle_loads_up_bogs_and_in_the_end_dies() -> None:
    assert {"loads-up-at-idle", "bogs-off-the-line"} <= symptoms(Screws(low=22))
    assert "dies-within-a-minute" in symptoms(Screws(low=27))
    assert running(Screws(low=22)).idle < 0.9


def test_a_lean_low_needle_idles_high_hangs_and_cuts() -> None:
    found = symptoms(Screws(low=12.5))
    assert {"revs-hang", "cuts-off-the-line", "idles-too-high"} <= found


def test_leaning_the_low_needle_raises_the_idle() -> None:
    speeds = [running(Screws(low=low)).idle for low in (21.0, 20.0, 19.0, 18.0, 17.0, 16.0)]
    assert speeds == sorted(speeds)


def test_mid_rich_is_flat_between_a_crisp_bottom_and_a_strong_top() -> None:
    screws = Screws(mid=28.5)
    assert symptoms(screws) == {"flat-in-the-mid-range"}
    found = running(screws)
    assert found.mixture[0] == pytest.approx(1, abs=0.01)
    assert found.power == pytest.approx(1, abs=0.01)


def test_a_rich_top_will_not_rev_out_and_stays_cool() -> None:
    assert symptoms(Screws(high=40)) == {"will-not-rev-out"}
    assert running(Screws(high=40)).race < running().race - 10


def test_a_lean_top_screams_cuts_overheats_and_leaves_thin_smoke() -> None:
    assert {"cuts-on-the-straight", "overheats"} <= symptoms(Screws(high=32))
    assert running(Screws(high=32)).smoke < 0.92


def test_a_lost_pressure_line_cuts_on_the_straight() -> None:
    assert {"cuts-on-the-straight", "overheats"} <= faulty("pressure-line-off")


def test_a_leak_at_the_base_looks_like_a_lean_low_needle() -> None:
    assert {"revs-hang", "idles-too-high", "will-not-hold-an-idle"} <= faulty("carburettor-base-leak", severity=0.8)


def test_a_richer_low_needle_hides_a_leak() -> None:
    parts, screws = broken(SOUND, Screws(), ROWS["carburettor-base-leak"], 0, 0.5)
    assert "revs-hang" in symptoms(screws, parts)
    assert "revs-hang" not in symptoms(screws.turned("low needle", 3), parts)


def test_a_slide_that_is_held_open_idles_too_high_whatever_holds_it() -> None:
    for fault in ("barrel-held-open", "trim-bumped", "linkage-binds", "barrel-sticks", "idle-stop-open"):
        assert "idles-too-high" in faulty(fault)


def test_a_tired_plug_wanders_then_dies_without_the_igniter() -> None:
    assert "will-not-hold-an-idle" in faulty("plug-tired", severity=0.3)
    assert "dies-as-the-igniter-comes-off" in faulty("plug-tired", severity=0.8)


def test_a_broken_coil_and_a_flat_igniter_never_fire() -> None:
    assert "spins-but-never-fires" in faulty("plug-coil-broken")
    assert "spins-but-never-fires" in faulty("igniter-flat", severity=1)
    assert "pops-but-will-not-catch" in faulty("igniter-flat", severity=0.4)


def test_an_engine_that_does_not_start_shows_nothing_of_how_it_runs() -> None:
    parts, screws = broken(*broken(SOUND, Screws(), ROWS["plug-coil-broken"], 0, 1), ROWS["pressure-line-off"], 0, 1)
    assert symptoms(screws, parts) == {"spins-but-never-fires", "will-not-start"}


def test_a_full_cylinder_locks_and_a_wet_one_pops() -> None:
    assert "will-not-turn-over" in faulty("flooded", severity=0.9)
    assert "pops-but-will-not-catch" in faulty("flooded", mode=1, severity=0.1)


def test_a_new_engine_is_tight_and_a_weak_box_stalls_on_it() -> None:
    assert "will-not-turn-over" in faulty("tight-when-new", severity=0.9, variant=NEW)
    assert running(variant=NEW).turning > running().turning


def test_a_worn_piston_is_weaker_hot_than_cold() -> None:
    assert "fades-when-warm" in faulty("piston-worn", severity=0.1)


def test_what_holds_the_car_or_the_air_back_overheats_it() -> None:
    for fault in ("brake-drags", "driveline-binds", "fins-packed", "no-airflow", "pipe-outlet-choked", "wrong-fuel"):
        assert "overheats" in faulty(fault, severity=0.7)


def test_a_cold_head_loads_up_although_no_needle_is_rich() -> None:
    parts, screws = broken(SOUND, Screws(), ROWS["over-cooled"], 0, 0.8)
    found = running(screws, parts)
    assert found.stand < 82
    assert "loads-up-at-idle" in symptoms(screws, parts)
    assert found.mixture == pytest.approx((1, 1, 1))


def test_a_leaking_lid_leans_as_the_tank_empties_and_a_sound_tank_hardly() -> None:
    assert "leans-as-the-tank-empties" in faulty("tank-lid-leaks")
    assert running().thins < 0.02


def test_a_sound_engine_warms_into_the_window_and_races_below_where_one_comes_in() -> None:
    for degrees in (5.0, 20.0, 35.0):
        found = running(day=Weather(Air(degrees, 101_325.0, 0.5)))
        assert 82 <= found.stand <= 104
        assert found.race < 121


def test_a_thermometer_that_misreads_overheats_nothing() -> None:
    parts, screws = broken(SOUND, Screws(), ROWS["thermometer-misreads"], 0, 0.8)
    assert running(screws, parts).race == pytest.approx(running().race)
    assert "overheats" in symptoms(screws, parts)


def test_strengths_grow_with_the_fault() -> None:
    for fault, symptom in (("brake-drags", "overheats"), ("tank-lid-leaks", "cuts-on-the-straight")):
        rows = [broken(SOUND, Screws(), ROWS[fault], 0, severity) for severity in (0.2, 0.5, 0.8)]
        found = [strengths(Circumstances(parts, screws, DAY, THREE))[symptom] for parts, screws in rows]
        assert found == sorted(found)
        assert found[0] < found[-1]


def test_a_stored_engine_that_is_rough_is_said_to_be_rough_after_storage() -> None:
    parts, screws = broken(SOUND, Screws(), ROWS["fuel-filter-blocked"], 0, 0.2)
    assert "will-not-rev-cleanly-after-storage" not in shown(Circumstances(parts, screws, DAY, THREE))
    rough = shown(Circumstances(SOUND, Screws(mid=29), DAY, THREE, stored=True))
    assert "will-not-rev-cleanly-after-storage" in rough
