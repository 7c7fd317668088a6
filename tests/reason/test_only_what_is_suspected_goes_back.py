"""Going back touches the screws under suspicion and no other: somebody may have set those on purpose."""

from __future__ import annotations

from typing import Any, Literal

from little import CHECKS, FAULTS, answer, check, current, knowledge, shows, start, warm
from msgspec.structs import replace
from reason.test_back_first import at_the_needle, marked, to_the_record
from shipped import load

from diagnose.graph.model import Variant
from diagnose.graph.model.parts import SCREWS
from diagnose.practice.engine import sound_engine
from diagnose.practice.faults import gone_back, only
from diagnose.practice.parts import Screws, Weather
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk
from diagnose.record.ledger import done
from diagnose.tune.needles import WentBack

TURNED: dict[Any, float] = {"low needle": -1.5, "high needle": -1.0, "idle stop": 0.5}


def home(walk: Walk) -> Walk:
    return walk.plus(walk.choose(current(walk), "done", 20))


def test_before_an_hour_only_the_screw_that_it_turns_goes_back_with_what_follows_it() -> None:
    step = current(at_the_needle(recorded=True, turned=TURNED))
    assert (step.kind, step.only) == ("restore", ("low needle", "idle stop"))
    assert step.how[0] == (
        "Only the low needle and the idle stop. Each other screw stays where it is: "
        "somebody may have set it on purpose."
    )
    walk = home(at_the_needle(recorded=True, turned=TURNED))
    assert walk.state.turned == {"high needle": -1.0}
    assert walk.events[-1] == ev.Restored(20, "leaner", ("low needle", "idle stop"))


def test_where_only_the_record_of_the_suspect_is_said_is_only_its_place_said() -> None:
    screws: tuple[Literal["low needle", "high needle"], ...] = ("low needle", "high needle")
    back = tuple(ev.Target(screw, 24.0, f"{screw}: two turns.") for screw in screws)
    step = current(at_the_needle(recorded=True, back=back))
    assert "low needle: two turns." in step.how
    assert "high needle: two turns." not in step.how


def test_where_it_is_the_same_there_the_others_go_home_before_a_new_setting() -> None:
    walk = home(at_the_needle(recorded=True, turned=TURNED)).plus(ev.Retested(60, "same"))
    walk = answer(warm(walk, 60), 60, pinch="long climb")
    step = current(walk, 60)
    assert (step.kind, step.only) == ("restore", ("mid needle", "high needle"))
    assert step.why == "It is not gone with that. Before a new setting is tried, the other screws go home as well."
    walk = home(walk).plus(ev.Retested(90, "same"))
    assert walk.state.turned == {}
    assert walk.standing.goes_back_first == ""


def test_a_screw_that_was_seen_to_have_moved_goes_back_alone() -> None:
    step = current(answer(marked(turned=TURNED), marks="off"))
    assert (step.kind, step.only) == ("restore", ("high needle",))


def test_a_sign_about_a_screw_that_stayed_is_still_one() -> None:
    walk = home(answer(marked(turned=TURNED), pinch="long climb", marks="off"))
    assert walk.state.answers["pinch"].answer == "long climb"
    assert "pinch" not in home(at_the_needle(recorded=True)).state.answers


def test_a_route_that_goes_back_sends_home_what_is_not_there_yet() -> None:
    walk = home(at_the_needle(to_the_record(), recorded=True)).plus(ev.Retested(60, "same"))
    assert not walk.standing.on_record
    walk = walk.plus(ev.Restored(70, "strip", ("mid needle", "high needle"))).plus(ev.Retested(90, "same"))
    assert walk.standing.on_record


def test_an_old_going_back_was_that_of_every_screw() -> None:
    event = ev.from_json('{"kind":"restored","at":3.0,"node":"back"}')
    assert isinstance(event, ev.Restored)
    assert set(event.screws) == {"low needle", "mid needle", "high needle", "idle stop"}
    assert start(turned=TURNED).plus(event).state.turned == {}


def test_the_ledger_keeps_what_did_not_go_back() -> None:
    targets = (ev.Target("low needle", 20.0, "x"), ev.Target("high needle", 30.0, "y"))
    first = ev.Started(0.0, "", "loads-up", "blue", Variant(), back=targets)
    (entry,) = done([first, ev.Restored(1.0, "", ("low needle",))], load(), "one")
    assert isinstance(entry, WentBack)
    assert entry.settings.keys() == {"low needle"}
    assert entry.unrecorded == ()


def test_the_simulated_hand_sets_only_the_screws_that_go_back() -> None:
    record, now = Screws(36, 24, 18, 0.9), Screws(30, 20, 15, 2.0)
    home = gone_back(record, None, Weather())
    assert home == Screws(37, 24, 19, 0.9)
    assert only(home, now, ["low needle"]) == Screws(30, 20, 19, 2.0)
    assert only(home, now, SCREWS) == home
    engine = replace(sound_engine("home", load()), screws=now)
    back = engine.gone_back(["low needle", "idle stop"]).screws
    assert (back.high, back.mid) == (30, 20)
    assert (back.low, back.gap) == (engine.gone_back().screws.low, engine.tuned.gap)


def test_a_screw_that_was_seen_to_have_moved_goes_home_in_the_same_stop_as_a_mend() -> None:
    walk = answer(marked(turned=TURNED), hold="bleeds", soap="suds", marks="off").plus(ev.Mended(5, "lid-leaks"))
    walk = answer(walk, hold="fine", soap="fine")
    step = current(walk)
    assert (step.kind, step.only) == ("restore", ("high needle",))
    assert step.why.startswith("A screw was seen to have moved.")
    cured = home(walk).plus(ev.Retested(30, "cured")).verdict()
    assert cured is not None
    assert cured.because == "the mend and going back cured it"


def test_who_is_cured_by_a_record_of_an_unknown_day_is_told_that_it_may_sound_rich() -> None:
    blind = home(at_the_needle(recorded=True, back_blind=True)).plus(ev.Retested(60, "cured")).verdict()
    assert blind is not None
    assert blind.because.startswith("going back cured it. The screws went home an hour to the rich side")
    known = home(at_the_needle(recorded=True)).plus(ev.Retested(60, "cured")).verdict()
    assert known is not None
    assert known.because == "going back cured it"


def suspect_home() -> Walk:
    """Send the low needle home, where a mark or a count tells of the high one; neither was looked at before."""
    off = {"fine": CHECKS["hold"]["answers"]["fine"], "off": shows({"crept": 0.8}, 0.15)}
    crept = {**FAULTS["froth"], "area": "needles", "explains": {}, "kind": "screw", "screw": "high needle"}
    crept |= {"setting": "off", "mend": {**FAULTS["froth"]["mend"], "back": True, "touches": ["needles"]}}
    checks = {**CHECKS, "marks": check("parked", 0.5, off), "count": check("parked", 3, off)}
    known = knowledge(checks=checks, faults={**FAULTS, "crept": crept})
    return home(at_the_needle(known, recorded=True, turned=TURNED))


def test_before_it_is_tried_one_look_tells_whether_the_others_have_moved() -> None:
    step = current(suspect_home())
    assert (step.kind, step.id) == ("ask", "marks")  # the quickest that can tell
    assert step.why == "Only what was suspected went back. A look tells whether the others have moved."
    assert current(answer(suspect_home(), marks="fine")).kind == "retest"


def test_what_is_seen_to_have_moved_goes_home_in_the_same_stop() -> None:
    walk = answer(suspect_home(), marks="off")
    step = current(walk)
    assert (step.kind, step.only) == ("restore", ("high needle",))
    walk = home(walk)
    assert walk.state.home == {"low needle", "idle stop", "high needle"}
    assert current(walk).kind == "retest"  # the other screws are on no mark, and no look is made twice for them


def test_who_cannot_tell_leaves_the_others_where_they_stand() -> None:
    assert current(answer(suspect_home(), marks="can't tell")).kind == "retest"


def test_where_no_look_can_tell_it_is_tried_at_once() -> None:
    assert current(home(at_the_needle(recorded=True))).kind == "retest"
