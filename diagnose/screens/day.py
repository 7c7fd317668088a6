"""The day and the fuel: typed as people write them, and what they ask of the needles."""

from __future__ import annotations

from typing import get_args

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.asks import NO_ENGINE, asks
from diagnose.pages.conditions import air_and_fuel, noted
from diagnose.pages.dates import clock
from diagnose.reason.view import Choice
from diagnose.screens.form import SAVE, Form
from diagnose.screens.messages import DayNoted
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.filled import Filled
from diagnose.screens.widgets.pick import Pick
from diagnose.tune.mixture import Conditions
from diagnose.tune.typed import Field, Typed, as_typed, day

FIELDS: tuple[Field, ...] = get_args(Field)
ASKED: dict[Field, tuple[str, str]] = {
    "temperature": ("temperature", "31C, or 88 F"),
    "humidity": ("humidity", "55 %"),
    "pressure": ("pressure", "1004hPa, 29.92inHg"),
    "elevation": ("elevation", "120m, or 400 ft"),
    "nitro": ("nitro, by volume", "25 %"),
    "oil": ("oil, by volume", "12 %"),
}
FIGURES = (
    "the sea-level figure, as a phone shows it: give the elevation too",
    "what a barometer at the track shows (station pressure)",
)
BY_GOING_BACK = "Going back, on the page of the needles, does this step by step."


class DayPage(Form[None]):
    """Asks for the day and the fuel, has them stored, and shows what they come to."""

    heading = "The day and the fuel"

    kept = 0.0
    """When this page had something stored, in seconds since the epoch."""

    def body(self) -> ComposeResult:
        """Lay out the form, and what it comes to below it."""
        known = self._known()
        with VerticalScroll(id="text"):
            yield Static(id="noted", classes="block")
            for field, (asked, hint) in ASKED.items():
                yield Filled(field, asked, hint, str(getattr(known, field)))
                if field == "pressure":
                    yield Static(Content("which pressure is that?"))
                    yield Pick(FIGURES, 0 if known.sea_level else 1, id="figure")
            yield Static(id="told", classes="block")
        yield Static(id="refused")
        choices = [Choice(SAVE, "this is the day: keep it, and show what it asks for"), Choice("no", "leave it")]
        yield Choices(choices, id="choices")

    def on_mount(self) -> None:
        """Begin with the first field."""
        self.query_one(f"#{FIELDS[0]}").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    @property
    def _whose(self) -> str:
        return self.about.name if self.about else ""

    def _known(self) -> Typed:
        try:
            now = self.session.conditions(self._whose)
            return as_typed(now.air, now.fuel, self.session.days().elevation)
        except DiagnoseError:
            return Typed()

    def save(self) -> None:
        """Have it stored, or say beside each field why it can't be."""
        found = day(Typed(**{field: self.typed(field) for field in FIELDS}, sea_level=self.chosen("figure") == 0))
        for field, why in reversed(found.problems.items()):
            self.refuse(why, field)
        if found.problems:
            return
        if found.air is None and found.fuel is None:
            self.refuse("Nothing is typed.", FIELDS[0])
            return
        self.say(DayNoted(found, self._whose))

    def stored(self) -> None:
        """Show what the day asks for."""
        self.kept = self.session.clock()
        self._paint()
        self.query_one("#told").scroll_visible(top=True, animate=False)
        self.query_one(Choices).focus()

    def _paint(self) -> None:
        try:
            now = self.session.conditions(self._whose)
            shown: parts.Page = (*air_and_fuel(now), *self._asks())
        except DiagnoseError as error:
            now, shown = Conditions(), (parts.Line(str(error), "!", "urgent"),)
        else:
            kept = f"saved {clock(self.kept)}" if self.session.journal.saved else "not saved"
            shown = (parts.Gap(), *([parts.Paragraph(kept, "quiet")] if self.kept else []), *shown)
        self.tell(noted(now), "noted")
        self.tell(shown)

    def _asks(self) -> parts.Page:
        if not self._whose:
            return (parts.Paragraph(NO_ENGINE, "quiet"),)
        return asks(self.session.explained(self._whose), self.session.advice(self._whose), BY_GOING_BACK)
