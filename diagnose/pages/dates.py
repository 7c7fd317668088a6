"""Times for people, in local time."""

from __future__ import annotations

from datetime import datetime


def clock(at: float) -> str:
    """Return the local time of day of `at`, in seconds since the epoch."""
    return datetime.fromtimestamp(at).strftime("%H:%M")


def day(at: float) -> str:
    """Return the local date of `at`, in seconds since the epoch."""
    return datetime.fromtimestamp(at).strftime("%Y-%m-%d")


def date_and_clock(at: float) -> str:
    """Return the local date and time of day of `at`, in seconds since the epoch."""
    return f"{day(at)} {clock(at)}"
