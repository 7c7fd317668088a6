"""What there is to be seen of the radio, the linkage, the fuel's way and the tank's pressure.

The thresholds are where an eye or a hand begins to notice: assumed. The grades are trade.md's, by its letters.
"""

from __future__ import annotations

from msgspec.structs import asdict, replace

from diagnose.practice.faults import FUEL
from diagnose.practice.flow import gap
from diagnose.practice.looks import CATCHES, LIVES, RUNS, TURNS, Gauge, Look, Seen
from diagnose.practice.parts import GAP, SOUND

_SOUND = asdict(SOUND)

FILTER = ("choke", "torn")


def cured_by(seen: Seen, fresh: tuple[str, ...]) -> bool:
    """Say whether fresh parts in place of these end the complaint: what trying a spare shows."""
    return seen.cured_with(replace(seen.parts, **{part: _SOUND[part] for part in fresh}))


def _air_in_line(seen: Seen) -> float:
    """Return the share of air that comes out of the line with the tank as full as it is."""
    return max(seen.parts.line_leak, seen.parts.pickup * (1 - seen.parts.level))


def _narrow(seen: Seen) -> bool:
    return seen.parts.filter_free < 0.25 or seen.parts.line_free < 0.25


LOOKS: dict[str, Look] = {
    # R1 to R7, N6: the radio and the linkage
    "barrel-at-rest": Look(
        "H",
        lambda s: [
            (s.parts.rod_off, "sticks", "H"),
            (s.parts.held + s.parts.trim > 0.2, "held open"),
            (s.parts.rod_rub > 0.2 or s.parts.barrel_stick > 0.2, "sticks", "M"),
            (s.parts.servo_scatter > 0.2, "rests elsewhere", "M"),
            (s.parts.dead_band > 0.1 or s.parts.tremble > 0.1, "late or jumpy", "M"),
            (s.parts.reach < 0.9 or s.parts.stall > 0.2, "not fully open"),
            (s.screws.gap > 1.5, "gap too wide"),
            (s.screws.gap < 0.5, "gap too narrow"),
        ],
    ),
    "fail-safe-closes": Look("H", lambda s: [(s.parts.fail_safe < 0.5, "stays open")]),
    "battery-under-load": Look("M", lambda s: [(s.parts.battery < 0.8, "sags")]),
    "trim-and-memory": Look("H", lambda s: [(s.parts.trim > 0.2, "not zero")]),
    "rod-off-snaps-shut": Look(
        "M",
        lambda s: [
            (s.parts.rod_off, "rod was off", "H"),
            (s.parts.barrel_stick > 0.2, "barrel drags"),
            (s.parts.held + s.parts.trim > 0.2, "shuts further", "H"),
            (s.parts.rod_rub > 0.2, "rod drags"),
            (s.parts.servo_scatter > 0.5, "shuts further"),
        ],
    ),
    "servo-firm": Look(
        "M", lambda s: [(s.parts.servo_scatter > 0.2 or s.parts.tremble > 0.15 or s.parts.battery < 0.35, "twitches")]
    ),
    "range-walk": Look("M", lambda s: [(s.parts.signal < 0.8 or s.parts.battery < 0.4, "stutters")]),
    "way-of-stopping": Look(
        "H", lambda s: [(s.parts.stopper < 0.5, "does not close"), (s.parts.stopper_far > 0.5, "slips or too far")]
    ),
    # F1 to F6: the way of the fuel
    "hold-and-stream": Look(
        "H",
        lambda s: [
            (s.parts.swapped, "wrong way"),
            (s.parts.drips > 0.45 or s.parts.crack > 0.5, "leaks fuel", "M"),
            (max(s.parts.lid, s.parts.crack, 1 - s.parts.pressure_line) > 0.18, "bleeds away"),
            (s.parts.line_leak > 0.25, "bleeds away", "M"),
            (_narrow(s), "weak stream"),
            (_air_in_line(s) > 0.06, "weak stream", "M"),
        ],
    ),
    "along-the-lines": Look(
        "M",
        lambda s: [
            (s.parts.swapped, "swapped", "H"),
            (s.parts.line_seen > 0.4, "pressure line bad", "H"),
            (s.parts.drips > 0.4 or s.parts.line_leak > 0.06 or s.parts.line_free < 0.25, "fuel line bad"),
            (s.parts.hot_line > 0.05, "touches hot metal"),
            (s.parts.shaken > 0.05, "touches hot metal", "L"),
        ],
    ),
    "fuel-filter-through": Look("H", lambda s: [(s.parts.filter_free < 0.25, "drips")]),
    "pick-up-tilt": Look("M", lambda s: [(s.parts.pickup > 0.12 or s.parts.line_leak > 0.1, "air early")]),
    "fuel-reaches-carburettor": Look(
        "H",
        lambda s: [
            (s.parts.primed < 0.36 or s.parts.level < 0.01 or s.parts.swapped, "nothing comes"),
            (s.parts.filter_free < 0.06 or s.parts.line_free < 0.06, "nothing comes"),
            (_air_in_line(s) > 0.1, "bubbles come", "M"),
        ],
        TURNS,
    ),
    "bubbles": Look(
        "M",
        lambda s: [
            (_air_in_line(s) > 0.06, "bubbles travel"),
            (s.parts.hot_line + s.parts.shaken > 0.06 or s.parts.mount > 0.6, "froth", "L"),
        ],
        LIVES,
    ),
    "bottle-in-a-jar": Look("M", lambda s: [(s.parts.specks > 0.4 or s.parts.water > 0.85, "specks")]),
    "fuel-left": Look("H", lambda s: [(s.parts.level < 0.1, "dry")]),
    # L1, L2: the fuel itself
    "fuel-age": Look("M", lambda s: [(s.parts.water > 0.3, "old or open")]),
    "fresh-fuel": Look("H", lambda s: [(cured_by(s, FUEL), "cured")], TURNS),
    "read-label": Look("H", lambda s: [(abs(s.parts.nitro) > 0.05 or abs(s.parts.oil) > 0.025, "something else")]),
    # P1 to P5: the tank's pressure
    "lid-with-suds": Look("M", lambda s: [(s.parts.lid > 0.15, "bubbles"), (s.parts.crack > 0.15, "elsewhere")]),
    "exhaust-nipple": Look(
        "H",
        lambda s: [
            (s.parts.nipple < 0.75, "nipple clogged"),
            (s.parts.outlet < 0.7, "outlet choked"),
            (s.parts.outlet_turned, "points at the car"),
        ],
    ),
    "exhaust-suds": Look("M", lambda s: [(s.parts.joint > 0.15, "bubbles")]),
    "pressure-line-dry": Look(
        "H",
        lambda s: [
            (s.parts.overfill > 0.45 or s.parts.swapped, "runs to the pipe"),
            (s.parts.line_low > 0.5, "hangs low"),
        ],
    ),
    "air-into-the-pipe": Look(
        "H", lambda s: [(s.parts.nipple < 0.65, "held back"), (s.parts.pressure_line < 0.75, "held back", "M")]
    ),
    # A1 to A4: the way of the air
    "filter-by-eye": Look(
        "H", lambda s: [(s.parts.torn > 0.35, "torn or gritty"), (s.parts.choke > 0.6, "dark or dripping")]
    ),
    "spare-air-filter": Look("H", lambda s: [(cured_by(s, FILTER), "cured")], CATCHES),
    "oil-drop-at-base": Look("M", lambda s: [(s.parts.base_leak > 0.2, "revs change")], RUNS),
    "carburettor-pressure-test": Look("M", lambda s: [(s.parts.seal_leak > 0.2, "bubbles")]),
    "jet-and-needle-out": Look(
        "M",
        lambda s: [
            (s.parts.tip > 0.25, "groove or bent", "H"),
            (s.parts.jet_blocked > 0.4 or s.parts.specks > 0.8, "grit"),
        ],
    ),
}

GAUGES: dict[str, Gauge] = {
    "idle-gap": Gauge("H", lambda s: gap(s.parts, s.screws), GAP, 0.05),
}
