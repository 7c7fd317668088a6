from __future__ import annotations

from little import knowledge

from diagnose.graph.model import Variant
from diagnose.measure.slips import Slip, shares, walked

LOADS_UP = "loads-up"


def test_with_true_answers_every_fault_that_a_first_look_shows_is_put_right() -> None:
    for fault in knowledge().first_owed(LOADS_UP, Variant()) & knowledge().explaining(LOADS_UP, Variant()).keys():
        end = walked(knowledge(), LOADS_UP, Variant(), fault)
        assert (end.outcome, end.right) == ("cured", True), fault


def test_a_look_that_missed_is_made_again_and_the_fault_is_mended_after_all() -> None:
    true = walked(knowledge(), LOADS_UP, Variant(), "line-off")
    ends = [walked(knowledge(), LOADS_UP, Variant(), "line-off", Slip(at, True, 0.0)) for at in range(true.asked)]
    assert all(end.outcome == "cured" for end in ends)
    assert max(end.asked for end in ends) > true.asked


def test_a_slip_changes_only_the_answer_that_it_is_about() -> None:
    beyond = walked(knowledge(), LOADS_UP, Variant(), "line-off", Slip(99, True, 0.0))
    assert beyond == walked(knowledge(), LOADS_UP, Variant(), "line-off")


def test_the_shares_are_the_same_for_a_seed_and_lie_between_none_and_all() -> None:
    found = shares(knowledge(), LOADS_UP, Variant(), tries=2, seed=3)
    assert found is not None
    assert found == shares(knowledge(), LOADS_UP, Variant(), tries=2, seed=3)
    assert found.true_right == 0.75  # six of eight: the little route never comes to the other two
    assert 0.5 < found.slip_cured <= found.slip_honest <= 1.0


def test_what_no_fault_explains_has_no_shares() -> None:
    assert shares(knowledge(), "ghost", Variant()) is None
