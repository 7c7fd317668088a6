"""What is behind an infrared reading of the head."""

from __future__ import annotations

from diagnose.graph.wording import both
from diagnose.pages.parts import SAVE, AnswerPart, Field, FormPage, Line, Page, PickPart
from diagnose.tune.heat import AROUND, Surface, limits

SURFACES: dict[Surface, str] = {
    "painted": "a spot painted matt black",
    "anodised": "anodised, of any colour",
    "roughened": "rough bare metal",
    "bare": "smooth bare metal",
}
COMES_IN = "105C, or 221 F"
"""How the head of an engine that comes in may be typed."""
FORM = FormPage(
    "What is behind an infrared reading?",
    (
        Field("shown", "it shows", hint=COMES_IN),
        Field("around", "around the engine", hint=both(AROUND)),
        PickPart(
            "surface", "What does it look at?", tuple(AnswerPart(surface, said) for surface, said in SURFACES.items())
        ),
    ),
    (AnswerPart(SAVE, "show what is behind it"), AnswerPart("no", "back to the needles")),
)


def head_reading(surface: Surface, shown: float, around: float = AROUND) -> Page:
    """Say what the head may really have where a thermometer shows so many °C, and what that can't say."""
    return tuple(Line(one) for one in limits(surface, shown, around))
