"""In words, which way a hand turns each screw and how far: what the faces show."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.graph.wording import amount, capital
from diagnose.pages.parts import Faces
from diagnose.reason.view import Turn

HOUR_IS = "An hour is a twelfth of a turn."
WRITE_DOWN = "Write down where the screws stand"
CLOCK = {"right": "clockwise", "left": "anticlockwise"}


def faces(turns: Sequence[Turn]) -> Faces:
    """Return the faces of the screws that are turned, and the same in words."""
    said = [_direction(turn) for turn in turns]
    said.append("(12) is where the slot points now, as you look at it.")
    said += [_stands(turn) for turn in turns if turn.stands]
    if any(turn.air_screw for turn in turns):
        said.append("This low screw lets in air, so it works the other way round.")
    elif any(turn.screw == "low needle" for turn in turns):
        said.append("A low screw that lets in air works the other way round: see the maker's sheet.")
    return Faces(tuple(turns), tuple(said))


def _direction(turn: Turn) -> str:
    hand = "right" if turn.clockwise else "left"
    hour = "1" if hand == "right" else "11"
    to = {0.25: f"a quarter of the way to {hour}", 0.5: f"halfway to {hour}"}.get(turn.hours, hour)
    return f"{capital(turn.screw)}: screwdriver to the {hand} ({CLOCK[hand]}), {amount(turn.hours)}, from 12 to {to}."


def _stands(turn: Turn) -> str:
    fuel = turn.screw != "idle stop"
    way = ("richer" if fuel else "further in") if turn.stands > 0 else ("leaner" if fuel else "further out")
    return f"The {turn.screw} stands {amount(abs(turn.stands))} {way} than at the last good tune."
