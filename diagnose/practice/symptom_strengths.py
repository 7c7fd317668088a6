"""How strongly each of the knowledge's symptoms shows on an engine, one by one. At 1 a person begins to notice.

Where a strength begins is assumed, near to what tuners say one hears, sees or reads off.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from diagnose.practice.flow import leak, off_stop
from diagnose.practice.parts import Parts
from diagnose.practice.running import Running, squeeze

Strength = Callable[[Running, Parts], float]

RACES = 1.25
"""Idle speed, over a sound engine's, from which it idles too high: the clutch bites soon after."""
AUDIBLE = 0.042
"""How far a mixture must be off before an ear tells it: an hour at the low needle, an hour and a half at the top.
Assumed: tuners turn by the hour because less is not heard."""
OVERHEATED = 121.0
"""°C: 250 °F, where one comes in; a sound engine has 108 °C."""
LIVES, A_MINUTE = 0.42, 0.52
"""How well the fire must be kept at idle to live without the igniter at all, and for longer than a minute."""


class ShownSymptom(NamedTuple):
    """How one symptom shows.

    Stages: 0 turning, 1 firing, 2 catching, 3 living without the igniter, 4 lasting a minute, 5 running; 9 any stage.
    `plain`: how readily a person names it, against the others that show too.
    """

    stage: int
    plain: float
    strength: Strength


def _turns(r: Running, _: Parts) -> float:
    return r.turning


def _fires(r: Running, p: Parts) -> float:
    drowned = p.wet / 0.45 if p.wet < 0.7 else 0.0
    return max(
        0.35 / max(r.glow, 0.01), 0.25 / max(r.fuel_at_start, 0.01), drowned, 0.3 / max(squeeze(p, warm=False), 0.01)
    )


def _catches(r: Running, p: Parts) -> float:
    wet = p.wet / 0.28
    return max(0.55 / max(r.catch, 0.01), 0.55 / max(r.fuel_at_start, 0.01), wet, 2.0 * p.backwards)


def _kicks(r: Running, p: Parts) -> float:
    slow = max(r.turning - 0.5, 0) / 0.2
    early = max(-p.squish, 0) / 0.16 + max(p.grade, 0) / 1.6 + max(p.igniter - 1.1, 0) / 0.7 + max(p.nitro, 0) / 0.12
    return max(slow, early, p.wet / 0.28, p.oil_left / 0.6, 1.5 * p.backwards)


def _dies_off(r: Running, _: Parts) -> float:
    return max(LIVES / max(r.keep_idle, 0.05), 0.36 / max(r.idle, 0.05))


def _dies_soon(r: Running, p: Parts) -> float:
    starved = 0.70 / max(r.mixture[0], 0.05)
    drowns = 1 + (r.wet - 1.28) / 0.1 if r.idle < 1.12 else 0.0
    return max(A_MINUTE / max(r.keep_idle, 0.05), starved, drowns, 0.055 / max(p.level, 0.01))


def _restart(r: Running, p: Parts) -> float:
    lost = 1 - squeeze(p)
    lean = max(0.93 - r.mixture[0], 0) / 0.1
    return max(lost / 0.25, p.hot_line / 0.1, max(0.78 - r.keep, 0) / 0.1, p.wet / 0.25, p.overfill / 0.9, lean)


def _hunts(r: Running, _: Parts) -> float:
    return max(r.hunt / 0.08, 1 + (0.80 - r.idle) / 0.1)


def _high(r: Running, _: Parts) -> float:
    return 1 + (r.idle - RACES) / 0.15


def _hangs(r: Running, _: Parts) -> float:
    return r.hang


def _loads_up(r: Running, _: Parts) -> float:
    return (r.wet - 1) / AUDIBLE if r.idle < 1.12 else 0.0


def _bogs(r: Running, p: Parts) -> float:
    held = (r.load + 0.5 * p.clutch_drag + 0.4 * max(p.gearing - 1, 0) + 0.4 * max(-p.shift, 0)) / 0.25
    return max((r.launch - 1) / AUDIBLE, held, p.dead_band / 0.25, (0.85 - r.power) / 0.2 if r.mixture[2] > 1 else 0.0)


def _gap(r: Running, p: Parts) -> float:
    jumps = p.dead_band / 0.2
    return max((1 - r.launch) / AUDIBLE, jumps, p.line_leak / 0.12, p.tremble / 0.3, max(0.74 - r.keep, 0) / 0.12)


def _flat(r: Running, p: Parts) -> float:
    clean = abs(r.mixture[0] - 1) < 0.12 and abs(r.mixture[2] - 1) < 0.12
    off = abs(r.mixture[1] - 1) / AUDIBLE if clean else 0.0
    return max(off, p.dead_band / 0.18, max(0.76 - r.keep, 0) / 0.1, (1 - p.reach) / 0.3)


def _will_not_rev(r: Running, _: Parts) -> float:
    rich = (r.mixture[2] - 1) / AUDIBLE
    weak = (1 - r.power) / 0.12 if r.mixture[2] > 0.8 else 0.0
    return max(rich, weak)


def _cuts(r: Running, p: Parts) -> float:
    screams = max(max(1 - p.gearing, 0) / 0.2, max(p.shift, 0) / 0.4)
    radio = max(
        (1 - p.battery) / 0.45, (1 - p.signal) / 0.35, (1 - p.contact) / 0.5
    )  # without a signal the fail-safe shuts the throttle
    return max((1 - r.mixture[2]) / AUDIBLE, radio, max(0.70 - r.keep, 0) / 0.1, screams)


def _stops(r: Running, p: Parts) -> float:
    radio = max((1 - p.battery) / 0.4, p.servo_scatter / 0.9, (1 - p.signal) / 0.4, (1 - p.contact) / 0.4)
    air = max(p.line_leak / 0.12, p.pickup * 0.5 / 0.1, (p.hot_line + p.shaken) / 0.14, 0.09 / max(p.level, 0.01))
    fire = max(max(0.78 - r.keep, 0) / 0.1, p.plug_leak / 0.3, 1.5 * (1 - p.coil))
    starved = max(0.90 - r.mixture[2], 0) / 0.08
    return max(radio, air, fire, starved, p.wheel_loose / 0.5, p.swollen / 0.7, (r.wet - 1) / 0.14, p.mount / 0.7)


def _dies_braking(r: Running, p: Parts) -> float:
    tied = max(p.clutch_drag / 0.22, p.bell / 0.5, (0.9 - p.springs) / 0.3, _bites(p))
    brake = max(tied, (1 - r.idle) / 0.22, p.brake_drag / 0.3, p.stall / 0.4, p.brake_pull / 0.25)
    shaken = max((p.hot_line + p.shaken) / 0.14, p.wheel_loose / 0.5, p.mount / 0.6)
    corner = max(p.pickup / 0.3, 0.09 / max(p.level, 0.01), p.line_leak / 0.15)
    return max(brake, shaken, corner, (r.wet - 1) / 0.1, max(0.94 - r.mixture[0], 0) / 0.1)


def _overheats(r: Running, p: Parts) -> float:
    return (r.race + p.reads - 108) / (OVERHEATED - 108)


def _will_not_hold(_: Running, p: Parts) -> float:
    """Return how much it changes from run to run: what leaks, sticks, moves or comes and goes."""
    air = 0.35 * p.line_leak + 0.10 * leak(p) + 0.2 * (p.hot_line + p.shaken) + 0.1 * p.pickup
    pressed = 0.12 * p.lid + 0.08 * p.joint + 0.08 * (1 - p.nipple) + 0.1 * min(1 - p.pressure_line, 0.7)
    moves = 0.1 * p.servo_scatter + 0.12 * p.tip + 0.1 * p.jet_blocked + 0.1 * p.mount + 0.08 * p.bearing_play
    other = (
        0.1 * p.water + 0.1 * p.head_leak + 0.08 * p.specks + 0.12 * (1 - p.fit) + 0.06 * p.torn + 0.04 * abs(p.grade)
    )
    return (air + pressed + moves + other) / 0.055


def _thins(r: Running, _: Parts) -> float:
    return r.thins / 0.04


def _fades(r: Running, _: Parts) -> float:
    return r.fades / 0.10


def _bites(p: Parts) -> float:
    """Return how plainly a clutch that was put together wrongly takes hold at idle."""
    return max(p.shoes_turned / 0.4, -p.bell_play / 0.4)


def _creeps(r: Running, p: Parts) -> float:
    return max(r.idle / (1.38 * p.springs), p.clutch_drag / 0.25, p.bell / 0.6, _bites(p))


def _slips(r: Running, _: Parts) -> float:
    return (1 - r.pulls) / 0.25


def _eats_plugs(r: Running, p: Parts) -> float:
    burnt = max((1 - r.mixture[2]) / 0.12, max(p.igniter - 1, 0) / 0.5, p.grade / 1.1, max(p.nitro, 0) / 0.1)
    hit = max(p.debris / 0.4, p.rod_play / 0.6, p.bearing_play / 0.7, p.torn / 0.7)
    return max(burnt, hit, max(-p.squish, 0) / 0.13, p.head_leak / 0.4, p.plug_leak / 0.5)


def _noise(r: Running, p: Parts) -> float:
    knock = max(p.rod_play / 0.45, p.debris / 0.45, p.bearing_play / 0.5, p.wheel_loose / 0.45, p.bell / 0.45)
    rattle = max(p.teeth / 0.3, p.binding / 0.3, p.mount / 0.45, p.differential / 0.6, p.bell_play / 0.5)
    crackle = max(max(-p.squish, 0) / 0.15, (1 - r.mixture[2]) / 0.12, p.grade / 1.4, max(p.nitro, 0) / 0.1)
    scrapes = max(p.pin_out / 0.4, p.rubs / 0.4)
    return max(knock, rattle, crackle, scrapes, p.joint / 0.4, p.head_leak / 0.35)


def _oil(r: Running, p: Parts) -> float:
    seals = max(p.head_leak / 0.25, p.back_leak / 0.5, p.front_leak / 0.5, p.plug_leak / 0.35, p.base_leak / 0.7)
    pipe = max(p.joint / 0.3, (1 - p.nipple) / 0.7, p.line_seen / 0.8, 1.3 * p.outlet_turned)
    rich = max(r.smoke - 1, 0) / 0.12
    return max(
        seals, pipe, p.lid / 0.5, p.lid_open / 0.7, p.drips / 0.8, rich, (p.choke - 0.5) / 0.3, max(p.oil, 0) / 0.04
    )


def _fuel_out(_: Running, p: Parts) -> float:
    tank = max(p.lid / 0.35, p.lid_open / 0.4, p.crack / 0.25, p.drips / 0.45, 0.9 * p.line_seen)
    pipe = max(p.overfill / 0.5, 1.3 * p.line_low, 1.2 * p.swapped, p.wet / 0.5, (1 - p.outlet) / 0.6)
    return max(tank, pipe)


def _runs_away(_: Running, p: Parts) -> float:
    throttle = max(off_stop(p) / 0.9, 5.0 * p.rod_off)
    radio = max(1.2 * (1 - p.fail_safe), (1 - p.signal) / 0.4, (1 - p.battery) / 0.4, (1 - p.contact) / 0.4)
    radio = max(radio, 3.0 * p.reversed, 3.0 * p.crossed)
    return max(throttle, radio, (1 - p.bite) / 0.6, leak(p) / 1.6)


def _will_not_stop(r: Running, p: Parts) -> float:
    return max(1.5 * (1 - p.stopper), 1.3 * p.stopper_far, off_stop(p) / 0.9, 1 + (r.idle - 1.5) / 0.2)


KICKS = "kicks-back"
"""It belongs to starting, and yet an engine that kicks back may catch and run: it shows on any that turns."""

SHOWS: dict[str, ShownSymptom] = {
    "will-not-turn-over": ShownSymptom(0, 1.0, _turns),
    "spins-but-never-fires": ShownSymptom(1, 1.0, _fires),
    "pops-but-will-not-catch": ShownSymptom(2, 1.0, _catches),
    KICKS: ShownSymptom(2, 0.4, _kicks),
    "dies-as-the-igniter-comes-off": ShownSymptom(3, 1.0, _dies_off),
    "dies-within-a-minute": ShownSymptom(4, 1.0, _dies_soon),
    "will-not-restart-hot": ShownSymptom(5, 0.6, _restart),
    "will-not-hold-an-idle": ShownSymptom(5, 1.0, _hunts),
    "idles-too-high": ShownSymptom(5, 1.0, _high),
    "revs-hang": ShownSymptom(5, 1.0, _hangs),
    "loads-up-at-idle": ShownSymptom(5, 1.0, _loads_up),
    "bogs-off-the-line": ShownSymptom(5, 1.0, _bogs),
    "cuts-off-the-line": ShownSymptom(5, 1.0, _gap),
    "flat-in-the-mid-range": ShownSymptom(5, 1.0, _flat),
    "will-not-rev-out": ShownSymptom(5, 1.0, _will_not_rev),
    "cuts-on-the-straight": ShownSymptom(5, 1.0, _cuts),
    "stops-at-random": ShownSymptom(5, 0.8, _stops),
    "dies-braking-landing-or-cornering": ShownSymptom(5, 0.7, _dies_braking),
    "overheats": ShownSymptom(5, 1.0, _overheats),
    "tune-will-not-hold": ShownSymptom(5, 0.5, _will_not_hold),
    "leans-as-the-tank-empties": ShownSymptom(5, 0.8, _thins),
    "fades-when-warm": ShownSymptom(5, 0.7, _fades),
    "creeps-at-idle": ShownSymptom(5, 0.8, _creeps),
    "revs-but-does-not-pull": ShownSymptom(5, 1.0, _slips),
    "eats-plugs": ShownSymptom(5, 0.25, _eats_plugs),
    "makes-a-noise": ShownSymptom(5, 0.5, _noise),
    "oil-everywhere": ShownSymptom(5, 0.5, _oil),
    "fuel-comes-out": ShownSymptom(9, 0.7, _fuel_out),
    "runs-away": ShownSymptom(5, 0.7, _runs_away),
    "will-not-stop": ShownSymptom(5, 0.7, _will_not_stop),
}
