"""What was done to the screws of an engine."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.graph.wording import amount
from diagnose.pages.conditions import figures
from diagnose.pages.dates import date_and_clock
from diagnose.pages.parts import Gap, Heading, Line, Page, Paragraph, Trend
from diagnose.pages.stand import each, settings
from diagnose.tune.needles import Amended, Baseline, Corrected, Good, Ledger, LedgerEntry, Struck, Turned, WentBack
from diagnose.tune.trend import points
from diagnose.workshop.entries import one_baseline

PLOT = "high needle: hours from the baseline, richer upwards (g is a good tune)"
NOTHING = "nothing yet"


def done(ledger: Ledger, newest: int) -> Page:
    """Show the line of the high needle, and the newest entries."""
    older = max(len(ledger.entries) - newest, 0)
    moved = points(ledger)
    drift: Page = (Gap(), Trend(PLOT, moved)) if moved else ()
    return (
        *drift,
        Gap(),
        Heading("what was done, newest first"),
        *entries(reversed(ledger.entries[-newest:])),
        *([Paragraph(f"and {older} older", "quiet")] if older else []),
    )


def entries(found: Iterable[LedgerEntry]) -> Page:
    """Say of each entry when it was made, what it is, why it was made, and what came of it."""
    lines = tuple(
        Line(" · ".join(filter(None, told(entry))), f"{date_and_clock(entry.at)} ") for entry in one_baseline(found)
    )
    return lines or (Paragraph(NOTHING, "quiet"),)


def told(entry: LedgerEntry) -> tuple[str, str, str]:
    """Say what an entry of the ledger is, why it was made, and what came of it."""
    match entry:
        case Turned():
            what = ", ".join(f"{screw} {amount(hours)} {way}" for screw, way, hours in entry.moves())
            return what, entry.reason, entry.result
        case Good():
            known = [*figures(entry.conditions), *([f"plug {entry.plug}"] if entry.plug else [])]
            return ": ".join(["marked good", *([", ".join(known)] if known else [])]), "", ""
        case Baseline():
            return f"baseline: {settings(entry.settings)}", entry.reason, ""
        case WentBack():
            said = ", ".join([*each(entry.settings), *(f"{screw} not counted" for screw in entry.unrecorded)])
            return f"went back: {said}", entry.reason, ""
        case Struck():
            return f"struck out: {entry.what}", "", ""
        case Amended():
            return f"put right: {told(entry.now)[0]}", "", ""
        case Corrected():
            return f"counted: {settings(entry.settings)}", entry.reason, ""
