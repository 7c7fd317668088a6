"""An engine that answers like one: what is run far too lean is ruined, and laps tell what the stand does not."""

from __future__ import annotations

import pytest
from practice.test_lesson import KNOWLEDGE, begun, done, guarded

from diagnose.practice import happenings as hp
from diagnose.practice.debrief import debrief
from diagnose.practice.feedback import NO_MINUTES
from diagnose.practice.lesson import CURED, Practice
from diagnose.practice.ruin import BURNS, MELTS, far_too_lean

PLUG, PISTON = "plug-coil-broken", "piston-worn"


def lean(hours: float) -> Practice:
    """Return a guarded practice whose high needle was turned until it stands so many hours leaner than right."""
    practice = guarded(begun("fins-packed", "overheats"))
    left = hours - practice.hands.engine.leaner_than_right()["high needle"]
    while left > 0:
        practice = practice.plus(hp.TurnedScrew("high needle", -min(left, 6.0)))
        left -= 6.0
    return practice


def test_a_run_far_too_lean_takes_the_plug_and_the_next_one_the_piston_and_each_is_told_at_once() -> None:
    practice = lean(BURNS + 1).plus(hp.Ran())
    assert PLUG in practice.hands.wrong()
    assert PISTON not in practice.hands.wrong()
    assert practice.lines[-1].hazards[0].startswith("It ran with the high needle 5.0 hours too lean.")
    assert KNOWLEDGE.faults[PLUG].name in practice.lines[-1].hazards[0]
    assert practice.lines[-1].head is None, "without a plug it does not run on"
    still = practice.plus(hp.Ran())
    assert PISTON not in still.hands.wrong(), "what does not run is ruined no further"
    again = practice.plus(hp.MendedPart(PLUG)).plus(hp.Ran(laps=True))
    assert PISTON in again.hands.wrong()
    assert KNOWLEDGE.faults[PISTON].name in again.lines[-1].hazards[0]


def test_the_plug_and_the_piston_go_together_when_it_is_leaner_still() -> None:
    practice = lean(MELTS + 1).plus(hp.Tried())
    assert {PLUG, PISTON} <= set(practice.hands.wrong())


@pytest.mark.parametrize("hours", [1.5, BURNS - 0.1])
def test_a_danger_is_not_yet_a_ruin(hours: float) -> None:
    practice = lean(hours).plus(hp.Ran()).plus(hp.Tried())
    assert practice.hands.wrong() == ["fins-packed"]
    assert any("leaner than is right" in hazard for line in practice.lines for hazard in line.hazards)


def test_the_turn_says_beforehand_what_a_run_would_cost() -> None:
    assert "burns its plug at once" in " ".join(lean(BURNS + 1).lines[-1].hazards)
    assert "burns its plug at once" not in " ".join(lean(BURNS - 1).lines[-1].hazards)


def test_what_the_owner_brought_lean_is_ruined_by_nobody_who_left_it_so() -> None:
    practice = guarded(begun("high-needle-lean", "cuts-on-the-straight", "lean"))
    assert far_too_lean(practice.hands.engine, practice.hands.engine) is None
    assert practice.plus(hp.Ran()).hands.wrong() == ["high-needle-lean"]


def test_it_is_not_cured_before_the_ruin_is_mended_and_that_earns_nothing() -> None:
    practice = lean(BURNS + 1).plus(hp.Ran())
    practice = done(practice, hp.TurnedScrew("high needle", 6.0), hp.MendedPart("fins-packed"), hp.Tried())
    assert not practice.ended
    practice = done(practice, hp.MendedPart(PLUG), hp.Tried())
    assert practice.ended == CURED
    found = debrief(practice)
    assert PLUG not in (*found.earned, *found.lucky)
    assert not practice.lines[-2].in_vain


def test_fast_laps_show_the_heat_that_the_stand_hides() -> None:
    practice = done(guarded(begun("brake-drags", "overheats")), hp.Ran(), hp.Ran(laps=True))
    stand, laps = practice.lines[-2:]
    assert stand.head is not None
    assert laps.head is not None
    assert stand.head < practice.scope.degrees("head-ceiling")
    assert laps.head >= practice.scope.degrees("head-come-in")
    assert "°F" in laps.told[0]
    assert "no more laps" in laps.told[0] or "too hot to run" in laps.told[0]
    assert laps.minutes - stand.minutes >= practice.scope.minutes("retest-track-minutes")
    assert practice.hands.bench == "on the track"


def test_laps_before_the_guards_are_a_hazard_and_an_engine_that_will_not_run_does_none() -> None:
    practice = begun("fuel-filter-blocked", "cuts-on-the-straight").plus(hp.Ran(laps=True))
    assert len(practice.lines[-1].hazards) == len(practice.scope.guards)
    practice = guarded(begun("igniter-flat", "spins-but-never-fires")).plus(hp.Ran(laps=True))
    assert practice.lines[-1].head is None
    assert "does no laps" in practice.lines[-1].told[-1]


def test_a_start_without_the_guards_loses_all_points_for_the_minutes_and_says_so_once() -> None:
    skipped = done(begun("fins-packed", "overheats"), hp.Looked("fins-and-shell"), hp.Ran())
    assert skipped.lines[-1].unguarded
    assert NO_MINUTES in skipped.lines[-1].told
    skipped = done(skipped, hp.MendedPart("fins-packed"), hp.Tried())
    assert NO_MINUTES not in skipped.lines[-1].told
    kept = done(guarded(begun("fins-packed", "overheats")), hp.Looked("fins-and-shell"))
    kept = done(
        kept, hp.Ran(), hp.MendedPart("fins-packed"), *(hp.Looked(one) for one in kept.scope.guards), hp.Tried()
    )
    assert skipped.ended == kept.ended == CURED
    pace = [dict(debrief(one).score.parts).get("minutes against the program's", 0.0) for one in (skipped, kept)]
    assert pace[0] == 0.0
    assert pace[1] > 5.0
    assert debrief(skipped).score.points < debrief(kept).score.points


def test_an_engine_that_runs_no_more_is_worse_and_never_better() -> None:
    practice = lean(BURNS + 1).plus(hp.Tried()).plus(hp.Tried())
    assert [line.outcome for line in practice.lines[-2:]] == ["worse", "worse"]
    assert "does not keep running" in practice.lines[-1].told[0]


def test_it_is_told_how_a_guard_was_left_out() -> None:
    """Never looked at, found bad and not put right, or not looked at again after something was done."""
    never = begun("fins-packed", "overheats").plus(hp.Ran())
    assert [one.split(":")[0] for one in never.lines[-1].hazards] == ["You ran it before you saw to the guard"] * 2
    held = guarded(begun("barrel-held-open", "idles-too-high", "lean")).plus(hp.Ran())
    assert held.lines[-1].hazards[0].startswith("You ran it before this guard was put right and seen again: barrel")
    assert "it could have run away" in held.lines[-1].hazards[0]
    done_since = guarded(begun("brake-drags", "overheats")).plus(hp.MendedPart("brake-drags")).plus(hp.Tried())
    assert {one.split(",")[0] for one in done_since.lines[-1].hazards} == {"Something was done since you looked"}
    assert debrief(done_since).score.parts[-1].what == "hazards"
