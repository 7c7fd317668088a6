"""What is said where a mate ticks on a phone: to the driver at the bench, and to the mate."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import capital
from diagnose.pages import phone
from diagnose.pages.parts import AnswerPart, Line, Page, Paragraph
from diagnose.workshop.mate import Invited, MateSaid

HEADING = "A mate at the car"
ASKED = "A phone on the same Wi-Fi can come in. It shows what this walk owes, to be ticked line by line."
ENDS = "It ends with the walk. Whatever is not as it should be, and all that is done with the engine running, is yours."
NO_NETWORK = (
    "this computer is on no network: join the same Wi-Fi as the phone, or open a hotspot, then press the key again"
)
ENDED = "No phone is let in any more."

NAME = "At the car"
WAITS = "The driver does this one"
TOLD = "The driver has been told"
WAITING: Page = (Paragraph("Wait here. The list comes back when there is something to tick."),)
LOOK_AGAIN = "look again"
HOW = "how to look"
BACK = "back to the list"
NOT_SO = AnswerPart("not so", "not so, or not sure: tell the driver")
DRIVER_ANSWERED = "The driver has answered. "
OVER = "This walk is over, or the driver is at another one."


def mate_page(invited: Invited) -> Page:
    """Return what stands beside the code on the bench."""
    return (
        Paragraph(ASKED),
        Paragraph(phone.typed_address(invited.address, invited.code), "strong"),
        Paragraph(f"{capital(phone.STAY_ON)}.", "quiet"),
        Paragraph(ENDS, "quiet"),
    )


def from_mate(said: MateSaid | None, known: Knowledge) -> Page:
    """Return what the mate has just said, as a line on the bench."""
    if said is None:
        return ()
    name = known.checks[said.check].name
    if said.so:
        return (Line(f"Your mate: {name}: as it should be", "✓", "quiet"),)
    return (Line(f"Your mate: {name}: not so, or not sure", "!", "warning"),)


def note(check: str, known: Knowledge) -> str:
    """Return what is stored of a look that is not so: a note, as the driver answers it."""
    return f"The mate at the car: {known.checks[check].name}: not so, or not sure"
