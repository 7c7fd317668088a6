"""Before the engine runs: three things are answered, one after another, and not only read."""

from __future__ import annotations

from typing import NamedTuple

from diagnose.pages.parts import AnswerPart, Gap, Page, Paragraph
from diagnose.workshop.session import READY

HEADING = "Before the engine runs"
YES, NOT_YET = "yes", "not yet"
OUTDOORS = (
    "Safety glasses and ear muffs on. Outdoors only, where local rules let it run. Children and onlookers well away."
)
ASKED = {
    "igniter": ("Where is the igniter?", "off the plug, until a step asks for it", "still on the plug"),
    "bottle": ("How is the fuel bottle?", "shut, and put away", "open, or close to the car"),
    "wheels": ("Where are the wheels?", "off the ground, on a stand", "on the ground"),
}
FIRST = {
    "igniter": "Take it off first. A plug that glows lights spray and spilt fuel.",
    "bottle": "Shut it first, and put it away. Its flame cannot be seen.",
    "wheels": "Put the car on its stand first. It can drive off as it starts.",
}


class ReadyPage(NamedTuple):
    """One of the three questions."""

    text: Page
    answers: tuple[AnswerPart, ...]


def ready_page(name: str, *, refused: bool = False) -> ReadyPage:
    """Ask one of the three; `refused` says what to do first."""
    ask, wanted, other = ASKED[name]
    text = (
        Paragraph(f"{READY.index(name) + 1} of {len(READY)}", "quiet"),
        *((Paragraph(OUTDOORS), Gap()) if name == READY[0] else ()),
        Paragraph(ask, "strong"),
        *((Paragraph(FIRST[name], "warning"),) if refused else ()),
    )
    return ReadyPage(text, (AnswerPart(YES, wanted), AnswerPart(NOT_YET, other)))
