"""An engine's own slope: how its high needle has followed the air."""

from __future__ import annotations

from diagnose.pages.parts import Fit, Gap, Page, Paragraph
from diagnose.tune.needles import Ledger
from diagnose.tune.slope import Slope, logged

NONE_YET = (
    "No good tune is logged with its day, its fuel and a counted high needle yet. Mark good tunes on different days, "
    "and this page learns how the needle follows the air."
)
WHAT_FOR = "n says how the opening of the high needle follows the density of the dry air. Physics expects about a half."
LEGEND = "● a good tune   × left out   · the line.   Upwards: turns open.   To the right: denser air."


def own_slope(ledger: Ledger, found: Slope | None) -> Page:
    """Say what the slope is and what it is for, and show the tunes that it was learned from."""
    if found is None:
        return (Paragraph(NONE_YET),)
    fit = Fit(tuple(logged(ledger.entries)), found, LEGEND)
    return (Paragraph(found.said, "strong"), Paragraph(WHAT_FOR, "quiet"), Gap(), fit)
