"""How figures and names are written for people."""

from __future__ import annotations

from datetime import datetime


def minutes(value: float) -> str:
    """Write minutes, to the half minute."""
    halves = max(round(value * 2), 0)
    whole = "" if halves == 1 else str(halves // 2)
    return f"{whole}{'½' if halves % 2 else ''} min"


def percent(share: float) -> str:
    """Write a share as a whole percentage."""
    return f"{share:.0%}"


def clock(at: float) -> str:
    """Return the local time of day of `at`, in seconds since the epoch."""
    return datetime.fromtimestamp(at).strftime("%H:%M")


def capital(text: str) -> str:
    """Return text with a capital at its beginning."""
    return text[:1].upper() + text[1:]
