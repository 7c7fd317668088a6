"""``diagnose picture`` and ``diagnose paper``: what is drawn, and where it can't be written."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from cli.running import Diagnose
from cli.tuned import BLUE

from diagnose.errors import DiagnoseError
from diagnose.paper.sheet import write

OUTPUTS = [
    ("picture", "revs-hang", "-o"),
    ("picture", "--car", BLUE, "-o"),
    ("paper", "card", "revs-hang", "-o"),
    ("paper", "car", BLUE, "-o"),
]


@pytest.fixture
def tuned(blue: Diagnose) -> Diagnose:
    blue("needles", BLUE, "set", "high needle", "38")
    blue("needles", BLUE, "good", "--head", "98C")
    return blue


@pytest.mark.parametrize("command", OUTPUTS)
def test_a_file_that_exists_is_left_as_it_is(tuned: Diagnose, tmp_path: Path, command: tuple[str, ...]) -> None:
    taken = tmp_path / "taken"
    taken.write_text("mine", "utf-8")
    told = tuned(*command, taken)
    assert told.code == 2
    assert "exists already, and nothing is written over: give another name" in told.err
    assert taken.read_text("utf-8") == "mine"


@pytest.mark.parametrize("command", OUTPUTS)
def test_a_folder_and_one_that_is_not_there_are_refused(
    tuned: Diagnose, tmp_path: Path, command: tuple[str, ...]
) -> None:
    told = tuned(*command, tmp_path)
    assert told.code == 2
    assert f"{tmp_path} is a folder: give another name" in told.err
    told = tuned(*command, tmp_path / "nowhere" / "x.svg")
    assert told.code == 2
    assert "can't be written: No such file or directory" in told.err


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="whoever may do everything is refused nothing")
@pytest.mark.parametrize("command", OUTPUTS)
def test_a_folder_that_is_not_one_s_own_is_refused(tuned: Diagnose, tmp_path: Path, command: tuple[str, ...]) -> None:
    shut = tmp_path / "shut"
    shut.mkdir(mode=0o500)
    told = tuned(*command, shut / "x.svg")
    assert told.code == 2
    assert "can't be written: Permission denied" in told.err


def test_what_is_drawn_is_told_in_lines_where_no_file_is_named(tuned: Diagnose) -> None:
    shown = tuned("picture", "--car", BLUE)
    assert shown.code == 0
    assert "98 °C (208 °F)" in shown.out
    tuned("walk", "revs-hang", "--plain", "--engine", BLUE, typed="\n1\nq\n")
    route = tuned("picture", "--outing", "last").out
    assert "taken" in route
    assert route.count("taken)") == 1
    assert "taken" not in tuned("picture", "revs-hang").out


def test_the_picture_of_an_outing_says_whose_it_was_and_when(tuned: Diagnose, tmp_path: Path) -> None:
    tuned("walk", "revs-hang", "--plain", "--engine", BLUE, typed="\n1\nq\n")
    begun = tuned("outing", "list").out.split("   ")[1].split(" · ")[0]
    tuned("picture", "--outing", "last", "-o", tmp_path / "one.svg")
    tuned("picture", "revs-hang", "-o", tmp_path / "none.svg")
    assert f"<title>revs hang · {BLUE} · {begun}</title>" in (tmp_path / "one.svg").read_text("utf-8")
    assert "<title>revs hang</title>" in (tmp_path / "none.svg").read_text("utf-8")


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        ((), "say which symptom to draw"),
        (("revs-hang", "--car", BLUE), "it goes with no symptom"),
        (("--car", "blue trugy"), f"did you mean '{BLUE}'"),
        (("revs-hag",), "did you mean 'revs-hang'"),
        (("--outing", "never"), "there is no outing 'never'"),
    ],
)
def test_what_there_is_not_is_refused(tuned: Diagnose, asked: tuple[str, ...], why: str) -> None:
    told = tuned("picture", *asked)
    assert told.code == 2
    assert why in told.err


def test_a_car_of_which_nothing_is_counted_is_not_drawn(diagnose: Diagnose, tmp_path: Path) -> None:
    diagnose("engine", "add", "green")
    told = diagnose("picture", "--car", "green", "-o", tmp_path / "x.svg")
    assert told.code == 2
    assert "nothing to draw yet" in told.err
    assert not (tmp_path / "x.svg").exists()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a disk that is always full")
def test_a_disk_that_fills_up_leaves_no_half(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = Path.open

    def onto_a_full_disk(self: Path, mode: str, **how: str) -> object:
        opened(self, mode, **how).close()
        return opened(Path("/dev/full"), "w", **how)

    monkeypatch.setattr(Path, "open", onto_a_full_disk)
    with pytest.raises(DiagnoseError, match="No space left on device"):
        write("text", tmp_path / "x.html")
    assert list(tmp_path.iterdir()) == []
