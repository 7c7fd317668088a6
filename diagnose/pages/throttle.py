"""What a step of the radio's trim is worth at idle, and what the end points do."""

from __future__ import annotations

from diagnose.pages.parts import Line, Page
from diagnose.tune.throttle import PER_PERCENT, Ends, worth

FIRST = "So look at neutral, end points and linkage before the idle, and let the slide rest on its stop."


def throttle(lengths: tuple[float, float, float], band: float, reach: Ends | None) -> Page:
    """Say what the trim and a dead band of so many µs do; `lengths` are bore, gap at rest and horn, in m."""
    low, high = worth(-band, *lengths), worth(band, *lengths)
    said = (
        f"One per cent of trim ({PER_PERCENT:g} µs): {worth(PER_PERCENT, *lengths):+.0%} of the air at idle.",
        f"A dead band of {band:g} µs: the idle's air lies anywhere from {low:+.0%} to {high:+.0%}.",
    )
    shown: Page = (*map(Line, said), Line(FIRST, "→"))
    return (*shown, Line(_open(reach.past_open)), Line(_shut(reach.past_stop))) if reach else shown


def _open(past: float) -> str:
    """Say whether full trigger opens the slide, in m short of it or past it."""
    if past > 0:
        far = f"{past * 1000:.1f} mm"
        return f"Full trigger pulls on by {far} after it is open: turn the end point down, or the servo stalls."
    return f"Full trigger stops {-past * 1000:.1f} mm short of fully open." if past else "Full trigger just opens it."


def _shut(past: float) -> str:
    return f"Full brake pushes on by {past * 1000:.1f} mm past the stop: the brake's rod must give by that much."
