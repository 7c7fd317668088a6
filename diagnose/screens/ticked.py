"""A question to which several answers are true: a digit, a tap or Enter ticks one, and Enter goes on."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages import parts
from diagnose.reason.view import Choice
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.picked_by import GO_ON


class Ticked(PageScreen[tuple[str, ...]]):
    """Shows choices with a number before each that is ticked; comes to their ids, in the order of ticking."""

    def __init__(self, at: AtHand, heading: str, told: parts.Page, choices: Sequence[Choice], go_on: str) -> None:
        super().__init__(at)
        self.heading, self.told, self.choices, self.go_on = heading, told, choices, go_on
        self.ticked: tuple[str, ...] = ()

    def body(self) -> ComposeResult:
        """Lay out the text and the choices."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(self.told)

    def _paint(self) -> None:
        def box(one: Choice) -> Choice:
            return Choice(one.id, f"[{self.ticked.index(one.id) + 1 if one.id in self.ticked else ' '}] {one.say}")

        last = [Choice(GO_ON, self.go_on)] if self.ticked else []
        listed = self.query_one(Choices)
        listed.show([*map(box, self.choices), *last])
        listed.highlighted = len(self.choices) if self.ticked else None

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Tick it, or take the tick away; or go on."""
        if event.choice == GO_ON:
            self.dismiss(self.ticked)
            return
        left = tuple(one for one in self.ticked if one != event.choice)
        self.ticked = left if event.choice in self.ticked else (*left, event.choice)
        self._paint()
