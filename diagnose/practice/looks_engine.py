"""What there is to be seen of the fire, the squeeze, the crank, the starting gear and the heat.

The thresholds are where an eye or a hand begins to notice: assumed. The grades are trade.md's, by its letters.
"""

from __future__ import annotations

from msgspec.structs import replace

from diagnose.practice.faults import PLUG
from diagnose.practice.looks import LIVES, RUNS, TURNS, Gauge, Look, Seen
from diagnose.practice.looks_fuel import cured_by
from diagnose.practice.running import run, squeeze
from diagnose.practice.shows import HEARD, HOT

READS_OFF = 8.0
"""°C that a thermometer must be wrong by before a drop of water contradicts it."""
COOLER = 7.0
"""°C that a few laps without the shell must bring, to be more than the wind."""


def _cooler_without_shell(seen: Seen) -> float:
    """Return how many °C cooler the head comes in without the body shell."""
    bare = run(replace(seen.parts, shell=1.0), seen.screws, seen.state.day, seen.state.variant)
    return seen.running.race - bare.race


def _turning_bare(seen: Seen) -> float:
    """Return what turning takes with the plug out, over what the starter has."""
    parts = seen.parts
    takes = 0.15 + parts.tight + 1.5 * parts.jam + parts.gum**2
    return takes / max(parts.starter, 0.01)


LOOKS: dict[str, Look] = {
    # G1 to G5: the fire
    "igniter-on-spare-plug": Look(
        "H", lambda s: [(s.parts.igniter < 0.7, "dull or slow"), (s.parts.igniter > 1.4, "too bright")]
    ),
    "plug-out": Look(
        "H",
        lambda s: [
            (s.parts.wet > 0.25, "wet"),
            (s.parts.plug_leak > 0.15, "loose"),
            (abs(s.parts.grade) > 0.8, "wrong grade", "M"),
            (s.stage < 3 and s.running.fuel_at_start < 0.3, "bone dry", "M"),
        ],
    ),
    "plug-glows": Look(
        "H",
        lambda s: [
            (s.parts.coil < 0.5 or s.parts.igniter < 0.25, "dark"),
            (s.parts.igniter < 0.65 or s.parts.activity < 0.45, "dull", "M"),
        ],
    ),
    "new-plug": Look("H", lambda s: [(cured_by(s, PLUG), "cured")], TURNS),
    "igniter-back-on": Look(
        "M", lambda s: [(s.running.keep_idle < 0.8 or s.running.wet > 1 + 2 * HEARD, "revs rise")], LIVES
    ),
    "coil-by-eye": Look(
        "M",
        lambda s: [
            (s.parts.squish < -0.1, "crushed"),
            (s.parts.debris > 0.35 or s.parts.rod_play > 0.6 or s.parts.bearing_play > 0.7, "battered"),
            (s.parts.igniter > 1.4 or s.parts.coil < 0.5, "burnt through"),
            (s.running.mixture[2] < 0.91 or s.parts.torn > 0.5 or s.parts.grade > 1, "pale or sandblasted"),
            (s.running.mixture[2] > 1.1 or s.running.wet > 1.15 or s.parts.wet > 0.25, "dark and wet"),
        ],
    ),
    # C1 to C8: the squeeze and the crank
    "warm-squeeze": Look("M", lambda s: [(squeeze(s.parts) < 0.82, "weak")]),
    "one-squeeze": Look(
        "M",
        lambda s: [((squeeze(s.parts) + squeeze(s.parts, warm=False)) / 2 < 0.9, "slides past")],  # lukewarm
    ),
    "squeeze-with-oil": Look("M", lambda s: [(s.parts.fit < 0.82, "firmer")]),
    "head-screws": Look("H", lambda s: [(s.parts.head_leak > 0.12, "turns")]),
    "backplate-pressure": Look(
        "M", lambda s: [(s.parts.back_leak > 0.2, "at the backplate"), (s.parts.front_leak > 0.2, "in front")]
    ),
    "squish-measure": Look("M", lambda s: [(abs(s.parts.squish) > 0.1, "off")]),
    "crank-by-feel": Look(
        "M",
        lambda s: [
            (s.parts.debris > 0.3, "dents"),
            (s.parts.bearing_play > 0.25, "rough or loose"),
            (s.parts.rod_play > 0.6, "clicks"),
            (s.parts.front_leak > 0.8, "rough or loose", "L"),
        ],
    ),
    "rod-play": Look(
        "H", lambda s: [(s.parts.rod_play > 0.3, "play"), (s.parts.bearing_play > 0.5 or s.parts.debris > 0.5, "metal")]
    ),
    "oil-trace": Look(
        "M",
        lambda s: [
            (s.parts.head_leak > 0.15, "head joint"),
            (s.parts.front_leak > 0.2, "front bearing"),
            (s.parts.back_leak > 0.2, "backplate"),
            (s.parts.joint > 0.2, "pipe joint"),
            (s.parts.base_leak > 0.5, "carburettor base"),
            (s.parts.outlet_turned, "outlet at the car"),
        ],
    ),
    "oil-after-wiping": Look(
        "M",
        lambda s: [
            (s.parts.head_leak > 0.12, "head joint"),
            (s.parts.front_leak > 0.2, "front bearing"),
            (s.parts.back_leak > 0.2, "backplate"),
            (s.parts.joint > 0.15, "pipe joint"),
            (s.parts.base_leak > 0.3, "carburettor base"),
        ],
        LIVES,
    ),
    # T1 to T5: the starting gear
    "turns-freely": Look(
        "H",
        lambda s: [
            (s.parts.wet >= 0.7 or s.parts.jam > 0.6, "locked"),
            (s.parts.tight > 0.9, "locked"),
            (s.parts.tight > 0.35 or s.parts.gum > 0.35 or s.parts.jam > 0.3, "stiff"),
        ],
    ),
    "plug-out-versus-in": Look(
        "M",
        lambda s: [
            (_turning_bare(s) >= 1, "stalls without it too"),
            (s.running.turning >= 0.68, "stalls with the plug in"),
        ],
    ),
    "pull-and-watch": Look("H", lambda s: [(s.parts.one_way < 0.6, "moves alone")]),
    "which-way-it-turns": Look("H", lambda s: [(s.parts.backwards > 0.5, "against it")]),
    "tight-at-the-top": Look(
        "H",
        lambda s: [
            (s.parts.jam > 0.4 or s.parts.gum > 0.5, "sticks elsewhere"),
            (s.parts.tight > 0.3, "frees when warm"),
        ],
    ),
    "runs-when-new": Look("M", lambda s: [(s.parts.swollen > 0.25, "long or hard")]),
    # H1 to H3: the heat
    "fins-and-shell": Look(
        "H", lambda s: [(s.parts.fins < 0.8, "packed"), (s.parts.shell < 0.8, "no way through", "M")]
    ),
    "shell-off-laps": Look("M", lambda s: [(_cooler_without_shell(s) > COOLER, "far cooler")], RUNS),
    "painted-spot": Look("H", lambda s: [(abs(s.parts.reads) > READS_OFF, "they disagree")], RUNS),
    "water-drop": Look("M", lambda s: [(s.running.stand < 78, "sits there")], RUNS),
    "cold-air": Look("M", lambda s: [(s.parts.cooling > 1.2, "cold and bare")]),
    "came-in-hot": Look("M", lambda s: [(s.running.race + s.parts.reads > HOT + 4, "far too hot")], RUNS),
}

GAUGES: dict[str, Gauge] = {
    "reaches-heat": Gauge("M", lambda s: s.running.stand + 0.7 * s.parts.reads, 92.0, 2.0, RUNS),
}
