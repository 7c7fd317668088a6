"""Where every fault of the knowledge acts on the engine: a table, and what a mend renews.

Each fault has one or more modes, equally likely; a mode says for each part its value when the fault is at its mildest
and at its worst. `often` (1 rare, 4 common) follows the largest weight that trade.md gives the fault, and is judgement.
Sudden is what breaks, comes loose or is knocked; slow is what wears, clogs or ages. All sizes are assumed: chosen so
that the mildest is barely felt and the worst plainly is.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import asdict, replace

from diagnose.practice.parts import GAP, MID, SOUND, Parts, Screws

Mode = dict[str, tuple[float, float]]
"""Part (or screw, in hours) → its value at the mildest and at the worst."""

SCREWS = ("high needle", "mid needle", "low needle", "idle stop")


class Row(Struct, frozen=True):
    """How one fault acts."""

    often: int
    sudden: bool
    modes: tuple[Mode, ...]
    renews: tuple[str, ...]
    """The parts that its mend makes sound again."""

    @property
    def screws(self) -> frozenset[str]:
        """The screws that it displaces."""
        return frozenset(part for mode in self.modes for part in mode if part in SCREWS)


def _row(often: int, sudden: bool, *modes: Mode, renews: tuple[str, ...] = ()) -> Row:
    own = dict.fromkeys(part for mode in modes for part in mode if part not in SCREWS)
    return Row(often, sudden, modes, (*own, *renews))


SLOW, SUDDEN = False, True
PLUG = ("coil", "activity", "grade", "plug_leak")
"""A new plug of the right grade, snug on a new washer, makes all of these sound, whatever was wrong with the old."""
FUEL = ("water", "nitro", "oil")
LINE = ("line_free", "line_leak", "drips")
LEAK = (0.25, 1.0)
"""mm² of a leak of air: against 3.4 mm² of a slide that is open by 1 mm."""
OFF_STOP = (0.3, 1.3)
"""mm that something holds the slide off its stop."""

FAULTS: dict[str, Row] = {
    # the radio and the linkage
    "radio-battery-weak": _row(2, SLOW, {"battery": (0.75, 0.3)}),
    "receiver-signal-poor": _row(1, SUDDEN, {"signal": (0.75, 0.2)}),
    "fail-safe-wrong": _row(2, SUDDEN, {"fail_safe": (0.0, 0.0)}),
    "barrel-held-open": _row(4, SLOW, {"held": OFF_STOP}),
    "trim-bumped": _row(1, SUDDEN, {"trim": OFF_STOP}),
    "end-points-wrong": _row(2, SUDDEN, {"reach": (0.85, 0.45)}, {"stall": (0.3, 0.7)}, renews=("reach", "stall")),
    "throttle-dead-band": _row(2, SLOW, {"dead_band": (0.12, 0.4)}),
    "trigger-sensor-worn": _row(1, SLOW, {"tremble": (0.12, 0.5), "dead_band": (0.08, 0.25)}),
    "linkage-binds": _row(3, SUDDEN, {"rod_rub": OFF_STOP}),
    "barrel-sticks": _row(1, SLOW, {"barrel_stick": OFF_STOP}),
    "servo-faulty": _row(2, SUDDEN, {"servo_scatter": (0.25, 1.2)}),
    "throttle-rod-off": _row(1, SUDDEN, {"rod_off": (1.0, 1.0)}),
    # the way of the fuel
    "fuel-not-reaching": _row(3, SUDDEN, {"primed": (0.35, 0.0)}, {"level": (0.0, 0.0), "primed": (0.1, 0.0)}),
    "tank-run-dry": _row(2, SUDDEN, {"level": (0.09, 0.06)}),
    "fuel-filter-blocked": _row(3, SLOW, {"filter_free": (0.2, 0.01)}),
    "fuel-line-split": _row(
        3,
        SUDDEN,
        {"line_leak": (0.07, 0.5)},
        {"line_free": (0.15, 0.01)},
        {"line_leak": (0.05, 0.3), "drips": (0.5, 1)},
    ),
    "lines-swapped": _row(1, SUDDEN, {"swapped": (1.0, 1.0)}),
    "pick-up-split": _row(3, SUDDEN, {"pickup": (0.15, 0.6)}),
    "dirt-in-jet": _row(2, SUDDEN, {"jet_blocked": (0.7, 0.98)}),
    "fuel-froths": _row(1, SLOW, {"hot_line": (0.07, 0.3)}, {"shaken": (0.07, 0.3)}),
    "dirt-in-bottle": _row(
        1, SUDDEN, {"specks": (0.5, 1), "filter_free": (0.2, 0.08)}, {"specks": (0.5, 1), "jet_blocked": (0.7, 0.9)}
    ),
    # the fuel itself
    "fuel-old": _row(2, SLOW, {"water": (0.35, 1.0)}, renews=FUEL),
    "wrong-fuel": _row(
        1, SUDDEN, {"nitro": (0.08, 0.16)}, {"nitro": (-0.08, -0.16)}, {"oil": (-0.03, -0.06)}, renews=FUEL
    ),
    # the tank's pressure and the exhaust
    "pressure-line-off": _row(
        3,
        SUDDEN,
        {"pressure_line": (0.0, 0.0), "line_seen": (1, 1)},
        {"pressure_line": (0.7, 0.2), "line_seen": (0.5, 1)},
    ),
    "pressure-line-low": _row(1, SLOW, {"line_low": (1.0, 1.0), "overfill": (0.1, 0.4)}),
    "tank-lid-leaks": _row(2, SLOW, {"lid": (0.2, 0.8)}),
    "tank-cracked": _row(1, SUDDEN, {"crack": (0.2, 0.8)}),
    "exhaust-nipple-clogged": _row(1, SLOW, {"nipple": (0.7, 0.05)}),
    "exhaust-joint-leaks": _row(2, SUDDEN, {"joint": (0.2, 0.75)}),
    "tank-overfilled": _row(1, SUDDEN, {"overfill": (0.6, 1.0), "wet": (0.2, 0.9)}),
    "pipe-outlet-choked": _row(1, SLOW, {"outlet": (0.6, 0.25)}),
    "outlet-sprays-car": _row(1, SUDDEN, {"outlet_turned": (1.0, 1.0)}),
    # the way of the air
    "air-filter-dirty": _row(2, SLOW, {"choke": (0.62, 0.82)}, renews=("torn",)),
    "air-filter-torn": _row(1, SUDDEN, {"torn": (0.4, 1.0)}, renews=("choke",)),
    "carburettor-base-leak": _row(3, SUDDEN, {"base_leak": LEAK}),
    "needle-seal-leak": _row(2, SLOW, {"seal_leak": LEAK}),
    "backplate-leaks": _row(2, SUDDEN, {"back_leak": LEAK}),
    "front-bearing-leaks": _row(2, SLOW, {"front_leak": LEAK}, renews=("bearing_play",)),
    # the fire
    "igniter-flat": _row(4, SLOW, {"igniter": (0.65, 0.1)}),
    "igniter-too-strong": _row(1, SUDDEN, {"igniter": (1.6, 2.2)}),
    "plug-coil-broken": _row(4, SUDDEN, {"coil": (0.0, 0.0)}, renews=PLUG),
    "plug-tired": _row(4, SLOW, {"activity": (0.75, 0.3)}, renews=PLUG),
    "plug-wrong-grade": _row(2, SUDDEN, {"grade": (1.0, 2.2)}, {"grade": (-1.0, -2.2)}, renews=PLUG),
    "plug-loose": _row(1, SUDDEN, {"plug_leak": (0.2, 0.6)}),
    # the squeeze
    "piston-worn": _row(3, SLOW, {"fit": (0.8, 0.4)}),
    "head-leaks": _row(1, SUDDEN, {"head_leak": (0.15, 0.5)}),
    "head-shims-wrong": _row(2, SUDDEN, {"squish": (-0.12, -0.3)}, {"squish": (0.2, 0.6)}),
    "tight-when-new": _row(2, SUDDEN, {"tight": (0.4, 1.0)}),
    "new-run-too-long": _row(1, SUDDEN, {"swollen": (0.3, 1.0)}),
    "gummed-with-old-oil": _row(1, SLOW, {"gum": (0.35, 1.0)}),
    # the crank
    "main-bearings-worn": _row(2, SLOW, {"bearing_play": (0.3, 1.0)}, renews=("front_leak",)),
    "rod-worn": _row(2, SLOW, {"rod_play": (0.4, 1.0)}),
    "debris-in-engine": _row(1, SUDDEN, {"debris": (0.4, 1.0)}),
    # starting and stopping
    "box-weak": _row(2, SLOW, {"starter": (0.75, 0.2)}),
    "electric-start-weak": _row(2, SLOW, {"starter": (0.75, 0.2)}),
    "one-way-slips": _row(2, SLOW, {"one_way": (0.5, 0.0)}),
    "flooded": _row(4, SUDDEN, {"wet": (0.3, 1.0)}),
    "something-jams": _row(2, SUDDEN, {"jam": (0.5, 1.0)}, {"wheel_loose": (0.4, 1.0)}),
    "cranked-backwards": _row(1, SUDDEN, {"backwards": (1.0, 1.0)}),
    "stopper-fails": _row(1, SLOW, {"stopper": (0.0, 0.0)}, {"stopper_far": (1.0, 1.0)}),
    # from the clutch to the wheels
    "clutch-drags": _row(3, SLOW, {"clutch_drag": (0.15, 0.7)}, renews=("springs",)),
    "clutch-springs-weak": _row(2, SLOW, {"springs": (0.8, 0.4)}, renews=("clutch_drag",)),
    "clutch-slips": _row(3, SLOW, {"grip": (0.85, 0.35)}),
    "bell-bearing-rough": _row(1, SLOW, {"bell": (0.35, 1.0)}),
    "brake-drags": _row(2, SUDDEN, {"brake_drag": (0.12, 0.5)}),
    "brake-does-not-bite": _row(1, SLOW, {"bite": (0.5, 0.05)}),
    "driveline-binds": _row(1, SUDDEN, {"binding": (0.12, 0.5)}),
    "gearing-wrong": _row(1, SUDDEN, {"gearing": (1.2, 1.5)}, {"gearing": (0.84, 0.65)}),
    "drive-part-loose": _row(2, SUDDEN, {"slip_part": (0.2, 1.0)}),
    "gear-teeth-stripped": _row(1, SUDDEN, {"teeth": (0.2, 1.0)}),
    "differential-slips": _row(1, SLOW, {"differential": (0.2, 0.9)}),
    "tyre-slips": _row(1, SUDDEN, {"tyre": (0.2, 0.8)}),
    "engine-mount-loose": _row(1, SUDDEN, {"mount": (0.35, 1.0)}),
    # getting rid of heat
    "fins-packed": _row(2, SLOW, {"fins": (0.75, 0.35)}),
    "no-airflow": _row(2, SUDDEN, {"shell": (0.75, 0.35)}),
    "over-cooled": _row(1, SUDDEN, {"cooling": (1.25, 1.9)}),
    "thermometer-misreads": _row(1, SUDDEN, {"reads": (10.0, 35.0)}),
    # the screws
    "high-needle-lean": _row(4, SLOW, {"high needle": (-1.5, -6)}),
    "high-needle-rich": _row(4, SLOW, {"high needle": (1.5, 6)}),
    "low-needle-lean": _row(4, SLOW, {"low needle": (-1.5, -6)}),
    "low-needle-rich": _row(4, SLOW, {"low needle": (1.5, 6)}),
    "mid-needle-off": _row(3, SUDDEN, {"mid needle": (-1.5, -6)}, {"mid needle": (1.5, 6)}),
    "idle-stop-open": _row(3, SLOW, {"idle stop": (8, 26)}),
    "idle-stop-shut": _row(3, SLOW, {"idle stop": (-9, -18)}),
    "needle-moved": _row(
        1,
        SUDDEN,
        {"high needle": (2.5, 6)},
        {"high needle": (-2.5, -6)},
        {"low needle": (2.5, 6)},
        {"low needle": (-2.5, -6)},
    ),
    "needle-damaged": _row(1, SUDDEN, {"tip": (0.3, 1.0)}),
    "screws-unset": _row(
        1,
        SUDDEN,
        {"high needle": (2, 6), "low needle": (2, 6)},
        {"high needle": (-2, -6), "low needle": (-2, -6)},
        {"high needle": (-2, -6), "low needle": (2, 6)},
    ),
}


def missing(faults: Iterable[str]) -> list[str]:
    """Return a sentence for each of the knowledge's faults that has no place in the table."""
    return [
        f"'{fault}' acts on no part of the simulated engine: give it a row in FAULTS"
        for fault in faults
        if fault not in FAULTS
    ]


def broken(parts: Parts, screws: Screws, fault: str, mode: int, severity: float) -> tuple[Parts, Screws]:
    """Return the parts and the screws with a fault in them; `severity` is 0 at the mildest and 1 at the worst."""
    values: dict[str, float] = {}
    for part, (mildest, worst) in FAULTS[fault].modes[mode].items():
        value = mildest + severity * (worst - mildest)
        if part in SCREWS:
            screws = screws.turned(part, value)  # type: ignore[arg-type]  # SCREWS holds nothing else
        else:
            values[part] = value
    return replace(parts, **values), screws


def mended(parts: Parts, fault: str) -> Parts:
    """Return the parts after this fault's mend: what it renews is sound, whether or not it was the fault."""
    sound = asdict(SOUND)
    values = {part: sound[part] for part in FAULTS[fault].renews}
    if fault in ("fuel-not-reaching", "tank-run-dry"):
        values |= {"level": SOUND.level, "primed": 1.0}  # to half a tank, where it was tuned
    return replace(parts, **values)


def set_again(screws: Screws, fault: str, record: Screws) -> Screws:
    """Return the screws after the mend of a screw's fault at the bench: the gap, the mid needle's mark, the record.

    What is set by a record gets the hour to the rich side that going back adds when day and fuel are not known.
    """
    displaced = FAULTS[fault].screws
    if displaced == {"idle stop"}:
        return replace(screws, gap=GAP)
    if displaced == {"mid needle"}:
        return replace(screws, mid=MID)
    return gone_back(record)


ADDED = 1.0
"""Hours to the rich side of a record whose day or fuel is not known (design, rule 3)."""


def gone_back(record: Screws) -> Screws:
    """Return the screws after going back: two needles an hour richer than the record, the rest on it."""
    return replace(record, high=record.high + ADDED, low=record.low + ADDED)
