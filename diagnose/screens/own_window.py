"""The window in which a screw is turned: the general one, or one from the engine's own heads at good tunes."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.window import LEAVE, OWN, answers, window
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import WindowChosen
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.tune.window import Offer


class OwnWindow(PageScreen[None]):
    """Shows the window and what the engine's own heads come to; takes one over."""

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.heading = f"Window: {engine.name}"
        self.found: Offer | None = None
        self.told: parts.Page = ()

    def body(self) -> ComposeResult:
        """Lay out the text and the answers."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Read what counts now, and offer what fits."""
        try:
            self.found = self.session.offered_window(self.engine.name)
            self.told = window(self.session.window(self.engine.name), self.found)
        except DiagnoseError as error:
            self.told = (parts.Line(str(error), "!", "urgent"),)
        self.query_one(Choices).show(parts.choices(answers(self.found)))
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(self.told)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Say what was chosen, or leave it."""
        if event.choice == LEAVE or self.found is None:
            self.dismiss(None)
            return
        made = self.found.window if event.choice == OWN else None
        self.say(WindowChosen(self.engine.name, made))

    def stored(self) -> None:
        """Go back to the needles."""
        self.dismiss(None)
