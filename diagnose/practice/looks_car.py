"""What there is to be seen of the car and the needles, and what a person remembers.

The thresholds are where an eye, a hand or an ear begins to notice: assumed. The grades are trade.md's, by its letters;
what is told from memory is no better than M.
"""

from __future__ import annotations

from diagnose.practice.flow import off_stop, right
from diagnose.practice.looks import LIVES, RUNS, TURNS, Look, Seen
from diagnose.practice.parts import MID
from diagnose.practice.shows import HEARD, HOT, RACES, SHOWS

MOVED = 1.2
"""Hours that a needle must stand off its record before a count tells it."""


UNSET = 2.0
"""Hours that a needle may stand off right and still be a setting to start on."""


def _moved(seen: Seen) -> bool:
    if seen.record is None:
        return False
    return abs(seen.screws.high - seen.record.high) > MOVED or abs(seen.screws.low - seen.record.low) > MOVED


def _mid_off(seen: Seen) -> bool:
    return seen.state.variant.needles == 3 and abs(seen.screws.mid - MID) > MOVED


def _lean(mixture: float) -> bool:
    return mixture < 1 - HEARD


def _rich(mixture: float) -> bool:
    return mixture > 1 + HEARD


def _unset(seen: Seen) -> bool:
    """Say whether a needle stands where nobody would start this engine."""
    best = right(seen.state.day, seen.state.variant.needles)
    return max(abs(seen.screws.high - best.high), abs(seen.screws.low - best.low)) > UNSET


def _shows(seen: Seen, symptom: str) -> bool:
    return SHOWS[symptom].strength(seen.running, seen.parts) >= 1


LOOKS: dict[str, Look] = {
    # D1 to D6: from the clutch to the wheels
    "bell-spins": Look(
        "M",
        lambda s: [
            (s.parts.teeth > 0.2, "teeth gone", "H"),
            (s.parts.bell > 0.3, "grates", "H"),
            (s.parts.clutch_drag > 0.12, "drags"),
        ],
    ),
    "wheels-by-hand": Look(
        "H", lambda s: [(s.parts.brake_drag > 0.1, "brake rubs"), (s.parts.binding > 0.1, "tight spots")]
    ),
    "gearing-check": Look("H", lambda s: [(abs(s.parts.gearing - 1) > 0.12, "far off")]),
    "clutch-bell-off": Look(
        "H",
        lambda s: [
            (s.parts.grip < 0.87, "glazed or oily"),
            (s.parts.springs < 0.85 or s.parts.clutch_drag > 0.12, "springs tired"),
        ],
    ),
    "brake-at-idle": Look(
        "M", lambda s: [(s.parts.clutch_drag > 0.12 or s.parts.springs < 0.78 or s.parts.bell > 0.6, "sinks")], RUNS
    ),
    "drive-held": Look(
        "H",
        lambda s: [
            (s.parts.teeth > 0.15, "teeth gone"),
            (s.parts.slip_part > 0.15, "a part turns"),
            (s.parts.differential > 0.15, "differential jumps", "M"),
            (s.parts.tyre > 0.15, "tyre turns"),
        ],
    ),
    "brake-holds": Look("H", lambda s: [(s.parts.bite < 0.6, "turns through")]),
    "wiggle-and-roll": Look(
        "M",
        lambda s: [
            (s.parts.mount > 0.3, "engine moves", "H"),
            (s.parts.wheel_loose > 0.3 or s.parts.jam > 0.4, "flywheel wrong", "H"),
            (s.parts.base_leak > 0.3, "carburettor moves"),
            (s.parts.joint > 0.35, "pipe moves"),
            (s.parts.brake_drag + s.parts.binding > 0.1, "will not roll", "H"),
            (s.parts.bearing_play > 0.45, "flywheel wrong"),
            (s.parts.clutch_drag > 0.15 or s.parts.bell > 0.35, "bell drags"),
        ],
    ),
    # N1 to N7: the needles
    "pinch-at-idle": Look(
        "M", lambda s: [(_lean(s.running.wet), "dies at once"), (_rich(s.running.wet), "long climb")], RUNS
    ),
    "idle-then-punch": Look(
        "M",
        lambda s: [
            (_rich(s.running.launch), "gurgle"),
            (_lean(s.running.launch) or s.parts.dead_band > 0.2, "gap"),
        ],
        RUNS,
    ),
    "smoke-on-the-straight": Look(
        "M", lambda s: [(_lean(s.running.mixture[2]), "thin smoke"), (_rich(s.running.mixture[2]), "thick smoke")], RUNS
    ),
    "plug-after-full-run": Look(
        "M",
        lambda s: [(_lean(s.running.mixture[2]), "pale and dull"), (_rich(s.running.mixture[2]), "dark and wet")],
        RUNS,
    ),
    "needle-count": Look("H", lambda s: [(_moved(s), "has moved"), (_mid_off(s), "mid off its mark")]),
    "paint-marks": Look("H", lambda s: [(_moved(s), "one has crept"), (_mid_off(s), "mid off its line")]),
    "start-settings": Look("M", lambda s: [(_unset(s), "unknown")]),
    # what a person remembers or is asked to listen for
    "any-pop": Look("M", lambda s: [(_shows(s, "spins-but-never-fires"), "nothing")], TURNS),
    "runs-with-igniter-on": Look(
        "M",
        lambda s: [
            (_shows(s, "pops-but-will-not-catch"), "never catches"),
            (_shows(s, "dies-as-the-igniter-comes-off"), "dies as it comes off"),
        ],
        TURNS,
    ),
    "how-it-stops": Look(
        "M",
        lambda s: [
            (s.parts.coil < 0.5 or s.parts.battery < 0.6 or s.parts.wheel_loose > 0.4, "like a switch"),
            (s.running.wet > 1.06 and s.running.idle < RACES, "sinks and gurgles"),
            (min(s.running.mixture) < 0.93, "climbs and cuts"),
            (s.parts.plug_leak > 0.2 or s.running.keep < 0.7, "like a switch", "L"),
        ],
        LIVES - 1,
    ),
    "when-it-dies": Look(
        "M",
        lambda s: [
            (max(s.parts.clutch_drag / 0.2, s.parts.bell / 0.5, s.parts.stall / 0.4) >= 1, "as it brakes"),
            (max(s.parts.mount / 0.5, s.parts.wheel_loose / 0.4, s.parts.shaken / 0.1) >= 1, "as it lands"),
            (s.parts.pickup > 0.45, "on one side only"),
            (s.parts.pickup > 0.2 or s.parts.level < 0.1, "in every corner"),
            (s.running.idle < 0.85 or s.running.wet > 1.08 or s.running.mixture[0] < 0.93, "as it brakes"),
        ],
        LIVES,
    ),
    "how-soon-it-leans": Look(
        "M",
        lambda s: [
            (s.running.thins < 0.035 and s.running.mixture[2] > 0.95, "a shade at the end"),
            (s.running.thins < 0.06 and s.running.mixture[2] < 0.90, "from the first lap"),
        ],
        LIVES,
    ),
    "every-straight": Look(
        "M",
        lambda s: [
            (max(s.parts.jet_blocked, s.parts.specks) > 0.4 or s.parts.battery < 0.7, "now and then"),
            (s.parts.line_leak > 0.1 or s.parts.pickup > 0.3, "now and then"),
            (s.parts.hot_line + s.parts.shaken > 0.15, "now and then", "L"),
        ],
        LIVES,
    ),
    "what-fades": Look(
        "M",
        lambda s: [
            (s.parts.grip < 0.87, "the car and not the note"),
            (s.parts.battery < 0.75, "the answer to the trigger"),
            (s.running.race + s.parts.reads > HOT, "the engine and hot"),
        ],
        LIVES,
    ),
    "first-start-goes": Look(
        "H",
        lambda s: [
            (s.stage < 4, "it will not start"),
            (s.stage == 4, "it dies again"),
            (s.running.idle > RACES, "it races"),
        ],
    ),
    "idle-high-or-calm": Look("M", lambda s: [(s.running.idle > RACES, "high")], RUNS),
    "sound-without-speed": Look(
        "M",
        lambda s: [
            (s.parts.teeth > 0.75, "screams"),  # there is nothing left that could clatter
            (s.parts.teeth > 0.2 or s.parts.differential > 0.4 or s.parts.bell > 0.5, "clatters"),
            (s.running.pulls < 0.8, "screams"),
        ],
        RUNS,
    ),
    "where-the-fuel-is": Look(
        "M",
        lambda s: [
            (s.parts.drips > 0.4, "along the fuel line"),
            (s.parts.lid > 0.3 or s.parts.crack > 0.15 or s.parts.line_seen > 0.8, "at the tank"),
            (s.parts.overfill > 0.3 or s.parts.line_low or s.parts.swapped, "in the pipe"),
            (s.parts.wet > 0.4 or s.parts.outlet < 0.5, "at the carburettor"),
            (s.running.wet > 1.2, "spat out at idle"),
        ],
    ),
    "what-it-ignored": Look(
        "M",
        lambda s: [
            (min(s.parts.signal, s.parts.battery) < 0.7 or s.parts.fail_safe < 0.5, "everything"),
            (s.parts.bite < 0.6 and off_stop(s.parts) < 0.5, "did not brake"),
        ],
    ),
    "noise-kind": Look(
        "M",
        lambda s: [
            (max(s.parts.rod_play, s.parts.debris, s.parts.wheel_loose) > 0.4, "knock"),
            (s.parts.bearing_play > 0.75, "rattle"),
            (s.parts.bearing_play > 0.4, "knock"),
            (max(s.parts.teeth, s.parts.binding, s.parts.bell, s.parts.mount, s.parts.differential) > 0.3, "rattle"),
            (s.parts.joint > 0.35 or s.parts.head_leak > 0.3, "hiss or bark"),
            (s.parts.squish < -0.1 or s.parts.grade > 1 or s.parts.nitro > 0.07, "crackle"),
            (s.running.mixture[2] < 0.9, "crackle"),
        ],
        LIVES,
    ),
    "where-the-oil-is": Look(
        "M",
        lambda s: [
            (max(s.parts.head_leak / 0.2, s.parts.plug_leak / 0.25) >= 1, "around the engine"),
            (max(s.parts.back_leak, s.parts.front_leak) > 0.3, "around the engine"),
            (s.parts.joint > 0.25 or s.parts.nipple < 0.6 or s.parts.line_seen > 0.6, "along the pipe"),
            (s.parts.lid > 0.4 or s.parts.drips > 0.5 or s.parts.crack > 0.2, "at the tank and the lines"),
            (s.parts.choke > 0.65 or s.parts.base_leak > 0.5, "at the carburettor"),
            (s.parts.outlet_turned, "along the pipe", "L"),
        ],
    ),
    "kick-or-backwards": Look("M", lambda s: [(s.parts.backwards > 0.5, "runs backwards")]),
    "how-it-ran-on": Look(
        "M",
        lambda s: [
            (s.parts.stopper < 0.5, "ran on without fuel"),
            (s.running.idle > RACES or off_stop(s.parts) > 0.4, "raced on"),
        ],
    ),
}
