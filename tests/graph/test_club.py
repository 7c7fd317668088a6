"""A club's own page and partial entries: what they change, and that they change nothing else."""

from __future__ import annotations

import re
from pathlib import Path

import jsonschema
import pytest
import shipped
import yaml
from graph.sound_files import SOUND
from msgspec.structs import replace

from diagnose.graph.club_folder import skeleton
from diagnose.graph.load import load, read_all, shipped_texts
from diagnose.graph.model import KINDS, Ask, Knowledge, Variant
from diagnose.graph.model.club import Club
from diagnose.graph.problem import KnowledgeError
from diagnose.graph.schema import file_schema
from diagnose.reason import events as ev
from diagnose.reason.looking import Looking
from diagnose.reason.scope import Scope
from diagnose.reason.walk import Walk, begin


def folder(at: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        (at / name).parent.mkdir(parents=True, exist_ok=True)
        (at / name).write_text(text, "utf-8")
    return at


def known(tmp_path: Path, club: dict[str, str]) -> Knowledge:
    below = folder(tmp_path / "shipped", SOUND)
    return read_all((folder(tmp_path / "club", club),), shipped=below).knowledge


def test_an_entry_that_keeps_the_rest_changes_what_it_names_and_nothing_else(tmp_path: Path) -> None:
    before = known(tmp_path, {"words.yaml": "format: 1\nthin: {say: Thin.}\n"})
    changes = "format: 1\ntank-holds-pressure:\n  keep the rest: true\n  name: the tank\n"
    changes += "  answers: {bleeds: {say: it hisses}}\n"
    after = known(tmp_path, {"words.yaml": "format: 1\nthin: {say: Thin.}\n", "checks.yaml": changes})
    old, new = before.checks["tank-holds-pressure"], after.checks["tank-holds-pressure"]
    assert (new.name, new.answers["bleeds"].say) == ("the tank", "it hisses")
    assert new.named() == old.named()
    assert new.how == old.how
    assert {name: check for name, check in after.checks.items() if name != "tank-holds-pressure"} == {
        name: check for name, check in before.checks.items() if name != "tank-holds-pressure"
    }


def test_a_problem_of_a_partial_entry_stands_in_the_file_that_it_comes_from(tmp_path: Path) -> None:
    changes = "format: 1\ntank-holds-pressure:\n  keep the rest: true\n  minutes: soon\n"
    with pytest.raises(KnowledgeError) as refused:
        known(tmp_path, {"checks.yaml": changes})
    assert [str(one.place) for one in refused.value.problems] == [f"{tmp_path}/club/checks.yaml:4:3"]


def test_parts_of_a_folder_are_on_or_off_as_its_page_says(tmp_path: Path) -> None:
    winter = {"winter/words.yaml": "format: 1\nsnow: {say: Cold and wet.}\n"}
    page = "format: 1\nours: {name: ours, folders: {winter: %s}}\n"
    assert "snow" in known(tmp_path, {**winter, "club.yaml": page % "true"}).words
    assert "snow" not in known(tmp_path, {**winter, "club.yaml": page % "false"}).words
    with pytest.raises(KnowledgeError, match="unknown-file"):
        known(tmp_path, {**winter, "club.yaml": "format: 1\nours: {name: ours}\n"})
    with pytest.raises(KnowledgeError, match="there is no such folder"):
        known(tmp_path, {"club.yaml": "format: 1\nours: {name: ours, folders: {summer: true}}\n"})


def test_what_a_club_looks_at_early_comes_first_behind_the_guards_and_nothing_is_left_out(tmp_path: Path) -> None:
    page = "format: 1\nours: {name: ours, look early: [wiggle-and-roll], because: It rattles here.}\n"
    club = load((folder(tmp_path / "club", {"club.yaml": page}),), prove=lambda *_: [])
    plain = load(prove=lambda *_: [])

    def owed(knowledge: Knowledge) -> list[str]:
        walk = begin(knowledge, ev.Started(0, "", "bogs-off-the-line", "", Variant()))
        return [line.check for line in walk.view(0).owed]

    with_club, without = owed(club), owed(plain)
    assert sorted(with_club) == sorted(without)
    guards = [name for name in without if plain.checks[name].guard]
    assert with_club[: len(guards) + 1] == [*guards, "wiggle-and-roll"]
    assert without.index("wiggle-and-roll") > len(guards)
    walk = begin(club, ev.Started(0, "", "bogs-off-the-line", "", Variant()))
    for number in range(9):
        step = walk.step(float(number))
        assert step is not None
        if step.id == "wiggle-and-roll":
            assert step.why.startswith("Your club looks at it early: It rattles here.")
            return
        walk = walk.plus(walk.choose(step, step.choices[0].id, float(number)))
    raise AssertionError("it was not asked")


SKELETON = skeleton(read_all(), shipped_texts(), '"Ours"')


def test_a_new_folder_has_a_page_a_case_and_an_example_of_each_kind() -> None:
    wanted = {f"{kind.replace('_', '/', 1)}.yaml" for kind in KINDS} | {"cases/an-example.yaml"}
    assert SKELETON.keys() == wanted


@pytest.mark.parametrize("name", SKELETON)
def test_each_file_of_a_new_folder_fits_the_schema_of_its_kind_and_so_does_its_example(name: str) -> None:
    text = SKELETON[name]
    modeline = re.search(r"\$schema=(?:\.\./)?schema/(\S+)\.json", text)
    assert modeline is not None
    fits = file_schema(modeline[1])
    jsonschema.validate(yaml.safe_load(text), fits)
    if name not in ("club.yaml", "cases/an-example.yaml"):
        example = yaml.safe_load("format: 1\n" + re.sub(r"(?m)^# ?", "", text.split("format: 1\n")[1]))
        assert len(example) == 2
        jsonschema.validate(example, fits)


def test_a_new_folder_reads_as_it_is(tmp_path: Path) -> None:
    found = read_all((folder(tmp_path / "club", SKELETON),))
    assert found.knowledge.club["our-club"].name == "Ours"
    assert "an-example" in found.cases


SHOWS = Scope(shipped.load(), Variant()).clears
LOOKS = [
    name
    for name, check in shipped.load().checks.items()
    if check.look == "first" and not check.guard and check.only.fits(Variant()) and SHOWS(name)
]


@pytest.mark.parametrize("look", [*LOOKS[::12], *(pytest.param(one, marks=pytest.mark.slow) for one in LOOKS[1::4])])
def test_an_early_look_opens_every_walk_in_which_it_can_show_anything_and_no_fault_is_looked_for_less(
    look: str,
) -> None:
    plain = shipped.load()
    club = replace(plain, club={"ours": Club(name="ours", look_early=(look,), because="It is dusty here.")})
    scope, before, opened = Scope(club, Variant()), Scope(plain, Variant()), 0
    for symptom in club.symptoms:
        walk, was = (begin(one.knowledge, ev.Started(0, "", symptom, "", Variant()), one) for one in (scope, before))
        assert plain.first_owed(symptom, Variant()) == club.first_owed(symptom, Variant())
        owed, had = ({line.check for line in one.view(0).owed} for one in (walk, was))
        wanted = frozenset().union(*(before.clears(name) for name in had)) & was.standing.first_open
        assert wanted <= frozenset().union(*(scope.clears(name) for name in owed))
        if look not in Looking(walk.standing).early("first"):
            continue
        opened += 1
        asked = first_look(walk)
        assert asked in (look, *doors(club, symptom)), symptom
    assert opened


def first_look(walk: Walk) -> str:
    """Return the first look of a walk that is no guard, all being sound until then."""
    for number in range(9):
        step = walk.step(float(number))
        assert step is not None
        if step.kind == "ask" and step.id not in walk.scope.guards:
            return step.id
        sound = walk.scope.checks[step.id].healthy if step.kind == "ask" else step.choices[0].id
        walk = walk.plus(walk.choose(step, sound, float(number)))
    raise AssertionError("no look was asked")


def doors(known: Knowledge, symptom: str) -> list[str]:
    """Return the question that opens the route and tells which complaint it is."""
    first = next(iter(known.symptoms[symptom].route.values()))
    return [first.ask] if isinstance(first, Ask) else []
