"""The well card: an engine's own normal, noted in three minutes while it runs well.

From then on the bands of the readings that the card holds are the engine's own, and a reading is told beside it:
"3 seconds when it ran well, 7 now". The widths around a value are judgement; each says where it comes from. They never
touch the head's window or its stop temperature: those are safety, and not a habit of the engine.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Check
from diagnose.graph.say import then_and_now
from diagnose.graph.wording import capital, celsius
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Settings

WellMeasure = Literal["idle gap", "pinch", "idle hold", "head", "tank run"]
Squeeze = Literal["firm", "fair", "soft"]
Unit = Literal["mm", "s", "°C"]

UNITS: dict[WellMeasure, Unit] = {"idle gap": "mm", "pinch": "s", "idle hold": "s", "head": "°C", "tank run": "s"}

POSSIBLE: dict[WellMeasure, tuple[float, float]] = {
    "idle gap": (0, 10),
    "pinch": (0, 60),
    "idle hold": (0, 600),
    "head": (-40, 300),
    "tank run": (0, 7200),
}
"""Least and most that can be read at all."""

SOUND: dict[WellMeasure, tuple[float, float, str]] = {
    "idle gap": (0.3, 2.0, "A gap of 0.3 to 2 mm is usual. A wide one hides a rich low needle."),
    "pinch": (1.0, 10.0, "It should climb for a second at least, and die within ten."),
    "idle hold": (5.0, 600.0, "It should hold an idle for five seconds at least."),
    "head": (celsius(180), celsius(270), "A head of 82 to 132 °C (180 to 270 °F) is usual on arrival."),
    "tank run": (120.0, 1800.0, "A tank lasts 2 to 30 minutes."),
}
"""What an engine that runs well shows, widely put (common practice, no source). Anything else makes no band."""

GAP_LEAST = 0.2
"""mm: the thinnest drill shank that a hand can feel. A judgement."""

GAP_WIDTH = 0.3
"""mm: drill shanks come in steps of a tenth, and two of them can seem to fit. The general band is 0.5 each way."""

PINCH_FACTOR, PINCH_LEAST = 2.0, 1.0
"""Half to double, and a second each way at the least: a hand on a watch is out by half a second at each end."""

PINCH_LEAN = 0.5
"""s: whatever the card says, what dies quicker than this dies at once."""

HOLD_FACTOR = 0.5
"""Half as long is worse, whoever counts; longer is never worse. A judgement."""

HEAD_WIDTH = 15.0
"""°C: a spot that is a fifth off the head reads 9 low, its paint moves that by 3 (computed); and a little more."""

TANK_FACTORS = (0.8, 1.25)
"""An hour of the needle is 3 % of the flow at three turns; how it is driven moves more. A judgement."""


class Card(Struct, frozen=True, omit_defaults=True):
    """What one engine showed while it ran well; what was left out is None. Raises `DiagnoseError` for what can't be."""

    at: float
    idle_gap: float | None = None
    """mm, barrel at rest."""
    pinch: float | None = None
    """Seconds from pinching the line at a warm idle until it died."""
    idle_hold: float | None = None
    """Seconds that it held an idle and still cleared at once."""
    tank_run: float | None = None
    """Seconds that a full tank lasted."""
    squeeze: Squeeze | None = None
    """The feel of the compression, by hand, cold."""
    settings: Settings = {}
    conditions: Conditions = Conditions()
    """The day, the fuel, and the head on arrival."""

    def __post_init__(self) -> None:
        for measure in UNITS:
            refuse(measure, self.value(measure))

    def value(self, measure: WellMeasure) -> float | None:
        """Return one reading of the card, in its unit; None when it was not noted."""
        values: dict[WellMeasure, float | None] = {
            "idle gap": self.idle_gap,
            "pinch": self.pinch,
            "idle hold": self.idle_hold,
            "head": self.conditions.head,
            "tank run": self.tank_run,
        }
        return values[measure]


def refuse(measure: WellMeasure, value: float | None) -> None:
    """Raise `DiagnoseError` for a reading that can't be."""
    least, most = POSSIBLE[measure]
    if value is not None and not least <= value <= most:
        unit = UNITS[measure]
        raise DiagnoseError(
            f"{measure}: a reading lies between {least:g} and {most:g} {unit}; {value:g} can't be right"
        )


def doubts(card: Card) -> tuple[str, ...]:
    """Say which readings are not those of an engine that runs well: they make no band."""
    return tuple(
        f"{capital(measure)}: {why} This card keeps the general figures for it."
        for measure, (least, most, why) in SOUND.items()
        if (value := card.value(measure)) is not None and not least <= value <= most
    )


def own(card: Card) -> dict[str, float]:
    """Return the band edges, and the gap, that are this engine's own, by fact id, in their unit (`Variant.own`).

    A reading that was left out, or that no engine running well shows, gives none.
    """
    found: dict[str, float] = {}
    for measure in UNITS:
        name, value, (least, most, _) = edges_of(measure), card.value(measure), SOUND[measure]
        if value is not None and least <= value <= most:
            low, high = _band(measure, value)
            found[f"{name}-least"] = round(low, 2)
            if measure == "idle gap":
                found[name] = value  # the stop is set to it
            if high is not None:
                found[f"{name}-most"] = round(high, 2)
    return found


def edges_of(measure: WellMeasure) -> str:
    """Return what the facts of a reading's band are called, before ``-least`` and ``-most``."""
    return "head-usual" if measure == "head" else measure.replace(" ", "-")


def read_by(check: Check) -> WellMeasure | None:
    """Return the reading of a card that a check takes, since its bands end at that reading's edges; None for none."""
    edges = {answer.up_to for answer in check.answers.values()}
    for measure, unit in UNITS.items():
        name = edges_of(measure)
        if check.reading is not None and check.reading.unit == unit and edges & {f"{name}-least", f"{name}-most"}:
            return measure
    return None


def when_good(card: Card, checks: Mapping[str, Check]) -> dict[str, float]:
    """Return what the checks read while the engine ran well, by check, as far as the card made bands of its own."""
    bands, found = own(card), {}
    for name, check in checks.items():
        measure = read_by(check)
        value = card.value(measure) if measure and f"{edges_of(measure)}-least" in bands else None
        if value is not None:
            found[name] = value
    return found


def _band(measure: WellMeasure, value: float) -> tuple[float, float | None]:
    """Return the edges around a value of the card; no upper one where more is never worse."""
    match measure:
        case "idle gap":
            return max(value - GAP_WIDTH, GAP_LEAST), value + GAP_WIDTH
        case "pinch":
            low = min(value / PINCH_FACTOR, value - PINCH_LEAST)
            return max(low, PINCH_LEAN), max(value * PINCH_FACTOR, value + PINCH_LEAST)
        case "idle hold":
            return max(value * HOLD_FACTOR, SOUND[measure][0]), None
        case "head":
            return value - HEAD_WIDTH, min(value + HEAD_WIDTH, SOUND[measure][1])
        case "tank run":
            return value * TANK_FACTORS[0], value * TANK_FACTORS[1]


def compared(card: Card, measure: WellMeasure, now: float) -> str:
    """Return "3 seconds when it ran well, 7 now"; "" when the card does not hold it. `now` in the measure's unit."""
    refuse(measure, now)
    then = card.value(measure)
    return "" if then is None else then_and_now(then, now, UNITS[measure])


def squeezed(card: Card, now: Squeeze) -> str:
    """Return "firm when it ran well, soft now"; "" when the card does not hold it."""
    return f"{card.squeeze} when it ran well, {now} now" if card.squeeze else ""
