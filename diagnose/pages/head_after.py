"""What the head has after a turn, or going back, that cured it: it is kept with that tune."""

from __future__ import annotations

from diagnose.pages.parts import AnswerPart, Page, Paragraph

HEADING = "What does the head have now?"
ASKED: Page = (
    Paragraph("It is gone. Read the head now, as it comes in. It is kept with this tune, for the next time."),
    Paragraph("You may leave it out.", "quiet"),
)
SKIP = "skip"
ANSWERS = (AnswerPart(SKIP, "I have not read it"),)
UNIT = "°C"
