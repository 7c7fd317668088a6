"""What is behind an infrared reading of the head."""

from __future__ import annotations

from diagnose.pages.parts import Line, Page
from diagnose.tune.heat import AROUND, Surface, limits

SURFACES: tuple[tuple[Surface, str], ...] = (
    ("painted", "a spot painted matt black"),
    ("anodised", "anodised, in whatever colour"),
    ("roughened", "rough bare metal"),
    ("bare", "smooth bare metal"),
)


def head_reading(surface: Surface, shown: float, around: float = AROUND) -> Page:
    """Say what the head may really have where a thermometer shows so many °C, and what that can't say."""
    return tuple(Line(one) for one in limits(surface, shown, around))
