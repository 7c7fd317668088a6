"""Small words that every room uses: how a number of hours, minutes or degrees is written for people."""

from __future__ import annotations

RIGHT, LEFT = "to the right (clockwise)", "to the left (anticlockwise)"
"""How a screwdriver turns."""
AIR_SCREW = "A low screw that lets in air works the other way round: see its maker."


def clean(text: str) -> str:
    """Return text without control characters and direction marks; line ends stay."""
    if text.isprintable():
        return text  # nearly all of it, and far quicker than letter by letter
    return "".join(c if c.isprintable() or c == "\n" else " " if c.isspace() else "" for c in text)


def capital(text: str) -> str:
    """Return text with a capital at its beginning."""
    return text[:1].upper() + text[1:]


def uncapital(text: str) -> str:
    """Return a sentence as it goes on after other words: its first letter small, but not that of `O-ring`."""
    return text[:1].lower() + text[1:] if text[1:2].islower() or text[1:2] == " " else text


def minutes(value: float) -> str:
    """Write minutes for people, to the half minute."""
    halves = max(round(value * 2), 0)
    whole = "" if halves == 1 else str(halves // 2)
    return f"{whole}{'½' if halves % 2 else ''} min"


def amount(hours: float) -> str:
    """Write the hours that a screw is turned."""
    return {1.0: "one hour", 0.5: "half an hour", 0.25: "a quarter of an hour"}.get(hours, f"{round(hours, 2):g} hours")


def percent(share: float) -> str:
    """Write a share as a whole percentage."""
    return f"{share:.0%}"


def outings(many: int) -> str:
    """Return a number of outings in words."""
    return f"{many} outing{'' if many == 1 else 's'}"


def celsius(fahrenheit: float) -> float:
    """Return a temperature in °C, from °F."""
    return (fahrenheit - 32) / 1.8


def fahrenheit(celsius: float) -> float:
    """Return a temperature in °F, from °C."""
    return celsius * 1.8 + 32


def both(celsius: float) -> str:
    """Say a temperature in °C in both units, rounded to a degree: ``121 °C (250 °F)``."""
    return f"{celsius:.0f} °C ({fahrenheit(celsius):.0f} °F)"


def one_line(text: str) -> str:
    """Return text clean and in one line."""
    return clean(text).replace("\n", " ")
