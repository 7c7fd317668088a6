"""Keys that come too early: sent before the page that they would answer was painted, or pressed twice.

A key is sent when it is pressed, and may wait while a page is made: then it was meant for the page before. A page opens
to keys once it has been painted (`Page.turned`), and for a moment after that not to the very key that brought it up.
"""

from __future__ import annotations

from typing import Any

from textual import events
from textual.geometry import Offset
from textual.widgets import Input

from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.keys import LEAVE, TROUBLE

TWICE = 0.3
"""Seconds in which the same key, or a tap on the same place, is the second half of a double press."""

ALWAYS = frozenset({TROUBLE.key, LEAVE.key, "escape", "ctrl+c"})
"""Keys that answer nothing."""
DIGITS = frozenset("0123456789")
ANSWERING = DIGITS | {"enter"}
KeySign = str | Offset


class Ahead:
    """Says which keys and taps a page takes."""

    def __init__(self) -> None:
        self.last: KeySign = ""
        """What was taken last: a key, or the place of a tap."""
        self._at = 0.0
        self._under_way: events.Key | None = None
        """The key that may be answering the page: what was sent before it has done so is too early."""
        self._held = False
        """A press of the mouse was not taken: what lets it go is not either."""

    def takes(self, event: events.Event, page: PageScreen[Any]) -> bool:
        """Say whether the page takes this key or tap; one that the terminal sends is noted, one on its way is not."""
        if isinstance(event, events.Key):
            if event.key in ALWAYS or event is self._under_way:
                return True
            if page.hidden or event.time <= page.seen_at:
                return False
            return event.is_forwarded or self._taken(event, page)
        if isinstance(event, events.MouseUp) and self._held:
            self._held = False
            return False
        if isinstance(event, events.MouseDown) and not event.is_forwarded:
            self._held = event.time <= page.seen_at or not self._once(event.screen_offset, event.time, page)
            return not self._held
        return not (isinstance(event, events.Paste) and (page.hidden or event.time <= page.seen_at))

    def _taken(self, key: events.Key, page: PageScreen[Any]) -> bool:
        typing = isinstance(page.focused, Input) or (key.key in DIGITS and page.field_for(key.key) is not None)
        answers = key.key in ANSWERING and not typing
        taken = self._once(key.key, key.time, page, answers=answers)
        if taken and answers:
            self._under_way = key
            page.turned()
        return taken

    def _once(self, sign: KeySign, at: float, page: PageScreen[Any], *, answers: bool = False) -> bool:
        """Note what was pressed, unless it is the second half of a double press."""
        again = answers and sign == self.last and at - self._at < TWICE
        if again or (page.fresh and sign == self.last and at - page.seen_at < TWICE):
            return False
        self.last, self._at, page.fresh = sign, at, False
        return True
