"""Going back to a recorded tune, and what a hand does for any turn: plain sentences.

The record fits its own day and fuel. Going back sets each needle to the record corrected to the rich side, by the
larger estimate of what air and fuel have changed since, and never leaner than the record: a tune from a hot, high place
restored cold at sea level would otherwise be several hours lean. Going back is done with the engine off, and it is also
how a needle is richened for a stronger fuel or denser air before a start.
"""

from __future__ import annotations

from math import ceil, floor

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.graph.wording import AIR_SCREW, LEFT, RIGHT, amount, capital
from diagnose.tune.mixture import PER_TURN, Conditions, opening, shift
from diagnose.tune.needles import LOW, MOST_DEPTH, STOP, Depth, Ledger, Tune, outwards

QUARTER = 0.25
"""The smallest part of an hour that a hand turns; going back is rounded to a half."""
HALF = 0.5
"""The smallest part of an hour that a hand sets from a count."""

UNKNOWN = 1.0
"""Hours to the rich side when the day or the fuel of the record, or of now, is not known."""

CORRECTED: tuple[Screw, ...] = ("low needle", "high needle")
"""The needles that follow the air and the fuel. The mid needle goes to its mark, and the stop to its gap."""

LEAST_PERCENT = 0.05
TINY = 1e-6


class ScrewTarget(Struct, frozen=True):
    """Where one screw goes: its record, and `added` hours to the rich side of it."""

    screw: Screw
    depth: Depth
    record: Depth
    added: float = 0.0


class GoingBack(Struct, frozen=True):
    """Where every screw goes, why, and what the hands do, in order."""

    targets: tuple[ScrewTarget, ...]
    because: str
    how: tuple[str, ...]
    unknown: bool = False
    """An hour to the rich side stands for a day or a fuel that nobody noted."""


def halves_up(hours: float) -> float:
    """Round hours (0 or more) up to a half, so that an estimate is never undercut on the rich side."""
    return ceil(hours / HALF - TINY) * HALF


def halves_down(hours: float) -> float:
    """Round hours (0 or more) down to a half, so that an estimate is never passed on the lean side."""
    return floor(hours / HALF + TINY) * HALF


def going_back(
    ledger: Ledger,
    now: Conditions,
    offset: float | None = None,
    record: Tune | None = None,
    gap: float | None = None,
) -> GoingBack:
    """Return how to go back to a record on this day and with this fuel: the last good tune, else the baseline.

    `offset`: hours out at which fuel begins to flow, if known; `gap`: mm at the idle stop by the well card.
    Raises `DiagnoseError` when there is no record.
    """
    record = record or ledger.record
    if record is None:
        raise DiagnoseError("there is no recorded setting to go back to; count the screws in and record them first")
    targets = tuple(_target(s, d, record, now, ledger.air_screw, offset) for s, d in record.settings.items())
    unknown = bool(shift(now, record.conditions).unknown)
    return GoingBack(targets, _because(record, now), _how(targets, ledger, gap), unknown)


def richer_hours(screw: Screw, depth: Depth, then: Conditions, now: Conditions, offset: float | None = None) -> float:
    """Return the hours to the rich side of a record: the larger estimate, rounded up to a half, 0 at the least.

    What is not known of the day or the fuel adds `UNKNOWN`, on top of what is.
    """
    if screw not in CORRECTED:
        return 0.0
    known = depth.kind == "closed" and depth.hours > 0
    at = opening(depth.hours if known else None, screw, offset if known and screw == "high needle" else None)
    change = shift(now, then)
    return halves_up(max(change.hours(at).high, 0.0)) + (UNKNOWN if change.unknown else 0.0)


def _target(
    screw: Screw, depth: Depth, record: Tune, now: Conditions, air_screw: bool, offset: float | None
) -> ScrewTarget:
    added = richer_hours(screw, depth, record.conditions, now, offset)
    end = 0.0 if screw == LOW and air_screw else MOST_DEPTH  # a screw has an end; there it is as rich as it goes
    room = abs(end - depth.hours) if depth.kind == "closed" else added
    added = min(added, room)
    reached = depth.moved(outwards(screw, added, air_screw))
    return ScrewTarget(screw, reached or depth, depth, added if reached else 0.0)


def _because(record: Tune, now: Conditions) -> str:
    change = shift(now, record.conditions)
    said = []
    if change.unknown:
        what = " and the ".join({"air": "day", "fuel": "fuel"}[name] for name in change.unknown)
        known = "is not known" if len(change.unknown) == 1 else "are not known"
        said.append(f"The {what} of the record, or of now, {known}: one hour to the rich side stands for that.")
    if (asked := change.percent().high) >= LEAST_PERCENT:
        said.append(f"By the larger estimate, {asked:.1f} % more fuel is asked for than then. The needles follow it.")
    elif not said:
        said.append("No more fuel is asked for than then. The needles go to the record: going back never leans it.")
    return " ".join(said)


def _how(targets: tuple[ScrewTarget, ...], ledger: Ledger, gap: float | None) -> tuple[str, ...]:
    lines = ["Engine off, and cool enough to touch. Rest the barrel on its idle stop."]
    for target in targets:
        lines += _set(target, ledger, gap)
    lines.append("Write down what you set. Start rich, and let the smoke and the pull decide.")
    return tuple(lines)


def in_a_line(target: ScrewTarget, air_screw: bool = False) -> str:
    """Say where a screw goes, and why there."""
    where = f"{capital(target.screw)}: {place(target.depth)}"
    if not target.added:
        return f"{where}, as recorded."
    caution = f" {AIR_SCREW}" if target.screw == LOW and not air_screw else ""
    return f"{where}. {_recorded(target)}{caution}"


def _recorded(target: ScrewTarget) -> str:
    added = f", and {amount(target.added)} to the rich side" if target.added else ""
    return f"The record is {place(target.record)}{added}."


def by_gap(gap: float) -> str:
    """Say what the idle stop leaves open, by the well card."""
    return f"a gap of {gap:.3g} mm when it ran well"


def _set(target: ScrewTarget, ledger: Ledger, gap: float | None) -> list[str]:
    """Return the sentences for one screw, counted or measured as its record was."""
    screw, depth, name = target.screw, target.depth, capital(target.screw)
    recorded = _recorded(target)
    if screw == STOP:
        was = "" if gap is None else f": {by_gap(gap)}"
        return [f"{name}: set it {place(depth)}, as recorded. Then measure the gap of the barrel{was}."]
    caution = [AIR_SCREW] if screw == LOW and not ledger.air_screw else []
    if depth.kind != "closed":
        return [f"{name}: turn it until its head is {place(depth)}. {recorded}", *caution]
    stands = ledger.now.get(screw)
    expect = f" It should take about {amount(stands.hours)}." if stands is not None and stands.kind == "closed" else ""
    return [
        f"{name}: turn it {RIGHT} until it just closes, and count. Never force it.{expect}",
        f"Then turn it {LEFT}, {turns(depth.hours)}. {recorded}",
        *caution,
    ]


def place(depth: Depth) -> str:
    """Say where a screw stands, in the words of its reference."""
    if depth.kind == "closed":
        return f"{turns(depth.hours)} out from gently closed"
    if not depth.hours:
        return "flush with the body"
    side = "below" if depth.hours < 0 else "above"
    if depth.kind == "caliper":
        return f"{abs(depth.mm):.2f} mm {side} the body by the caliper"
    return f"{turns(abs(depth.hours))} {side} flush with the body"


def turns(hours: float) -> str:
    """Write hours with the whole turns that they hold: "38 hours (3 turns and 2 hours)"."""
    whole, rest = divmod(hours, PER_TURN)
    if not whole:
        return amount(hours)
    said = "one turn" if whole == 1 else f"{whole:g} turns"
    return f"{amount(hours)} ({said} and {amount(rest)})" if rest else f"{amount(hours)} ({said})"
