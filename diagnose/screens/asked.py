"""A question on a page of its own: a text, and its answers by number. It comes to the id of the answer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages import parts
from diagnose.reason.view import Choice
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import PageWanted
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices


class Asked(PageScreen[str]):
    """Shows something to read, and choices; where these are `cars`, the page of one can be opened."""

    BINDINGS: ClassVar[list[BindingType]] = [("e", "car_page", "car's page")]

    def __init__(
        self, at: AtHand, heading: str, told: parts.Page, choices: Sequence[Choice], *, cars: bool = False
    ) -> None:
        super().__init__(at)
        self.cars = cars
        self.heading = heading
        self.told = told
        self.choices = choices

    def body(self) -> ComposeResult:
        """Lay out the text and the choices."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(self.choices, id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(self.told)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Offer the page of a car where cars are listed."""
        return action != "car_page" or self.cars

    def action_car_page(self) -> None:
        """Open the page of the car that is marked; of the first, where none is."""
        marked = self.query_one(Choices).highlighted or 0
        self.say(PageWanted("car", "page", self.session.engines().get(self.choices[marked].id)))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer it."""
        self.dismiss(event.choice)
