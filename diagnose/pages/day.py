"""What is asked of the day and the fuel."""

from __future__ import annotations

from diagnose.pages.parts import SAVE, AnswerPart, Field, FormPage, PickPart

FORM = FormPage(
    "The day and the fuel",
    (
        Field("temperature", "temperature", hint="31C, or 88 F"),
        Field("humidity", "humidity", hint="55 %"),
        Field("pressure", "pressure", hint="1004hPa, 29.92inHg"),
        PickPart(
            "figure",
            "which pressure is that?",
            (
                AnswerPart("sea level", "the sea-level figure, as a phone shows it: give the elevation too"),
                AnswerPart("station", "what a barometer at the track shows (station pressure)"),
            ),
        ),
        Field("elevation", "elevation", hint="120m, or 400 ft"),
        Field("nitro", "nitro, by volume", hint="25 %"),
        Field("oil", "oil, by volume", hint="12 %"),
    ),
    (AnswerPart(SAVE, "this is the day: keep it, and show what it asks for"), AnswerPart("no", "leave it")),
)
EMPTY = "Nothing has been typed."
BY_GOING_BACK = "Going back, on the page of the needles, does this step by step."
