"""How a fault acts and what a look sees on the simulated engine are files like the others: read, linked, refused."""

from __future__ import annotations

import jsonschema
import pytest
from graph.knowledge_files import FILES, told

from diagnose.graph.model.parts import SCREWS, ranges
from diagnose.graph.places import parse
from diagnose.graph.read import read
from diagnose.graph.schema import file_schema

FAULTS, CHECKS = "simulated/faults.yaml", "simulated/checks/tank.yaml"
OWN = {
    FAULTS: """\
format: 1
pressure-line-off: {often: 3, comes: suddenly, modes: [{pressure line: [0.7, 0.2]}], renews: [line seen]}
low-needle-lean: {often: 4, comes: slowly, modes: [{low needle: [-1.5, -6]}]}
""",
    CHECKS: """\
format: 1
tank-holds-pressure:
  trust: H
  needs: turns
  shows:
    - {answer: bleeds, below: {pressure line: 0.82}, and: {above: {idle speed: 0.1}}}
    - {answer: bleeds, symptom: revs-hang, trust: L}
""",
}


def test_how_a_fault_acts_and_what_a_look_sees_are_read() -> None:
    known = read({**FILES, **OWN}).knowledge
    assert list(known.simulated_faults) == ["pressure-line-off", "low-needle-lean"]
    assert known.simulated_faults["pressure-line-off"].modes == ({"pressure line": (0.7, 0.2)},)
    assert [sign.answer for sign in known.simulated_checks["tank-holds-pressure"].shows] == ["bleeds", "bleeds"]


@pytest.mark.parametrize(("file", "kind"), [(FAULTS, "simulated_faults"), (CHECKS, "simulated_checks")])
def test_the_files_fit_their_schemas_as_they_are_written(file: str, kind: str) -> None:
    jsonschema.validate(parse(file, OWN[file]).data, file_schema(kind))


@pytest.mark.parametrize(
    ("file", "old", "new", "what"),
    [
        (FAULTS, "pressure-line-off:", "pressure-line-of:", "2:1: unknown fault 'pressure-line-of'; did you mean"),
        (FAULTS, "pressure line:", "presure line:", "2:57: the engine has no part 'presure line'; did you mean"),
        (FAULTS, "line seen", "line scene", "the engine has no part 'line scene'; did you mean 'line seen'"),
        (FAULTS, "[0.7, 0.2]", "[1.7, 0.2]", "2:57: 'pressure line' is 1.7; it must be from 0 to 1 (out-of-range)"),
        (FAULTS, "[-1.5, -6]", "[-1.5, -60]", "'low needle' is -60; it must be from -36 to 36"),
        (FAULTS, "[0.7, 0.2]", "[0.7]", "'pressure line'"),
        (FAULTS, "often: 3", "often: 9", "'often' is 9; it must be from 1 to 4"),
        (FAULTS, "suddenly", "sudenly", "'comes' can't be 'sudenly', only slowly or suddenly; did you mean 'suddenly'"),
        (FAULTS, "renews", "renew", "unknown field 'renew' in 'pressure-line-off'; did you mean 'renews'"),
        (CHECKS, "tank-holds-pressure", "tank-hold-pressure", "2:1: unknown check 'tank-hold-pressure'; did you mean"),
        (CHECKS, "bleeds, below", "bleds, below", "'tank-holds-pressure' has no answer 'bleds'; did you mean 'bleeds'"),
        (CHECKS, "pressure line", "presure line", "6:32: the engine has no part 'presure line'; did you mean"),
        (CHECKS, "idle speed", "idle sped", "the engine has no part 'idle sped'; did you mean 'idle speed'"),
        (CHECKS, "revs-hang", "revs-hung", "unknown symptom 'revs-hung'; did you mean 'revs-hang'"),
        (CHECKS, "symptom: revs-hang, ", "", "nothing shows this: give it 'above:' or 'below:' with a part"),
        (CHECKS, "needs: turns", "needs: turn", "'needs' can't be 'turn'"),
        (CHECKS, "needs: turns", "unrecorded: [bleds]", "has no answer 'bleds'; did you mean 'bleeds'"),
        (CHECKS, "needs: turns", "fits: [coil]", "a look has one of 'shows:', 'reads:' and 'fits:'"),
        (CHECKS, "trust: L", "trust: X", "'trust' can't be 'X', only H, L or M"),
    ],
)
def test_what_is_wrong_with_a_row_is_said_with_its_place(file: str, old: str, new: str, what: str) -> None:
    problems = told({**FILES, **OWN, file: OWN[file].replace(old, new, 1)})
    assert any(line.startswith(f"{file}:") and what in line for line in problems), problems


def test_a_part_that_is_none_beside_another_mistake_is_told_without_the_list_of_all_parts() -> None:
    text = OWN[FAULTS].replace("often: 3", "often: 9").replace("pressure line:", "presure line:")
    assert any(
        line.endswith(f"only one of {len(ranges()) + len(SCREWS)} names; did you mean 'pressure line' (bad-name)")
        for line in told({**FILES, FAULTS: text})
    )


def test_a_number_is_read_only_at_a_check_that_asks_for_one() -> None:
    text = "format: 1\ntank-holds-pressure: {trust: H, reads: {of: idle gap, sound: 1, spread: 0.1}}\n"
    assert any("asks for no reading" in line for line in told({**FILES, CHECKS: text}))


def test_fitting_a_fresh_part_shows_something_only_where_an_answer_mends() -> None:
    text = "format: 1\ntank-holds-pressure: {trust: H, fits: [lid]}\n"
    assert any("no answer of 'tank-holds-pressure' has 'mends:'" in line for line in told({**FILES, CHECKS: text}))


def test_a_file_in_the_folder_that_is_of_neither_kind_is_named() -> None:
    problems = told({**FILES, "simulated/fault.yaml": OWN[FAULTS]})
    assert "did you mean 'simulated/faults'" in problems[0]


def test_a_row_in_an_overlay_takes_the_place_of_the_one_below_it() -> None:
    row = "format: 1\npressure-line-off: {often: 1, comes: slowly, modes: [{lid: [0.2, 0.8]}]}\n"
    rows = read({**FILES, **OWN}, [{FAULTS: row}]).knowledge.simulated_faults
    assert rows["pressure-line-off"].modes == ({"lid": (0.2, 0.8)},)
    assert rows["low-needle-lean"].often == 4


def test_a_check_that_an_overlay_writes_anew_may_have_other_answers_than_the_row_below_it() -> None:
    anew = FILES["checks/fuel.yaml"].replace("bleeds:", "leaks:")
    files = {name: text for name, text in {**FILES, **OWN}.items() if not name.startswith("cases/")}
    answers = read(files, [{"checks/fuel.yaml": anew}]).knowledge.checks["tank-holds-pressure"].answers
    assert list(answers) == ["holds", "leaks"]
    problems = told({**files, "checks/fuel.yaml": anew})
    assert any("has no answer 'bleeds'" in line for line in problems)


@pytest.mark.parametrize(
    ("forms", "what"),
    [
        ("[off, split]", "'pressure-line-off' has modes: 1, forms: 2 (does-not-fit)"),
        ("[of]", "'pressure-line-off' has no form 'of'; did you mean 'off' (unknown-name)"),
    ],
)
def test_a_row_that_names_its_forms_names_one_for_each_mode(forms: str, what: str) -> None:
    name = "  name: pressure line off or split\n"
    two = f"{name}  forms: {{off: {{name: off, share: 0.6}}, split: {{name: split, share: 0.4}}}}\n"
    mechanical = {"faults/mechanical.yaml": FILES["faults/mechanical.yaml"].replace(name, two)}
    row = OWN[FAULTS].replace("renews", f"forms: {forms}, renews")
    assert any(FAULTS in line and what in line for line in told({**FILES, **mechanical, **OWN, FAULTS: row}))
    assert read({**FILES, **mechanical, **OWN, FAULTS: row.replace(forms, "[off]")}).knowledge
