"""The key that picks each answer. Nothing here draws, so that whoever only prints waits for no screen."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.reason.events import CANT_TELL, NO_TOOL, SKIPPED
from diagnose.reason.view import Choice

GO_ON = "go on"
"""The choice that goes on with what was ticked."""
ENTER = "enter"
"""Stands before a choice that only this key, or a tap, makes."""
RESERVED = {CANT_TELL: "0", SKIPPED: "0", NO_TOOL: "9", GO_ON: ENTER}


def numbered(choices: Iterable[Choice]) -> list[tuple[str, Choice]]:
    """Return each choice with the key that picks it; 0, 9 and Enter keep their meaning where they have one."""
    listed = list(choices)
    free = iter("12345678" if any(choice.id == NO_TOOL for choice in listed) else "123456789")
    return [(RESERVED.get(choice.id) or next(free, " "), choice) for choice in listed]
