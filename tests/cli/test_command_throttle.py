"""``diagnose throttle``: what a step of the radio's trim is worth."""

from __future__ import annotations

import pytest
from cli.running import Diagnose


def test_throttle_says_what_a_step_of_trim_is_worth(diagnose: Diagnose) -> None:
    """0.094 mm of travel on a gap of 0.7 mm in a bore of 7 mm is +20 % of the opening (computed for this project)."""
    lengths = ("--bore", "7mm", "--gap", "0.7", "--horn", "12 mm")
    told = diagnose("throttle", *lengths, "--json").json
    assert told["trim_step"] == pytest.approx(0.20, abs=0.005)
    assert told["dead_band"]["low"] < 0 < told["dead_band"]["high"]
    assert told["past_open"] is None
    out = diagnose("throttle", *lengths, "--full", "2000us", "--shut", "1 ms").out
    assert "One per cent of trim (5 µs): +20% of the air at idle" in out
    assert "Full trigger pulls on by 2.2 mm after it is open" in out
    assert "Full brake pushes on by 8.5 mm past the stop" in out


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("--bore", "7 C", "--gap", "0.7mm", "--horn", "12mm"), "--bore: '7 C' has another unit: it can be mm"),
        (
            ("--bore", "7", "--gap", "0.7", "--horn", "12", "--full", "x", "--shut", "1000"),
            "--full: 'x' is not a number",
        ),
        (("--bore", "70mm", "--gap", "0.7mm", "--horn", "12mm"), "bore is from 3 to 30 mm"),
        (("--bore", "7mm", "--gap", "8mm", "--horn", "12mm"), "not between shut and the bore"),
        (("--bore", "7mm", "--gap", "1mm", "--horn", "12mm", "--full", "20", "--shut", "1000"), "20 µs can't be"),
        (("--bore", "7mm", "--gap", "1mm", "--horn", "12mm", "--full", "2000"), "go together"),
    ],
)
def test_throttle_refuses_what_cannot_be_in_one_line(diagnose: Diagnose, typed: tuple[str, ...], said: str) -> None:
    found = diagnose("throttle", *typed)
    assert found.code == 2
    assert said in found.err
