"""Why this step: the numbers behind it."""

from __future__ import annotations

from diagnose.pages.parts import Page
from diagnose.pages.why import why_page
from diagnose.reason.view import Step
from diagnose.screens.to_read import ToRead


class Why(ToRead):
    """Shows what the step is good for, and the belief in percent."""

    def __init__(self, step: Step) -> None:
        super().__init__()
        self.step = step
        self.heading = f"Why: {step.title}"

    def told(self) -> Page:
        """Return the numbers."""
        walk = self.session.walk
        return why_page(walk, walk.view(self.session.clock()), self.step) if walk is not None else ()
