"""How well a text stands out from what is behind it, by WCAG 2.2."""

from __future__ import annotations

ENOUGH = 4.5
"""WCAG 2.2, 1.4.3: contrast of text at level AA."""


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour like #fff or #ffffff: WCAG 2.2, definition of relative luminance."""
    digits = colour.removeprefix("#")
    pairs = [digit * 2 for digit in digits] if len(digits) == 3 else [digits[n : n + 2] for n in (0, 2, 4)]
    parts = [int(pair, 16) / 255 for pair in pairs]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours: WCAG 2.2, definition of contrast ratio."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)
