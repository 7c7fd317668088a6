"""A page that is only read."""

from __future__ import annotations

from collections.abc import Callable

from diagnose.pages import parts
from diagnose.screens.at_hand import AtHand
from diagnose.screens.text_page import TextPage


class ToRead(TextPage):
    """Shows what `told` returns."""

    def __init__(self, at: AtHand, heading: str, told: Callable[[], parts.Page]) -> None:
        super().__init__(at)
        self.heading, self.told = heading, told

    def text(self) -> parts.Page:
        """Return it, made anew."""
        return self.told()
