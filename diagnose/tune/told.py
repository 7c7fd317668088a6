"""What the tune bench knows, as sentences: the screws, the ledger, the air, and what the day asks for."""

from __future__ import annotations

from typing import NamedTuple

from msgspec.structs import replace

from diagnose.graph.model import Screw
from diagnose.graph.wording import amount, both, capital
from diagnose.tune import air as moist
from diagnose.tune import fuel as fuels
from diagnose.tune.air import Air
from diagnose.tune.back import HALF, place
from diagnose.tune.drift import MUCH, Advice, Explained, spanned
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import FEEDS, Conditions, Feed, Span
from diagnose.tune.needles import (
    STOP,
    Baseline,
    Corrected,
    Depth,
    Entry,
    Good,
    Ledger,
    Settings,
    Turned,
    WentBack,
    fold,
)
from diagnose.tune.well import UNITS, Card, Measure

FEET = 0.3048
"""m in a foot."""

NEWEST = 100
"""Entries that a line over time can show: more than a wide screen has room for."""

LONG = 120
"""Seconds from which a time is said in minutes."""

FED: dict[Feed, str] = {"suction": "by suction", "pressurised": "pressurised by the exhaust"}


def screws(needles: int) -> tuple[Screw, ...]:
    """Return the screws of a carburettor with so many needles, in the order in which they are shown."""
    mid: tuple[Screw, ...] = ("mid needle",) if needles > 2 else ()
    return ("low needle", *mid, "high needle", "idle stop")


class Stand(NamedTuple):
    """Where one screw stands, and where it stood at the two tunes that are kept; None where nobody counted."""

    now: Depth | None
    good: Depth | None
    baseline: Depth | None


def stand(ledger: Ledger, screw: Screw) -> Stand:
    """Return where a screw stands and stood."""
    good, baseline = (tune.settings.get(screw) if tune else None for tune in (ledger.last_good, ledger.baseline))
    return Stand(ledger.now.get(screw), good, baseline)


def standing(ledger: Ledger, screw: Screw) -> str:
    """Say in a line where a screw stands and stood."""
    _, good, baseline = stand(ledger, screw)
    said = [f"{now(ledger, screw)}."]
    said += [f"Last good tune: {short(good)}."] if good else []
    said += [f"Baseline: {short(baseline)}."] if baseline else []
    return " ".join(said)


def now(ledger: Ledger, screw: Screw) -> str:
    """Say where a screw stands, or why that is not known."""
    if (depth := ledger.now.get(screw)) is not None:
        return place(depth)
    return "turned past its end: count it again" if screw in ledger.uncounted else "not counted yet"


def short(depth: Depth) -> str:
    """Say where a screw stands; counted from closed goes without saying."""
    return amount(depth.hours) if depth.kind == "closed" else place(depth)


def settings(found: Settings) -> str:
    """Say where several screws stand."""
    return ", ".join(_each(found))


def _each(found: Settings) -> list[str]:
    return [f"{screw} {short(depth)}" for screw, depth in found.items()]


def stands(ledger: Ledger, needles: int) -> tuple[str, ...]:
    """Say which screws were moved since the last good tune, or since going back."""
    return tuple(
        f"{capital(screw)}: {amount(abs(moved))} {_way(screw, moved)} since the last good tune, or going back."
        for screw in screws(needles)
        if (moved := ledger.moved.get(screw, 0.0))
    )


def _way(screw: Screw, richer: float) -> str:
    if screw == STOP:
        return "further in" if richer > 0 else "further out"
    return "richer" if richer > 0 else "leaner"


class Line(NamedTuple):
    """An entry of the ledger in words."""

    what: str
    reason: str
    result: str


def line(entry: Entry) -> Line:
    """Say what an entry of the ledger is, why it was made, and what came of it."""
    match entry:
        case Turned():
            what = ", ".join(f"{screw} {amount(hours)} {way}" for screw, way, hours in entry.moves())
            return Line(what, entry.reason, entry.result)
        case Good():
            plug = [f"plug {entry.plug}"] if entry.plug else []
            return Line(
                ": ".join(["marked good", *filter(None, [", ".join([*conditions(entry.conditions), *plug])])]), "", ""
            )
        case Baseline():
            return Line(f"baseline: {settings(entry.settings)}", entry.reason, "")
        case WentBack():
            said = ", ".join([*_each(entry.settings), *(f"{screw} not counted" for screw in entry.unrecorded)])
            return Line(f"went back: {said}", entry.reason, "")
        case Corrected():
            return Line(f"counted: {settings(entry.settings)}", entry.reason, "")


def conditions(found: Conditions) -> list[str]:
    """Say a day and a fuel in figures; what nobody noted is left out."""
    said = figures(found.air) if found.air else []
    said += [f"{_share(found.fuel.nitro)} nitro", f"{_share(found.fuel.oil)} oil"] if found.fuel else []
    return [*said, *([f"head {both(found.head)}"] if found.head is not None else [])]


def figures(air: Air) -> list[str]:
    """Say the air in figures, as people type them."""
    return [both(air.temperature), _share(air.humidity), f"{air.pressure / 100:.0f} hPa"]


def _share(share: float) -> str:
    return f"{round(100 * share, 1):g} %"


class Point(NamedTuple):
    """Where a screw stood after one entry of the ledger."""

    at: float
    hours: float
    """Outwards from the baseline."""
    good: bool
    """The entry marks a good tune."""


def points(ledger: Ledger, screw: Screw = "high needle", newest: int = NEWEST) -> tuple[Point, ...]:
    """Return how a screw moved over the newest entries, oldest first, in hours outwards from the baseline.

    Without a baseline they are from the first count among them. Entries after which it can't be compared with that are
    left out.
    """
    older, newer = ledger.entries[:-newest], ledger.entries[-newest:]
    stands = fold(older)
    start = ledger.baseline.settings.get(screw) if ledger.baseline else None
    found = []
    for entry in newer:
        stands = fold((entry,), replace(stands, entries=()))
        depth = stands.now.get(screw)
        start = start or depth
        hours = depth.since(start) if depth and start else None
        if hours is not None:
            found.append(Point(entry.at, hours, isinstance(entry, Good)))
    return tuple(found)


def density(air: Air) -> tuple[str, ...]:
    """Say the density of the air, of its dry part, the height where a standard day has it, and how far to trust it."""
    whole, dry = moist.density(air), moist.dry_density(air)
    height = round(moist.density_altitude(whole), -1)
    said = (
        f"Density: {whole:.3f} kg/m³. The dry part, which burns the fuel: {dry:.3f} kg/m³.",
        f"Density altitude: {height:.0f} m ({round(height / FEET, -1):.0f} ft). A standard day has this air there.",
    )
    doubt = moist.doubt(air)
    return (*said, doubt) if doubt else said


def blend(fuel: Blend) -> str:
    """Say what a fuel is, and the air that a litre of it asks for."""
    least, most = sorted(fuels.air_demand(fuel, burnt) for burnt in (False, True))
    asks = f"A litre asks for {least:.2f} to {most:.2f} kg of air, with none of the oil burnt or all of it."
    return f"{_share(fuel.nitro)} nitro, {_share(fuel.oil)} oil, the rest methanol. {asks}"


def asked(found: Explained) -> tuple[str, ...]:
    """Say what air and fuel ask of the high needle against the last good tune: by cause and by feed, then together."""
    change = found.shift
    asking = [cause.name for cause in change.causes if any(_moved(*_of(found, feed, cause.name)) for feed in FEEDS)]
    said: list[str] = []
    for name in (*(cause.name for cause in change.causes), *([""] if len(asking) > 1 else [])):
        moved = {feed: _moved(*_of(found, feed, name)) or "as it was" for feed in FEEDS}
        title = capital(name) or "Together"
        if len(set(moved.values())) == 1:
            said.append(f"{title}, however the tank is fed: {moved[FEEDS[0]]}.")
        else:
            said += [f"{title}, {FED[feed]}: {moved[feed]}." for feed in FEEDS]
    return (*said, *found.said[len(change.causes) :])


def _of(found: Explained, feed: Feed, name: str) -> tuple[Span, Span]:
    """Return the needle area, and the hours, that one cause asks for with one feed; both causes for no name."""
    return found.shift.area((feed,), name), found.shift.hours(found.at, (feed,), name)


def _moved(area: Span, hours: Span) -> str:
    percent = Span(100 * (area.low - 1), 100 * (area.high - 1))
    said = [spanned(percent, " %", "more fuel", "less fuel"), spanned(hours, " hours", "richer", "leaner")]
    return ", ".join(filter(None, said))


def drift(found: Explained) -> tuple[str, ...]:
    """Say how far the high needle has drifted from the last good tune, and how much of that is left unexplained."""
    moved, left, owed = round(found.drift, 1), found.unexplained, round(found.owed, 1)
    said = ["The high needle stands where it stood at the last good tune."]
    if moved:
        said = [f"The high needle stands {_hours(moved)} than at the last good tune."]
    if left is None:
        said.append("How much of a drift is explained can't be told while the day or the fuel is not known.")
    elif abs(left) > MUCH:
        said.append(f"Left unexplained: {amount(abs(round(left, 1)))}. Over an hour: look for what is wrong.")
    elif round(left, 1):
        said.append(f"Left unexplained: {amount(abs(round(left, 1)))}. Under an hour tells nothing.")
    elif moved:
        said.append("Nothing of that is left unexplained.")
    if left is not None and abs(owed) >= HALF:
        said.append(f"It stands {_hours(-owed)} than air and fuel ask for at the least.")
    return tuple(said)


def _hours(richer: float) -> str:
    return f"{amount(abs(richer))} {_way('high needle', richer)}"


def advice(found: Advice) -> str:
    """Say what to do with the high needle, by how many hours, and why."""
    if found.way == "leave":
        return f"Leave the high needle. {found.said}"
    return f"High needle, {amount(found.hours)}: {found.said[:1].lower()}{found.said[1:]}"


def card(found: Card) -> tuple[str, ...]:
    """Say what a well card holds; what was left out is not said."""
    readings = ((measure, found.value(measure)) for measure in UNITS)
    said = [f"{capital(measure)}: {read(measure, value)}." for measure, value in readings if value is not None]
    said += [f"Squeeze: {found.squeeze}."] if found.squeeze else []
    said += [f"Screws: {settings(found.settings)}."] if found.settings else []
    day = conditions(replace(found.conditions, head=None))
    return (*said, *([f"Day: {', '.join(day)}."] if day else []))


def read(measure: Measure, value: float) -> str:
    """Say a reading of the well card: temperatures in both units, long times in minutes."""
    if UNITS[measure] == "°C":
        return both(value)
    if UNITS[measure] == "s" and value >= LONG:
        minutes, seconds = divmod(round(value), 60)
        return f"{minutes} min {seconds} s" if seconds else f"{minutes} min"
    return f"{round(value, 1):g} {UNITS[measure]}"
