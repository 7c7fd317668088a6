"""What was saved and what can't be: said where answers are kept, and where a person leaves."""

from __future__ import annotations

from diagnose.pages.dates import clock
from diagnose.pages.parts import AnswerPart, Page, Paragraph

HEADING = "! What you answer can't be saved"
ON, LEAVE = "on", "leave"
ANSWERS = (
    AnswerPart(ON, "go on without saving: it is gone when you leave"),
    AnswerPart(LEAVE, "leave, and mend that first"),
)


UNSAVED = "You left; what you answered after you agreed to go on without saving is gone"
QUIT_AGAIN = "Press q again to leave."
QUIT_UNSAVED = "A form is filled in and not saved. Press again to leave without it."
OFFERED_AGAIN = "What you typed here before is still here. Nothing of it is saved yet."


def trouble(because: str) -> Page:
    """Say why nothing can be saved, and what is safe all the same."""
    return Paragraph(because), Paragraph("What was saved before is as it was.")


def goes_on(because: str) -> str:
    """Say that a practice goes on although it can't be saved."""
    return f"{because}. The practice goes on, and is not saved."


def kept(at: float, *, saved: bool) -> str:
    """Say when the last thing was saved, or that nothing is; `at` in seconds since the epoch."""
    return f"saved {clock(at)}" if saved else "not saved"


def left(again: str, *, saved: bool) -> Page:
    """Say to who leaves a walk what is saved; `again` says how to go on with it."""
    return (Paragraph(f"You left; everything is saved; {again}" if saved else UNSAVED),)


def left_practice(nickname: str, *, ended: bool) -> Page:
    """Say the same to who leaves a practice."""
    again = "The result is kept" if ended else f"Begin again as {nickname} to go on with it"
    return (Paragraph(f"You left. {again if nickname else 'Nothing of it is kept'}."),)
