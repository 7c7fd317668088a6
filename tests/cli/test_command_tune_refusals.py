"""What can't be is one clear line and exit code 2, and the shell completes what can."""

from __future__ import annotations

import pytest
from cli.running import Diagnose
from cli.tuned import BLUE

from diagnose.cli import cli, guarded

P = ("--temperature", "20C", "--humidity", "50")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("day", *P), "the air needs its temperature, its humidity and one pressure"),
        (("day", *P, "--station-pressure", "1004hPa", "--sea-level-pressure", "1013hPa"), "one pressure"),
        (("day", *P, "--sea-level-pressure", "1013hPa"), "needs the --elevation"),
        (("day", *P, "--station-pressure", "1013hPa", "--elevation", "2000m"), "probably the sea-level figure"),
        (("day", *P, "--sea-level-pressure", "900hPa", "--elevation", "100m"), "is no sea-level pressure"),
        (("day", *P, "--sea-level-pressure", "1013hPa", "--elevation", "90km"), "outside what this can work with"),
        (("day", *P, "--station-pressure", "1004"), "--station-pressure: '1004' has no unit"),
        (("day", *P, "--station-pressure", "1004 psi"), "cannot be"),
        (("day", "--temperature", "31", "--humidity", "5", "--station-pressure", "1bar"), "--temperature: '31' has no"),
        (("day", "--temperature", "88C", "--humidity", "5", "--station-pressure", "1bar"), "write it like 88 F"),
        (("day", "--temperature", "-300C", "--humidity", "5", "--station-pressure", "1bar"), "No air at a track"),
        (("day", "--temperature", "9C", "--humidity", "140", "--station-pressure", "1bar"), "humidity of 140%"),
        (("day", "--temperature", "\x1b[2J", "--humidity", "5", "--station-pressure", "1bar"), "--temperature: '[2J'"),
        (("day", *P, "--station-pressure", "1004hPa", "--engine", "rde"), "did you mean 'red'"),
        (("fuel", "80", "30"), "no room for methanol"),
        (("fuel", "much", "10"), "NITRO: 'much' is not a number"),
        (("fuel", "16", "140"), "140% of oil"),
        (("fuel", "16", "10", "--from", "80", "30"), "no room for methanol"),
        (("fuel", "16", "10", "--engine", "rde"), "did you mean 'red'"),
        (("needles", "rde"), "did you mean 'red'"),
        (("needles", "rde", "history"), "did you mean 'red'"),
        (("needles", "red", "set", "low nedle", "3"), "did you mean 'low needle'"),
        (("needles", "red", "set", "trim", "3"), "there is no screw 'trim'"),
        (("needles", "red", "set", "low needle"), "say the HOURS"),
        (("needles", "red", "set", "low needle", "3", "--caliper", "1", "--pitch", "1"), "say the HOURS"),
        (("needles", "red", "set", "low needle", "much"), "'much' is not a number of hours"),
        (("needles", "red", "set", "low needle", "nan"), "Say it like 39, 39 h, 3t 3h or 3 1/4 turns"),
        (("needles", "red", "set", "low needle", "73"), "0 to 72 hours (6 turns)"),
        (("needles", "red", "set", "low needle", "3", "--sunk"), "--sunk goes with"),
        (("needles", "red", "set", "low needle", "3", "--pitch", "1"), "--pitch goes with --caliper"),
        (("needles", "red", "set", "low needle", "--caliper", "1"), "--pitch of the thread"),
        (("needles", "red", "set", "low needle", "--caliper", "1", "--pitch", "9"), "9 can't be"),
        (("needles", "red", "set", "low needle", "3", "--air-screw"), "goes with --baseline"),
        (("needles", "red", "set", "mid needle", "3"), "there is no mid needle"),
        (("needles", "red", "good", "--head", "hot"), "--head: 'hot' is not a temperature"),
        (
            ("needles", "red", "set", "idle stop", "--caliper", "x", "--pitch", "1"),
            "--caliper: 'x' is not a length in mm",
        ),
        (("needles", "red", "set", "low needle", "3 1/2"), "Say it like 3 1/2 t, or 3 1/2 h"),
        (("engine", "add", "blue", "--set", "low needle", "x"), "'x' is not a number of hours"),
        (("engine", "add", "blue", "--set", "low needle", "7 turns"), "the low needle stands 0 to 72 hours out"),
        (("needles", "red", "good", "--head", "900C"), "a head temperature lies between"),
        (("needles", "red", "back"), "There is no recorded setting to go back to"),
    ],
    ids=lambda part: part if isinstance(part, str) else "",
)
def test_what_cant_be_is_one_clear_line_and_exit_code_2(diagnose: Diagnose, words: tuple[str, ...], said: str) -> None:
    diagnose("engine", "add", "red", "--needles", "2")
    found = diagnose(*words)
    assert (found.code, found.out) == (2, "")
    assert said in found.err
    assert found.err.startswith("diagnose: ")
    assert found.err.count("\n") == 1
    assert "\x1b" not in found.err


def test_the_shell_completes_engines_screws_and_what_can_be_done(
    blue: Diagnose, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def completed(*words: str) -> list[str]:
        monkeypatch.setenv("COMP_WORDS", " ".join(f"'{word}'" if " " in word else word for word in words))
        monkeypatch.setenv("COMP_CWORD", str(len(words) - 1))
        monkeypatch.setenv("_DIAGNOSE_COMPLETE", "bash_complete")
        with pytest.raises(SystemExit):
            guarded(lambda: cli.main([], prog_name="diagnose", complete_var="_DIAGNOSE_COMPLETE"))
        return [row.split(",", 1)[1] for row in capsys.readouterr().out.splitlines()]

    assert completed("diagnose", "needles", "") == [BLUE]
    assert completed("diagnose", "day", "--engine", "b") == [BLUE]
    assert completed("diagnose", "needles", BLUE, "") == ["back", "good", "history", "set", "show", "undo"]
    assert completed("diagnose", "needles", BLUE, "set", "l") == ["low needle"]
