"""``diagnose preview``: an entry as the screen would show it, at a width."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose, write


def test_a_check_is_shown_with_its_steps_its_answers_and_the_keys_that_give_them(diagnose: Diagnose) -> None:
    out = diagnose("preview", "pinch-at-idle").out
    assert "What do the revs do when the fuel line is pinched at idle?" in out
    assert "· Pinch the line close to the carburettor and count." in out
    assert "\n1  a short climb, then it dies\n" in out
    assert "\n0  I can't tell\n9  " in out
    assert "It can show: low needle lean." in out
    assert "It can come up in: revs hang." in out


def test_a_fault_is_shown_by_its_mend_and_a_symptom_by_how_its_walk_begins(diagnose: Diagnose) -> None:
    fault = diagnose("preview", "pressure-line-off").out
    assert "Put this right: pressure line off or split." in fault
    assert "· When it is done: press air in and see that it holds." in fault
    symptom = diagnose("preview", "revs-hang").out
    assert "owed before a needle" in symptom
    assert "It begins with: barrel at rest." in symptom


@pytest.mark.parametrize("width", [24, 44, 80, 104, 200])
@pytest.mark.parametrize("name", ["pinch-at-idle", "pressure-line-off", "revs-hang"])
def test_no_line_is_wider_than_the_screen(diagnose: Diagnose, name: str, width: int) -> None:
    lines = diagnose("preview", name, "--width", width).out.splitlines()
    assert len(lines) > 10
    assert max(map(len, lines)) <= width


def test_a_small_drawing_falls_back_to_words_where_it_has_no_room(diagnose: Diagnose) -> None:
    assert "=|____|== to the carburettor" in diagnose("preview", "pressure-line-off").out
    assert "Where: The tank" in diagnose("preview", "pressure-line-off", "--width", "30").out


def test_an_entry_is_shown_though_the_rest_does_not_hold_yet(
    diagnose: Diagnose, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from diagnose.graph.prove import prove

    monkeypatch.setattr("diagnose.graph.load._prove", prove)
    text = "format: 1\npressure-line-off:\n  keep the rest: true\n  mend: {touches: [radio]}\n"
    text += "  what: It has come off again.\n"
    club = write(tmp_path / "club", {"faults.yaml": text})
    assert diagnose("--knowledge", club, "list", "faults").code == 2
    found = diagnose("--knowledge", club, "preview", "pressure-line-off")
    assert found.code == 0
    assert "Why now: It has come off again." in found.out


def test_a_look_of_the_club_says_so(diagnose: Diagnose, tmp_path: Path) -> None:
    page = "format: 1\nours: {name: ours, look early: [pinch-at-idle], because: It is dusty here.}\n"
    club = write(tmp_path / "club", {"club.yaml": page})
    out = " ".join(diagnose("--knowledge", club, "preview", "pinch-at-idle").out.split())
    assert "Your club looks at it early: It is dusty here. It can show: low needle lean." in out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("pinch-at-idl",), "no check, fault or symptom is called 'pinch-at-idl'; did you mean 'pinch-at-idle'"),
        (
            ("our-check",),
            "is called 'our-check'. For one of your own, say --knowledge DIR, or once: diagnose club",
        ),
        (("revs-hang", "--symptom", "revs-hung"), "there is no symptom 'revs-hung'; did you mean 'revs-hang'"),
        (("revs-hang", "--width", "5"), "24<=x<=200"),
    ],
)
def test_what_cant_be_shown_is_told(diagnose: Diagnose, arguments: tuple[str, ...], said: str) -> None:
    found = diagnose("preview", *arguments)
    assert (found.code, found.out) == (2, "")
    assert said in found.err
