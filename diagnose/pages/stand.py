"""Where the screws of an engine stand, and stood at the two tunes that are kept."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.graph.model import Screw
from diagnose.graph.wording import amount, both, capital
from diagnose.pages.conditions import figures
from diagnose.pages.dates import day
from diagnose.pages.parts import Dial, Dials, Gap, Heading, Line, Page, Paragraph
from diagnose.pages.turns import HOUR_IS, WRITE_DOWN
from diagnose.record.engines import Engine
from diagnose.tune.back import by_gap, place, turns
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import STOP, Depth, Ledger, Settings, Tune

GOOD, BASELINE = "g", "b"
AT_TWELVE = "At 12 a screw is gently closed, or flush with the body."
SIGNS = f"g is the last good tune, b the baseline. {AT_TWELVE} As it goes out, its slot goes to the left."
LEGEND = f"The hour in brackets is where the slot points. {SIGNS}"
OF_HANDS = f"The hand points where the slot points. {SIGNS}"
SHORT: dict[Screw, str] = {"low needle": "low", "mid needle": "mid", "high needle": "high", "idle stop": "stop"}
OUT = f"Out from gently closed, in hours. {HOUR_IS}"
TO_GO_BACK_TO = "to go back to"
NOTHING = f"No setting is recorded yet. {WRITE_DOWN}: "


def stand(ledger: Ledger, needles: int, record: str, gap: float | None = None) -> Page:
    """Show where each screw stands, and what was moved; `record` says by which key or command that is written down.

    `gap`: mm at the idle stop by the well card.
    """
    shown = dials(ledger, needles) or (Paragraph(f"{NOTHING}{record}"),)
    at_stop = () if gap is None else (Line(f"{capital(STOP)}: {by_gap(gap)}."),)
    return (*shown, Gap(), *(Line(one) for one in _moved(ledger, needles)), *at_stop)


def dials(ledger: Ledger, needles: int) -> Page:
    """Show where each screw stands; nothing where nobody ever counted one."""
    if not ledger.now and not ledger.uncounted:
        return ()
    return (Dials(tuple(_dial(ledger, screw) for screw in screws(needles)), LEGEND, OF_HANDS),)


def kept_tunes(ledger: Ledger) -> Page:
    """List the tunes that there are to go back to under their numbers, the newest first; nothing where there is one."""
    if len(ledger.kept) < 2:
        return ()
    told = [Line(one, f"{number:2}") for number, one in enumerate(each_kept(ledger), 1)]
    return Gap(), Heading(TO_GO_BACK_TO), *told


def each_kept(ledger: Ledger) -> list[str]:
    """Say in a line each what tunes there are to go back to, the newest first."""
    return [f"{day(tune.at)}, {_kept(ledger, tune)}" for tune in ledger.kept]


def _kept(ledger: Ledger, tune: Tune) -> str:
    """Say where the screws stood, and then the head, the air, the fuel and the plug, as far as they are known."""
    now = tune.conditions
    head = [f"head {both(now.head)}"] if now.head is not None else []
    air = [f"air {', '.join(figures(Conditions(air=now.air)))}"] if now.air else []
    plug = [f"plug {tune.plug}"] if tune.plug else []
    ran = [*head, *air, *figures(Conditions(fuel=now.fuel)), *plug]
    if tune is ledger.baseline:
        return "; ".join([f"baseline: {in_short(tune.settings)}", *([", ".join(ran)] if ran else [])])
    return f"good: {in_short(tune.settings)}; {', '.join(ran) or 'no day noted'}"


def in_short(found: Settings) -> str:
    """Say where several screws stand: "low 29, high 41, stop 14 hours", where all are counted from closed."""
    if any(depth.kind != "closed" for depth in found.values()):
        return settings(found)
    told = (f"{SHORT[screw]} {round(depth.hours, 2):g}" for screw, depth in found.items())
    return f"{', '.join(told)} hours"


def lines(ledger: Ledger, needles: int) -> Page:
    """Say in a line each where the screws stand, and where each stood that has moved since; nothing as above."""
    if not dials(ledger, needles):
        return ()
    return (Paragraph(OUT, "quiet"), *(Line(f"{capital(screw)}: {_since(ledger, screw)}") for screw in screws(needles)))


def _since(ledger: Ledger, screw: Screw) -> str:
    depth = ledger.now.get(screw)
    if depth is None:
        return now(ledger, screw)
    then = (("the last good tune", ledger.last_good), ("the baseline", ledger.baseline))
    other = [
        f"{short(before)} at {name}"
        for name, tune in then
        if tune and (before := tune.settings.get(screw)) and before != depth
    ]
    return "; ".join([turns(depth.hours) if depth.kind == "closed" else place(depth), *other])


def heading(engine: Engine) -> str:
    """Name the engine whose screws these are."""
    return f"Needles: {engine.name}, {engine.variant.says()}"


def screws(needles: int) -> tuple[Screw, ...]:
    """Return the screws of a carburettor with so many needles, in the order in which they are shown."""
    mid: tuple[Screw, ...] = ("mid needle",) if needles > 2 else ()
    return ("low needle", *mid, "high needle", "idle stop")


def _dial(ledger: Ledger, screw: Screw) -> Dial:
    then = ((GOOD, "Last good tune", ledger.last_good), (BASELINE, "Baseline", ledger.baseline))
    kept = [(sign, name, depth) for sign, name, tune in then if tune and (depth := tune.settings.get(screw))]
    depth, stands = ledger.now.get(screw), now(ledger, screw)
    return Dial(
        capital(screw),
        depth.hours if depth else None,
        tuple((depth.hours, sign) for sign, _, depth in kept),
        " ".join([f"{stands}.", *(f"{name}: {short(depth)}." for _, name, depth in kept)]),
        (stands, *(f"{sign} {short(depth)}" for sign, _, depth in kept)),
    )


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
    return ", ".join(each(found))


def each(found: Settings) -> list[str]:
    """Say where each of several screws stands."""
    return [f"{screw} {short(depth)}" for screw, depth in found.items()]


def _moved(ledger: Ledger, needles: int) -> tuple[str, ...]:
    return tuple(
        f"{capital(screw)}: {amount(abs(moved))} {way(screw, moved)} since the last good tune, or going back."
        for screw in screws(needles)
        if (moved := ledger.moved.get(screw, 0.0))
    )


def way(screw: Screw, richer: float) -> str:
    """Say the way of a turn, whose richer side, or inwards for the stop, is positive."""
    if screw == STOP:
        return "further in" if richer > 0 else "further out"
    return "richer" if richer > 0 else "leaner"


def too(screw: Screw, richer: float) -> str:
    """Say which way a screw stands off, whose richer side, or inwards for the stop, is positive."""
    if screw == STOP:
        return "too far in" if richer > 0 else "too far out"
    return "too rich" if richer > 0 else "too lean"


def were_off(turned: Iterable[tuple[Screw, float]]) -> Page:
    """Say by how many signed hours screws were off; nothing where none was."""
    off = ", ".join(f"{screw} {amount(abs(hours))} {too(screw, hours)}" for screw, hours in turned)
    return (Line(f"Screws that were off: {off}.", ""),) if off else ()
