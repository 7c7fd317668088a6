from __future__ import annotations

from graph.small import HERE, OUT, SMALL, ask, fault, look, routed, small, sweep

from diagnose.graph.compare import fewer


def test_nothing_is_lost_when_nothing_is_taken_away() -> None:
    assert fewer(SMALL, SMALL) == ()
    assert fewer(SMALL, small(faults={"froth": fault("fuel")})) == ()


def test_a_fault_that_no_sweep_looks_for_is_told_in_a_sentence() -> None:
    overlaid = routed({"outside": sweep("linkage", "tank", "ignition", to="pinch")})
    assert fewer(SMALL, overlaid) == ("revs hang: a fault has no first look any more",)


def test_a_look_that_can_show_no_longer_what_it_did_is_told() -> None:
    assert len(fewer(SMALL, small(checks={"hold": look({"line-off": 0.3, "lid-leaks": 0.8})}))) == 1
    assert fewer(SMALL, small(checks={"hold": look({"line-off": 0.9})})) == ()  # suds still show the lid


def test_what_is_lost_on_some_engines_names_them() -> None:
    told = fewer(SMALL, small(checks={"filter": look({"filter-torn": 0.9}, only={"run in": True, "needles": 3})}))
    assert len(told) == 1
    assert "on two needles, box start, run in; two needles, box start, new; " in told[0]
    assert "three needles, box start, run in" not in told[0]


def test_a_first_look_made_a_strip_down_is_a_first_look_less() -> None:
    later = fault("air", because="Inside.", **{"first look": "none"})
    assert fewer(SMALL, small(faults={"filter-torn": later})) == ("revs hang: a fault has no first look any more",)


def test_a_strip_down_that_is_gone_is_told() -> None:
    assert fewer(SMALL, routed({"strip": OUT})) == ("revs hang: a fault has no strip-down any more",)


def test_a_fault_that_is_gone_is_told_and_so_is_an_ask() -> None:
    assert len(fewer(SMALL, small(faults={"line-off": None}))) == 1
    asked = routed({"back": ask("plug", fine="out", bad="out")}, small(faults={"plug-tired": fault("elsewhere")}))
    assert len(fewer(asked, routed({"back": OUT}, asked))) == 1


def test_the_sentence_names_the_symptom_and_the_fault_as_shipped() -> None:
    known = small(faults={"line-off": fault("tank", name="line off")})
    overlaid = small(faults={"line-off": fault("tank", name="club's line", explains={})}, known=known)
    assert fewer(known, overlaid) == (f"{known.symptoms[HERE].name}: line off has no first look any more",)
