"""What the engine does: starting, idling, letting go, pulling away, at speed. Numbers, from which symptoms follow.

Every relation below that names no source is assumed: shaped so that a sound engine comes to 1 (or 0), and that each
thing a tuner says of an engine comes out (tests/practice/test_running.py). Shares are 0 to 1, mixtures 1 when right.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from diagnose.graph.model import Variant
from diagnose.practice import heat as heats
from diagnose.practice.flow import FuelFlow, day_air, flow, leak
from diagnose.practice.parts import Parts, Screws, Weather

STIFF, STIFF_NEW = 0.40, 0.55
"""What turning the engine takes of a sound starter's strength, run in and new."""
WARM = 82.0
"""°C: below, fuel does not all turn to vapour, and the idle grows wet."""


class Running(NamedTuple):
    """What the engine does now."""

    turning: float
    """What turning takes over what the starter has: from 1 on it stalls."""
    glow: float
    """How brightly the plug glows on the igniter."""
    fuel_at_start: float
    """Share of the fuel that a start needs."""
    catch: float
    """How readily it catches; it needs 0.55."""
    keep: float
    """How well the plug keeps the fire at speed, 1 for a new one in a sound engine."""
    keep_idle: float
    """The same at idle, where it is cooler, slower and wetter."""
    idle: float
    """Speed at idle over a sound engine's."""
    wet: float
    """Mixture at idle after some seconds, with what does not burn or vaporise."""
    mixture: tuple[float, float, float]
    """At idle, part throttle and full throttle."""
    hang: float
    """Seconds until it falls back to idle after a blip."""
    hunt: float
    """How far the idle wanders by itself, as a share of its speed."""
    launch: float
    """Mixture as the throttle opens from idle."""
    load: float
    """Share of the power that is lost between the crank and the road, at speed, when the clutch has taken hold."""
    power: float
    """Power at full throttle over a sound engine's on the same day."""
    fades: float
    """Share of the power that is lost once it is hot."""
    thins: float
    """How much leaner it is with a quarter of a tank than with nine tenths, as a share."""
    smoke: float
    """Fuel, and so oil, that goes through at full throttle over a sound engine's."""
    race: float
    stand: float
    """°C of the head after fast laps, and warmed up on the stand."""
    pulls: float
    """Share of the torque that reaches the road."""


def run(parts: Parts, screws: Screws, day: Weather, variant: Variant) -> Running:
    """Return what an engine in that state does."""
    return _run(parts, screws, day, variant.needles, variant.run_in, variant.starter == "box")


@lru_cache(maxsize=1024)
def _run(parts: Parts, screws: Screws, day: Weather, needles: int, run_in: bool, box: bool) -> Running:
    idle, part, full = (flow(parts, screws, day, regime, needles) for regime in ("idle", "part", "full"))
    hot = heats.heat(parts, day, idle, part, full)
    keep = _keep(parts)
    wet, speed, keep_idle = _idling(parts, idle, hot.stand, keep)
    turning = _turning(parts, run_in, box)
    glow, fuel_at_start = _glow(parts), _fuel_at_start(parts, idle)
    load = _load(parts)
    pulls = parts.grip * (1 - parts.slip_part) * (1 - parts.teeth) * (1 - parts.differential) * (1 - parts.tyre)
    pulls *= 1 - parts.second_slip
    return Running(
        turning=turning,
        glow=glow,
        fuel_at_start=fuel_at_start,
        catch=glow
        * squeeze(parts, warm=False)
        * (1 - 0.5 * parts.water)
        * (1 - 0.7 * parts.oil_left)
        * _speed_of_start(turning),
        keep=keep,
        keep_idle=keep_idle,
        idle=speed,
        wet=wet,
        mixture=(idle.mixture, part.mixture, full.mixture),
        hang=_hang(parts, (idle, part, full), speed),
        hunt=_hunt(parts, speed, keep_idle),
        launch=idle.mixture**0.6 * part.mixture**0.4 + 0.3 * (wet - idle.mixture),
        load=load,
        power=full.air
        / day_air(day)[0]
        * _burns(full.mixture)
        * squeeze(parts) ** 0.6
        * (1 - 0.6 * parts.liner_off)
        * (1 - 0.4 * parts.piston_turned)
        * (0.4 + 0.6 * min(keep / 0.75, 1))
        * (1 - load)
        * (1 - 0.35 * parts.pipe_misfit)
        * (1 - 0.35 * max(-parts.shift, 0)),
        fades=_fades(parts, hot.race),
        thins=_thins(parts, screws, day, needles),
        smoke=full.fuel / max(full.air, 0.05),
        race=hot.race,
        stand=hot.stand,
        pulls=pulls,
    )


def squeeze(parts: Parts, *, warm: bool = True) -> float:
    """Return the squeeze over a sound engine's; cold oil hides two thirds of a worn fit."""
    fit = parts.fit if warm else 1 - (1 - parts.fit) / 3
    return fit * (1 - parts.plug_leak) * (1 - parts.head_leak) * (1 - 0.7 * max(parts.squish, 0))


def _turning(parts: Parts, run_in: bool, box: bool) -> float:
    """Return what turning takes over what the starter has."""
    locked = 2.0 if parts.wet >= 0.7 else 0.3 * parts.wet
    takes = (STIFF if run_in else STIFF_NEW) + 1.1 * parts.tight + locked + 1.5 * parts.jam
    takes += parts.gum**2 + 0.1 * parts.bearing_play + 2 * parts.seized + (2.0 if parts.oil_left >= 0.9 else 0.0)
    takes += 0.8 * max(parts.rubs, parts.strained)
    has = parts.starter * (1 if box else parts.one_way * parts.cord)
    return takes / max(has, 0.01)


def _speed_of_start(turning: float) -> float:
    """Return how briskly it is turned, 1 for a sound starter: a loaded one slows down before it stalls."""
    return min(max((1 - turning) / 0.4, 0.0), 1.0)


def _glow(parts: Parts) -> float:
    """Return how brightly the plug glows on the igniter."""
    return parts.coil * min(parts.igniter, 1.05) * (0.6 + 0.4 * parts.activity) * (1 + 0.04 * parts.grade)


def _fuel_at_start(parts: Parts, idle: FuelFlow) -> float:
    """Return the share of the fuel that a start needs; cranking draws weakly, so that what is narrow counts double."""
    filters = min(parts.filter_free, parts.pickup_free)
    narrow = min(filters / 0.06, parts.line_free / 0.06, (1 - parts.jet_blocked) / 0.08, 1.0)
    through = parts.primed * (0.0 if parts.level < 0.01 else 1.0) * (0.24 if parts.swapped else 1.0)
    return through * narrow * (1 - 0.8 * parts.line_leak) * min(idle.mixture / 0.9, 1.2)


def _keep(parts: Parts) -> float:
    """Return how well the plug keeps the fire alive: catalysis, grade, squeeze and fuel (physics.md §7)."""
    grade = 1 - 0.22 * max(-parts.grade, 0) + 0.03 * max(parts.grade, 0)
    squeezed = min(squeeze(parts) * (1 + 0.3 * max(-parts.squish, 0)), 1.1)
    oily = 1 - 0.4 * parts.oil_left  # on the coil, until it has burnt off
    return float(parts.coil * parts.activity * grade * squeezed**1.2 * (1 - 0.55 * parts.water) * oily)


def _idling(parts: Parts, idle: FuelFlow, stand: float, keep: float) -> tuple[float, float, float]:
    """Return the wet mixture, the idle's speed, and how well the fire is kept there."""
    wet = idle.mixture + 0.5 * max(0.80 - keep, 0) + 0.6 * max(WARM - stand, 0) / WARM
    drag = min(parts.clutch_drag + 0.2 * parts.bell, 0.9)
    speed = idle.air**0.7 * (1 + 1.2 * (1 - min(max(wet, 0.75), 1.5))) * (0.7 + 0.3 * min(keep, 1)) - 0.5 * drag
    speed = max(speed - 2 * max(0.75 - idle.mixture, 0), 0.0)
    wet += 0.25 * max(0.85 - speed, 0)
    keep_idle = keep * max(1 - 1.1 * max(wet - 1.08, 0), 0) * min(speed, 1) ** 0.4
    keep_idle *= 1 - 0.75 * parts.hurried  # a cold engine does not keep its own plug hot
    return wet, speed, keep_idle * min(max(idle.mixture / 0.72, 0), 1)


def _hang(parts: Parts, flows: tuple[FuelFlow, FuelFlow, FuelFlow], speed: float) -> float:
    """Return the seconds until the revs are down: a lean mixture burns on as the throttle shuts, a slide hangs."""
    idle, part, full = (min(one.mixture, 1.15) for one in flows)
    closing = idle**0.5 * part**0.25 * full**0.25
    sticks = 0.8 * max(parts.rod_rub, parts.barrel_stick)
    lean = 24 * max(0.995 - closing, 0)
    return float(0.5 + lean + 3 * max(0.95 - full, 0) + max(speed - 1.3, 0) + sticks)


def _hunt(parts: Parts, speed: float, keep_idle: float) -> float:
    """Return how far the idle wanders: gulps of air, a slide that moves, a fire that is barely kept."""
    gulps = 0.9 * parts.line_leak + 0.14 * leak(parts) + 0.2 * (parts.hot_line + parts.shaken)
    moves = 0.3 * parts.servo_scatter + 0.7 * parts.tremble + 0.25 * parts.dead_band + 0.08 * parts.tip
    barely = 1.2 * max(0.76 - keep_idle, 0) + 0.5 * max(0.85 - speed, 0)
    return gulps + moves + barely + 0.06 * parts.bearing_play + 0.1 * max(parts.jet_blocked - 0.7, 0) / 0.3


def _load(parts: Parts) -> float:
    """Return the share of the power that is lost on the way to the road, without what slips."""
    long = 0.5 * max(parts.gearing - 1, 0)
    return min(parts.brake_drag + parts.binding + long + 0.25 * parts.gum, 0.95)


def _burns(mixture: float) -> float:
    """Return the power that a mixture gives; it falls off faster on the lean side."""
    width = 0.95 if mixture > 0.97 else 0.42
    return max(1 - ((mixture - 0.97) / width) ** 2, 0.0)


def _fades(parts: Parts, race: float) -> float:
    """Return the share of the power that is gone once it is hot."""
    worn = 1 - squeeze(parts) / max(squeeze(parts, warm=False), 1e-6)
    fuel = 0.7 * parts.hot_line + 0.12 * parts.lid
    lost = worn + 0.35 * parts.swollen + fuel + 0.25 * (1 - parts.battery) + 0.5 * (1 - parts.grip)
    return lost + 0.25 * parts.brake_drag + 0.004 * max(race - 121, 0) + 0.05 * leak(parts) + 0.15 * parts.head_leak


def _thins(parts: Parts, screws: Screws, day: Weather, needles: int) -> float:
    """Return how much leaner it is at full throttle with a quarter of a tank than with nine tenths."""
    if parts.level < 0.1:
        return 0.0
    first, last = (flow(parts, screws, day, "full", needles, level).mixture for level in (0.9, 0.25))
    return 1 - last / first if first else 0.0
