"""Three questions before the engine runs. One that is not so yet says what to do first, and is asked again."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.parts import choices
from diagnose.pages.ready import HEADING, YES, ready_page
from diagnose.screens.messages import PageWanted, Readied
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.rendered import rendered


class Ready(PageScreen[None]):
    """Asks whichever of the three is not answered yet; `show` repaints it for the next one."""

    heading = HEADING
    refused = False

    def body(self) -> ComposeResult:
        """Lay out the question and its answers."""
        with VerticalScroll(id="text"):
            yield Static(id="asked", classes="block")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def show(self) -> None:
        """Put the next question."""
        self.refused = False
        self._paint()
        self.turned()

    def _paint(self) -> None:
        if name := self.session.unready:
            page = ready_page(name, refused=self.refused)
            self.query_one("#asked", Static).update(rendered(page.text, self.size.width - 6))
            self.query_one(Choices).show(choices(page.answers), width=self.size.width)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Pass it on, or say what to do first."""
        if event.choice == YES:
            self.say(Readied(self.session.unready))
            return
        self.refused = True
        self._paint()

    def action_leave(self) -> None:
        """Go back to the walk's own step where this was chosen, else to where it was opened."""
        if self.session.asked:
            self.say(PageWanted("walk", "own step"))
        else:
            self.dismiss(None)
