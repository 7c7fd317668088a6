"""Forms of a fault: how they are read, what their looks can show, and what is refused about them."""

from __future__ import annotations

import pytest
from graph.knowledge_files import FILES, changed, told
from graph.small import SMALL, broken, edited, fault, look, small

from diagnose.graph.model import Form, Knowledge
from diagnose.graph.model.form import Condition
from diagnose.graph.read import read
from diagnose.graph.schema import file_schema

NAME = "  name: pressure line off or split\n"
TWO = "{off: {name: off, share: 0.6}, split: {name: split, share: 0.4, when: [hot]}}"
HOT = {"conditions.yaml": "format: 1\nhot: {name: hot, states: [warm]}\n"}


def with_forms(forms: str) -> dict[str, str]:
    return changed("faults/mechanical.yaml", NAME, f"{NAME}  forms: {forms}\n") | HOT


def said(files: dict[str, str]) -> str:
    return "\n".join(told(files))


@pytest.mark.parametrize(
    ("forms", "refused"),
    [
        ("{off: {name: off}, split: {name: split, share: 0.4}}", "6:10: 'off' has no 'share' (missing-field)"),
        ("{off: {name: off, share: 0.6}}", "'forms' needs at least 2 (too-few)"),
        (
            "{off: {name: off, share: 0.6}, split: {name: split, share: 0.3}}",
            "the shares of the forms of 'pressure-line-off' come to 0.9 together, not to 1 (form-shares)",
        ),
        (TWO.replace("0.4", "1.4"), "'share' is 1.4; it must be above 0 to 1 (out-of-range)"),
        (TWO.replace("[hot]", "[hto]"), "unknown condition 'hto'; did you mean 'hot' (unknown-name)"),
        (TWO.replace("split:", "split.off:"), "'split.off' is not a name"),
    ],
)
def test_forms_that_are_not_whole_are_refused_with_their_place(forms: str, refused: str) -> None:
    found = said(with_forms(forms))
    assert "faults/mechanical.yaml:" in found
    assert refused.removeprefix("6:10: ") in found


@pytest.mark.parametrize(
    ("named", "refused"),
    [
        ("pressure-line-off.splitt: 0.9", "'pressure-line-off' has no form 'splitt'; did you mean 'split'"),
        ("pressure-line-of.split: 0.9", "unknown fault 'pressure-line-of'; did you mean 'pressure-line-off'"),
        ("fail-safe-off.split: 0.9", "'fail-safe-off' has no form 'split'"),
        ("pressure-line-off..split: 0.9", "is not a name"),
    ],
)
def test_an_answer_that_names_a_form_that_is_not_there_is_refused(named: str, refused: str) -> None:
    found = said(
        with_forms(TWO) | {"checks/fuel.yaml": FILES["checks/fuel.yaml"].replace("pressure-line-off: 0.9", named)}
    )
    assert "checks/fuel.yaml:" in found
    assert refused in found


def test_a_look_under_a_condition_that_is_not_there_is_refused() -> None:
    fuel = FILES["checks/fuel.yaml"].replace("  state: parked\n", "  state: parked\n  under: [hto]\n", 1)
    assert "unknown condition 'hto'; did you mean 'hot'" in said(with_forms(TWO) | {"checks/fuel.yaml": fuel})


def test_the_unhealthy_answers_of_one_form_come_to_one_at_most() -> None:
    drips = "      else: 0.03\n    drips: {say: it drips, if: {pressure-line-off.split: 0.3}, else: 0.03}\n"
    fuel = FILES["checks/fuel.yaml"].replace("      else: 0.03\n", drips, 1)
    assert "with 'pressure-line-off.split' the unhealthy answers have 1.2" in said(
        with_forms(TWO) | {"checks/fuel.yaml": fuel}
    )


def test_the_number_of_a_form_wins_over_that_of_its_fault() -> None:
    named = "pressure-line-off: 0.9, pressure-line-off.off: 0.2"
    fuel = FILES["checks/fuel.yaml"].replace("pressure-line-off: 0.9", named)
    fuel = fuel.replace("  state: parked\n", "  state: parked\n  under: [hot]\n", 1)
    known = read(with_forms(TWO) | {"checks/fuel.yaml": fuel}).knowledge
    check = known.checks["tank-holds-pressure"]
    assert known.chances(check, "pressure-line-off.off")["bleeds"] == pytest.approx(0.2)
    assert known.chances(check, "pressure-line-off.split")["bleeds"] == pytest.approx(0.9)
    assert known.chances(check, "pressure-line-off")["bleeds"] == pytest.approx(0.6 * 0.2 + 0.4 * 0.9)
    assert known.shown_by(check) == {"pressure-line-off.split"}


def test_a_dot_stands_in_no_other_name() -> None:
    schema = file_schema("faults")["$defs"]["Fault"]["properties"]["forms"]
    assert "." not in "".join(schema["propertyNames"]["pattern"].split("^")[1:]).replace("\\.", "")


FORMS = {"off": {"name": "off", "share": 0.6}, "kinked": {"name": "kinked", "share": 0.4, "when": ["fitted"]}}
CONDITIONS = {"fitted": {"name": "fitted", "states": ["parked"]}}


def formed(**hold: object) -> Knowledge:
    """Return the small knowledge with a fault in two forms, one of which shows only where all is fitted."""
    looks = look({"line-off": 0.9, "lid-leaks": 0.8}, **hold)
    return small(conditions=CONDITIONS, faults={"line-off": fault("tank", forms=FORMS)}, checks={"hold": looks})


def test_a_form_shows_only_where_the_look_is_made_under_all_that_it_needs() -> None:
    known = formed()
    assert known.chances(known.checks["hold"], "line-off.kinked")["bad"] == pytest.approx(0.9)
    apart = formed(under=[])
    assert apart.chances(apart.checks["hold"], "line-off.kinked")["bad"] == pytest.approx(0.03)
    assert apart.shown_by(apart.checks["hold"]) == {"line-off.off", "line-off", "lid-leaks"}


def test_what_is_remembered_was_seen_under_every_condition() -> None:
    known = formed(under=[], remembered=True)
    assert "line-off.kinked" in known.shown_by(known.checks["hold"])


def test_a_form_that_no_first_look_can_show_is_named_with_what_it_needs() -> None:
    assert broken(formed(), "form-unseen") == []
    [found] = broken(formed(under=[]), "form-unseen")
    assert "no first look can show 'line-off.kinked' under 'fitted'" in found


def test_a_form_that_is_rare_or_says_why_needs_no_look() -> None:
    known = formed(under=[])
    line = known.faults["line-off"]
    told = Form("kinked", 0.4, ("fitted",), "Nobody sees it.")
    assert broken(edited("faults", "line-off", known, forms={**line.forms, "kinked": told}), "form-unseen") == []
    rare = {"off": Form("off", 0.95), "kinked": Form("kinked", 0.05, ("fitted",))}
    assert broken(edited("faults", "line-off", known, forms=rare), "form-unseen") == []


def test_a_look_that_shows_less_than_half_of_a_fault_is_no_first_look_for_it() -> None:
    turned = {"off": Form("off", 0.4), "kinked": Form("kinked", 0.6, ("fitted",))}
    known = edited("faults", "line-off", formed(under=[]), forms=turned)
    assert any("no first look can show 'line-off'" in found for found in broken(known, "no-first-look"))


def test_a_condition_that_no_look_makes_is_told_and_so_is_one_that_no_form_needs() -> None:
    known = edited("checks", "hold", formed(), state="plug out")
    made = {**known.conditions, "fitted": Condition("fitted")}
    known = small(known, conditions={"fitted": {"name": "fitted"}, "dark": {"name": "dark", "states": ["warm"]}})
    assert made["fitted"].states == ()
    assert len(broken(known, "condition-unmade")) == 1
    assert any("'dark'" in found for found in broken(known, "unused"))
    assert broken(SMALL, "unused") == []
