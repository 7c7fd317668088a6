"""What if: what would follow each answer."""

from __future__ import annotations

from diagnose.pages.parts import Page
from diagnose.pages.what_if import what_if_page
from diagnose.reason.view import Step
from diagnose.screens.to_read import ToRead


class WhatIf(ToRead):
    """Shows what would follow each answer; nothing is answered here."""

    heading = "What if I answered ..."

    def __init__(self, step: Step) -> None:
        super().__init__()
        self.step = step

    def told(self) -> Page:
        """Return what would follow."""
        walk = self.session.walk
        return what_if_page(walk, self.step, self.session.clock()) if walk is not None else ()
