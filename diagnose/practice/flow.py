"""Fuel and air: what mixture the engine gets at idle, at part throttle and at full throttle.

Everything is relative to a sound engine that is right on the standard day, so that most constants cancel. The mixture
is fuel over the fuel that this air asks for: 1 is right, more is rich. Quasi-steady: a regime holds until another.

- Air through a slide over a round bore, in series with the air filter: area by `throttle.opening` (geometry); areas in
  series add as 1/A² (orifices). An engine swallows no more than its own pumping lets it: `SWALLOW`, assumed.
- Fuel through orifices in series: needle, jet, filter, line; mass ∝ area · √(density · Δp), derived in physics.md §4.
- A needle's area goes with its turns: one hour at three turns is 1/36, or 2.8 % (physics.md §4, the linear law).
- Δp: the tank's pressure, which the exhaust makes and which goes with (air mass)² over the air's pressure; the
  slide's depression, with the air's density; the height of the fuel, 0.34 kPa for 40 mm (physics.md §4). At full
  throttle physics.md estimates 11 kPa at the stinger and 0.8 to 3.2 kPa in a venturi; 6 and 2.5 kPa are assumed.
- Burning goes with the oxygen: the dry part of the air's density (physics.md §2), and the fuel's air demand (§3).
"""

from __future__ import annotations

from functools import lru_cache
from math import inf, sqrt
from typing import Literal, NamedTuple

from diagnose.practice.parts import GAP, HIGH, LOW, MID, SOUND, STANDARD_AIR, STANDARD_FUEL, Parts, Screws, Weather
from diagnose.tune import air as moist
from diagnose.tune import fuel as fuels
from diagnose.tune.fuel import Blend
from diagnose.tune.throttle import opening

Regime = Literal["idle", "part", "full"]

BORE = 7.0
"""mm. Assumed; physics.md §6 uses the same."""
PART = 2.6
"""mm that the slide is open at part throttle: 35 % of the area. Assumed."""
SWALLOW = 20.0
"""mm²: the opening that would pass as much as the engine can pump. Assumed."""
FILTER = 60.0
"""mm² that a clean air filter is worth. Assumed: more than the bore, so that it holds nothing back."""

METERS: dict[tuple[int, Regime], tuple[float, float, float]] = {
    (3, "idle"): (0.25, 0.0, 0.75),
    (3, "part"): (0.35, 0.45, 0.20),
    (3, "full"): (1.0, 0.0, 0.0),
    (2, "idle"): (0.25, 0.0, 0.75),
    (2, "part"): (0.60, 0.0, 0.40),
    (2, "full"): (1.0, 0.0, 0.0),
}
"""The share of the high, the mid and the low needle in the metering, as exponents of their openings. Assumed from what
tuners say: the top feeds every circuit, the low needle rules idle to a third, without a mid part throttle is
overlap."""

FOLLOWS = 0.85
"""How far the fuel follows the slide's area while the slide moves: less than 1, so a slide held open runs leaner.
Assumed."""

NEEDED: dict[Regime, float] = {"idle": 0.12, "part": 0.45, "full": 1.0}
"""The needle's area in each regime, against full throttle. Assumed."""
FUEL_FILTER, FUEL_LINE, JET = 8.0, 10.0, 5.0
"""The same for what lies in series, when clean. Assumed: wide enough to be felt by nobody."""

TANK: dict[Regime, float] = {"idle": 0.3, "part": 2.0, "full": 6.0}
VENTURI: dict[Regime, float] = {"idle": 2.5, "part": 2.5, "full": 2.5}
"""kPa. At idle the slide's own gap makes the depression. Assumed."""
COLUMN = 0.34
"""kPa of a full tank's height of fuel over an empty one's (physics.md §4: 40 mm)."""
PULL: dict[Regime, float] = {"idle": 1.0, "part": 0.4, "full": 0.15}
"""How hard the case draws on a leak, against how hard it draws on the throttle: most at idle. Assumed."""
FROTH: dict[Regime, float] = {"idle": 0.2, "part": 0.7, "full": 1.0}
"""How much of the froth reaches the engine: the tank shakes when the car drives. Assumed."""
SOAKED: dict[Regime, float] = {"idle": 0.08, "part": 0.04, "full": 0.0}
"""Fuel that a soaked filter gives back at low revs, where the case blows back into it. Assumed."""
CHOKED = 4.0
"""kPa that a filter adds to the depression when it passes no more than its own area lets it. Assumed."""


class FuelFlow(NamedTuple):
    """What reaches the engine in one regime."""

    mixture: float
    """Fuel over what the air asks for; 1 is right."""
    air: float
    """Oxygen over what a sound engine gets there on the standard day: what it can burn."""
    fuel: float
    """Fuel by mass over the sound engine's: smoke and oil go with it."""


class _Through(NamedTuple):
    slide: float
    whole: float
    """Air through the slide, and with the leaks: mm² that pass it."""
    suction: float
    """How far the air filter is driven, 0 to 1."""


def leak(parts: Parts) -> float:
    """Return the mm² through which the case and the carburettor draw false air."""
    return parts.base_leak + parts.seal_leak + parts.back_leak + parts.front_leak


def gap(parts: Parts, screws: Screws) -> float:
    """Return the mm that the slide really stands open at rest."""
    return screws.gap + off_stop(parts)


def off_stop(parts: Parts) -> float:
    """Return the mm that something holds the slide off its stop; the largest holds it."""
    return max(parts.held + parts.trim, parts.rod_rub, parts.barrel_stick, 0.6 * parts.servo_scatter, 2 * parts.rod_off)


def reach(parts: Parts) -> float:
    """Return the share of the bore that full trigger opens; a weak battery holds no servo against the spring."""
    return parts.reach * (1 - 0.5 * (1 - parts.battery)) * (1 - 0.2 * parts.servo_scatter)


def flow(
    parts: Parts, screws: Screws, day: Weather, regime: Regime, needles: int = 3, level: float | None = None
) -> FuelFlow:
    """Return what reaches the engine; `level` is how full the tank is, else what it is now."""
    stands, opens = gap(parts, screws), reach(parts)
    sound = _through(SOUND, GAP, regime, opens)
    now = _through(parts, stands, regime, opens)
    unhindered = _through(SOUND, stands, regime, opens)
    dry, whole, pressure = day_air(day)
    pipe = 1 - 0.5 * (1 - parts.outlet) ** 2  # what a choked pipe keeps out; assumed
    passed = now.whole / sound.whole * pipe
    sucked = now.slide / unhindered.slide * pipe
    full = parts.level if level is None else level
    made = passed if regime == "idle" else passed**2  # at idle the tank still holds what the last blip made
    driven = TANK[regime] * made * whole**2 / pressure * passes(parts, full) * (1 + 0.8 * (1 - parts.outlet))
    driven += VENTURI[regime] * sucked**2 * whole + COLUMN * (full - 0.5)
    driven += CHOKED * (now.suction**2 - sound.suction**2)
    area = _metered(parts, screws, regime, needles)
    if regime == "idle":
        area *= (opening(BORE, stands) / opening(BORE, GAP)) ** FOLLOWS
    demand, density = _fuel(_blend(parts, day))
    drawn = area * sqrt(max(driven, 0.0) / (TANK[regime] + VENTURI[regime])) * _solid(parts, regime, full)
    drawn += SOAKED[regime] * max(parts.choke - 0.4, 0.0) / 0.6
    # mass ∝ √density; what that mass asks for ∝ demand per volume / density
    mixture = drawn * demand / sqrt(density) / (passed * dry) if passed else inf
    short = sound.whole / _through(SOUND, GAP, regime).whole  # a slide that opens less meters both alike
    return FuelFlow(mixture, passed * dry * short, drawn * sqrt(density) * short)


def passes(parts: Parts, level: float) -> float:
    """Return the share of the exhaust's pressure that the tank holds; a leak costs more the emptier the tank is."""
    empty = 0.6 + 0.8 * (1 - level)
    kept = (1 - min(parts.lid * empty, 1.0)) * (1 - min(parts.crack * empty, 1.0))
    return parts.pressure_line * parts.nipple * (1 - parts.joint) * kept * (1 - 0.95 * parts.lid_open)


def _through(parts: Parts, stands: float, regime: Regime, share: float = 1.0) -> _Through:
    if regime == "idle":
        drawn = stands
    elif regime == "part":
        drawn = max(PART * (1 - 0.5 * parts.dead_band), stands)
    else:
        drawn = max(BORE * share, stands)
    slide = max(opening(BORE, min(drawn, BORE)), 1e-6)
    filtered = FILTER * (1 - parts.choke)
    through = _series(slide, filtered)
    whole = _series(through + leak(parts) * PULL[regime], SWALLOW)
    slid = whole * through / (through + leak(parts) * PULL[regime])
    return _Through(slid, whole, slid / filtered)


def _series(*areas: float) -> float:
    """Return the area of orifices in series: 1/A² adds."""
    return 1 / sqrt(sum(1 / area**2 for area in areas)) if min(areas) > 0 else 0.0


def _metered(parts: Parts, screws: Screws, regime: Regime, needles: int) -> float:
    """Return the fuel's area over that of a sound engine: the needles, then what lies in series with them."""
    high, mid, low = METERS[needles, regime]
    opened = (screws.high / HIGH) ** high * (screws.mid / MID) ** mid * (screws.low / LOW) ** low
    opened *= (1 - 0.2 * parts.tip) ** high  # a groove seats deeper than the turns say; assumed
    needed = NEEDED[regime]
    now = _series(
        needed * opened,
        FUEL_FILTER * min(parts.filter_free, parts.pickup_free),
        FUEL_LINE * parts.line_free,
        JET * (1 - parts.jet_blocked),
    )
    return now / _series(needed, FUEL_FILTER, FUEL_LINE, JET)


def _solid(parts: Parts, regime: Regime, level: float) -> float:
    """Return the share of what comes through the jet that is fuel and not air.

    A tank that is as good as empty is no regime: it lasts for seconds, and then the
    engine stops (`symptom_strengths.py`).
    """
    if parts.swapped:
        return 0.35
    froth = min(parts.hot_line + parts.shaken + 0.15 * parts.mount, 0.9) * FROTH[regime]
    return max(0.0, (1 - parts.line_leak) * (1 - froth) * (1 - parts.pickup * (1 - level)))


def _blend(parts: Parts, day: Weather) -> Blend:
    return Blend(max(day.fuel.nitro + parts.nitro, 0.0), max(day.fuel.oil + parts.oil, 0.02))


@lru_cache(maxsize=4096)
def _fuel(blend: Blend) -> tuple[float, float]:
    """Return the air that a litre asks for and the density, over the standard fuel's."""
    demand = fuels.air_demand(blend, oil_burnt=False) / fuels.air_demand(STANDARD_FUEL, oil_burnt=False)
    return demand, fuels.density(blend) / fuels.density(STANDARD_FUEL)


@lru_cache(maxsize=4096)
def day_air(day: Weather) -> tuple[float, float, float]:
    """Return the dry density, the density and the pressure, over the standard day's."""
    return (
        moist.dry_density(day.air) / moist.dry_density(STANDARD_AIR),
        moist.density(day.air) / moist.density(STANDARD_AIR),
        day.air.pressure / STANDARD_AIR.pressure,
    )


def right(day: Weather, needles: int = 3) -> Screws:
    """Return where the screws of a sound engine are right on this day, all three needles moved alike."""
    sound = Screws()
    low, mid, high = (flow(SOUND, sound, day, regime, needles, 0.5).mixture for regime in ("idle", "part", "full"))
    return Screws(HIGH / high, MID / mid, LOW / low, GAP)
