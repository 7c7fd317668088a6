"""What the day explains: of the hours between the last good tune and now, how many air and fuel ask for.

All hours are of the high needle; outwards, or richer, is positive. What air and fuel ask for is a range, since how the
tank is fed is not known (`mixture`). The drift beyond that range is unexplained. Within one day air and fuel usually
ask for less than an hour, so an unexplained drift of more points at the mechanics.
"""

from __future__ import annotations

from math import isfinite
from typing import Literal

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.wording import amount
from diagnose.tune.back import HALF, halves_down, halves_up
from diagnose.tune.mixture import Conditions, NeedleOpening, Shift, Span, opening, shift
from diagnose.tune.needles import LARGEST_STEP, MOST_DEPTH, Tune

DAY = 86_400.0
"""Seconds."""

WEATHER = 2_000.0
"""Pa: more than the weather usually moves the station pressure within a day; about 170 m of height. A judgement."""

STORMY = 5_000.0
"""Pa: no weather moves the pressure at one place by more. A judgement."""

TREND = 5.0
"""°C: heads that differ by less tell nothing, by an infrared gun on the same painted spot. A judgement."""

MUCH = 1.0
"""Hours: an unexplained drift of more is evidence."""

ASSUMED = (
    "The tank is fed by suction, by the exhaust's pressure, or by both: the truth lies between the two.",
    "Near where it stands, each hour opens the needle by the same area.",
    "Fuel passes the needle as through a sharp hole. Thick, slow fuel would follow the air less.",
    "Speed, plug, wear, and the warmth of the fuel itself are taken to be as they were.",
)
ASSUMED_OF = {
    "air": "The exhaust is taken to be as hot as it was. If it follows the air, the truth still lies in the range.",
    "fuel": "How much of the oil burns is not known: the range runs from none to all of it, reckoned as castor.",
}


class Explained(Struct, frozen=True):
    """What air and fuel explain of a drift. Hours of the high needle; outwards, or richer, is positive."""

    drift: float
    """From the last good tune to now."""
    shift: Shift
    at: NeedleOpening
    hours: Span
    """What air and fuel ask for, over both feeds; of what is known."""
    sought: float | None
    """The part of the drift that adjustments made, seeking a tune; None when all of it was."""
    usual: bool
    """True for the case in which the day usually asks for less than an hour."""
    why: str
    """Which case it is, in a sentence."""
    said: tuple[str, ...]
    """Each cause, what is not known, and the head's trend."""
    assumptions: tuple[str, ...]

    @property
    def distance(self) -> float:
        """Hours from the drift to the nearer end of the range; 0 inside it."""
        return abs(_beyond(self.drift, self.hours))

    @property
    def unexplained(self) -> float | None:
        """The drift that was sought further than the range, or the other way; None while a cause is unknown.

        A needle that was not turned has no drift to explain, however much the day asks for: that is `owed`. Nor has one
        that going back has set.
        """
        if self.shift.unknown:
            return None
        further = _beyond(self.drift, Span(min(self.hours.low, 0.0), max(self.hours.high, 0.0)))
        if self.sought is None:
            return further
        least, most = sorted((0.0, self.sought))
        return min(max(further, least), most)

    @property
    def at_least(self) -> float:
        """The hours of the drift that the smaller estimate explains, richer positive; 0 while a cause is unknown.

        What going back has set was reckoned then, from another day: beside it nothing is taken off.
        """
        if self.shift.unknown or self.sought not in (None, self.drift):
            return 0.0
        return min(max(0.0, self.hours.low), self.hours.high)

    @property
    def owed(self) -> float:
        """What the day still asks of the needle at the least: positive when it stands lean of that, negative rich."""
        return (self.unexplained or 0.0) - _beyond(self.drift, self.hours)


def _beyond(value: float, span: Span) -> float:
    """Return how far a value lies above a span (positive) or below it (negative)."""
    return value - min(max(value, span.low), span.high)


def explain(
    drift: float,
    good: Tune,
    now: Conditions,
    at: float,
    offset: float | None = None,
    sought: float | None = None,
    heights: tuple[float | None, float | None] = (None, None),
) -> Explained:
    """Return what air and fuel explain since the last good tune.

    `drift` and `sought` in hours outwards (`Ledger.drift`, `Ledger.sought`), `at` in seconds since the epoch, `offset`
    the hours at which fuel begins to flow, if known, `heights` the elevations then and now in m. Raises
    `DiagnoseError` for what can't be.
    """
    for hours in (drift, sought or 0.0):
        if not (isfinite(hours) and abs(hours) <= MOST_DEPTH):
            raise DiagnoseError(f"a needle drifts by {MOST_DEPTH:g} hours at the most; {hours:g} can't be right")
    if not isfinite(at):
        raise DiagnoseError("the time of the drift must be a number of seconds")
    depth = good.settings.get("high needle")
    counted = depth is not None and depth.kind == "closed" and depth.hours > 0
    stands = opening(depth.hours if depth is not None and counted else None, offset=offset if counted else None)
    change = shift(now, good.conditions)
    asked = change.hours(stands)
    usual, why = _case(good, now, at, change, asked, heights)
    said = [_cause(change, cause.name, stands) for cause in change.causes]
    said += [f"The {name} is not known, then or now: it may explain more." for name in change.unknown]
    said += _head(good.conditions, now)
    assumptions = (*ASSUMED, stands.assumed, *(ASSUMED_OF[cause.name] for cause in change.causes))
    return Explained(drift, change, stands, asked, sought, usual, why, tuple(said), assumptions)


def _case(
    good: Tune, now: Conditions, at: float, change: Shift, hours: Span, heights: tuple[float | None, float | None]
) -> tuple[bool, str]:
    """Say whether this is the case in which the day is usually under an hour, and which case it is."""
    then = good.conditions
    if change.unknown:
        what = " and the ".join(change.unknown)
        return False, f"The {what} can't be compared with then, so the day may ask for any number of hours."
    found = []
    if now.fuel != then.fuel:
        found.append("the fuel is another one")
    if now.air is not None and then.air is not None:
        found += _pressure(now.air.pressure - then.air.pressure, heights)
    if abs(at - good.at) > DAY:
        found.append("more than a day lies between")
    if found:
        return False, f"Not within one day: {', and '.join(found)}. Then air and fuel may ask for more than an hour."
    most = max(map(abs, hours))
    today = f" Today it asks for up to {most:.1f}." if most > MUCH else ""
    return True, f"Within one day, at one place and with one fuel, the day usually asks for less than an hour.{today}"


def _pressure(change: float, heights: tuple[float | None, float | None]) -> list[str]:
    """Say what has changed the pressure by so many Pa, where that is much: the weather, or another height."""
    then, now = heights
    if abs(change) <= WEATHER:
        return []
    if abs(change) > STORMY or (now is not None and then is not None and now != then):
        return ["the pressure is that of another height"]
    if then is None or now is None:
        return ["the pressure is that of other weather, or of another height"]
    return [f"the weather has {'raised' if change > 0 else 'lowered'} the pressure by {abs(change) / 100:.0f} hPa"]


def _cause(change: Shift, name: Literal["air", "fuel"], at: NeedleOpening) -> str:
    percent = spanned(change.percent(name), " %", "more fuel", "less fuel")
    hours = spanned(change.hours(at, only=name), " hours", "richer", "leaner")
    return f"{name.capitalize()}: {percent}, {hours}." if percent or hours else f"{name.capitalize()}: as it was."


def spanned(span: Span, unit: str, more: str, less: str) -> str:
    """Write a span with its direction: "0.2 to 0.9 hours leaner", "0.9 hours leaner to 0.1 richer"; "" for nothing."""
    low, high = round(span.low, 1), round(span.high, 1)
    if low == high == 0:
        return ""
    if low < 0 < high:
        return f"{-low:g}{unit} {less} to {high:g} {more}"
    near, far = sorted((abs(low), abs(high)))
    numbers = f"{far:g}" if near == far else f"{near:g} to {far:g}"
    unit = unit.removesuffix("s") if numbers == "1" else unit
    return f"{numbers}{unit} {more if high > 0 else less}"


def _head(then: Conditions, now: Conditions) -> tuple[str, ...]:
    """Say what the head adds: a trend, in words, and no hours."""
    if then.head is None or now.head is None:
        return ()
    rise = now.head - then.head
    if abs(rise) < TREND:
        return ("Head: as hot as at the last good tune. That adds nothing.",)
    degrees = f"{abs(rise):.0f} °C ({abs(rise) * 1.8:.0f} °F)"
    if rise > 0:
        return (f"Head: {degrees} hotter than at the last good tune. Lean, or less cooling. It is a trend, not hours.",)
    return (f"Head: {degrees} cooler than at the last good tune. Rich, or more cooling. It is a trend, not hours.",)


class Advice(Struct, frozen=True):
    """What to do with the high needle for air and fuel alone. It opens no gate: leaner is still an adjustment."""

    way: Literal["richer", "leaner", "leave"]
    hours: float
    before_start: bool
    """True when it is done engine off, before the start, by going back to the corrected record."""
    said: str


def advise(found: Explained, window: Span, head: float | None = None) -> Advice:
    """Return what to do with the high needle; `window` and `head` in °C, `head` None when it was not read.

    Richer by the larger estimate, before the start. Leaner never by more than the smaller estimate, nor an hour, nor
    on an engine that is hot, cold or unread, nor while a drift or a cause is unexplained.
    """
    asked = Span(found.hours.low - found.drift, found.hours.high - found.drift)
    richer = halves_up(max(asked.high, 0.0)) if asked.low > 0 or asked.high >= HALF else 0.0
    if richer:
        return Advice("richer", richer, True, "Richer, by the larger estimate, before you start it.")
    if found.unexplained is None:
        return _leave("The day or the fuel is not known: never leaner on a guess. Going back adds an hour for it.")
    if abs(found.unexplained) > MUCH:
        return _leave("More than an hour is not explained: look for what is wrong. No needle goes leaner before that.")
    leaner = halves_down(max(min(-asked.high, -found.hours.high, LARGEST_STEP), 0.0))
    if not leaner and -asked.high >= HALF:
        return _leave("It stands richer than air and fuel ask for. Go back to the record instead of leaning it.")
    if not leaner:
        return _leave("Air and fuel ask for less than half an hour. Leave it, and let the smoke and the pull decide.")
    if head is None or not isfinite(head):
        return _leave("Never leaner without a head reading: warm it, and read it.")
    if not head <= window.high:
        return _leave("A hot engine is never turned leaner.")
    if not head >= window.low:
        return _leave("A cool engine looks rich: warm it up first.")
    said = "Leaner by no more than the smaller estimate, and only when everything owed has been looked for."
    return Advice("leaner", leaner, False, said)


def _leave(why: str) -> Advice:
    return Advice("leave", 0.0, False, why)


Finding = Literal["explained", "not followed", "over an hour", "over two hours"]


class Evidence(Struct, frozen=True):
    """The drift as an answer of a check: P(answer | what is wrong). Judgement, not measured."""

    answer: Finding
    mechanical: float
    """P(answer | a mechanical fault that moves the mixture)."""
    needle: float
    """P(answer | the needle stands wrong, in the way of `setting`)."""
    otherwise: float
    """P(answer | anything else, or nothing)."""
    setting: Literal["", "lean", "rich"] = ""
    """With "not followed": how the needle stands against what the day asks for."""


CHANCES: dict[Finding, tuple[float, float, float]] = {
    "not followed": (0.10, 0.45, 0.10),
    "over an hour": (0.30, 0.10, 0.10),
    "over two hours": (0.20, 0.03, 0.03),
    "explained": (0.40, 0.42, 0.77),
}
"""P(answer | mechanical, needle, otherwise); each adds up to one. The unhealthy answers stay under the 0.65 at which a
check "can show" a fault, so that a quiet drift never counts as having looked."""

MOVES_THE_MIXTURE = frozenset({"air", "exhaust", "fuel", "fuel supply", "ignition", "seals", "tank pressure"})
"""The areas whose faults make a tune drift: those that a tuner looks through when a tune won't hold. A judgement."""


def in_a_line(found: Explained) -> str:
    """Say what `evidence` says of a drift, in one line; "" where a cause is unknown."""
    unexplained = found.unexplained
    if unexplained is None:
        return ""
    if abs(unexplained) > MUCH:
        stands = f"the high needle stands {_apart(found.drift)} than at the last good tune"
        return f"{stands}, {amount(round(abs(unexplained), 1))} of it unexplained"
    if abs(found.owed) > MUCH:
        return f"by air and fuel, the high needle stands {_apart(-found.owed)} than it should"
    return "the tune has drifted by no more than air and fuel explain"


def _apart(outwards: float) -> str:
    return f"{amount(round(abs(outwards), 1))} {'richer' if outwards > 0 else 'leaner'}"


def evidence(unexplained: float | None, owed: float = 0.0) -> Evidence | None:
    """Return what a drift says, from `Explained.unexplained` and `Explained.owed` in hours; None is no evidence."""
    if unexplained is None:
        return None
    if not (isfinite(unexplained) and isfinite(owed)):
        raise DiagnoseError("a drift is a number of hours")
    answer: Finding = "explained"
    if abs(unexplained) > 2 * MUCH:
        answer = "over two hours"
    elif abs(unexplained) > MUCH:
        answer = "over an hour"
    elif abs(owed) > MUCH:
        answer = "not followed"
    setting: Literal["", "lean", "rich"] = ""
    if answer == "not followed":
        setting = "lean" if owed > 0 else "rich"
    return Evidence(answer, *CHANCES[answer], setting)
