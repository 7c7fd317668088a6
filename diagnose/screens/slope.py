"""The engine's own slope: how its high needle has followed the air, from its good tunes, and whether that is enough."""

from __future__ import annotations

from diagnose.pages import parts
from diagnose.pages.own_slope import own_slope
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.text_page import FreshPage


class OwnSlope(FreshPage):
    """Shows the slope with its points."""

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.heading = f"Own slope: {engine.name}"
        self.told: parts.Page = ()

    def read(self) -> None:
        """Work it out."""
        self.told = own_slope(self.session.ledger(self.engine.name), self.session.slope(self.engine.name))

    def text(self) -> parts.Page:
        """Return the slope, and its points."""
        return self.told
