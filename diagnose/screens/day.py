"""The day and the fuel: typed as people write them, and what they ask of the needles."""

from __future__ import annotations

from typing import get_args

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.asks import NO_ENGINE, asks
from diagnose.pages.conditions import air_and_fuel, noted
from diagnose.pages.day import BY_GOING_BACK, EMPTY, FORM
from diagnose.pages.unsaved import kept
from diagnose.screens.form import FormScreen
from diagnose.screens.messages import DayNoted
from diagnose.screens.widgets.asking import asking, pick
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.text import plain
from diagnose.tune.mixture import Conditions
from diagnose.tune.typed import FieldName, Typed, as_typed, day

FIELDS: tuple[FieldName, ...] = get_args(FieldName)


class DayPage(FormScreen[None]):
    """Asks for the day and the fuel, has them stored, and shows what they come to."""

    heading = FORM.heading

    kept = 0.0
    """When this page had something stored, in seconds since the epoch."""

    def body(self) -> ComposeResult:
        """Lay out the form, and what it comes to below it."""
        known = self._known()
        with VerticalScroll(id="text"):
            yield Static(id="noted", classes="block")
            for part in FORM.asked:
                if isinstance(part, parts.PickPart):
                    yield Static(plain(part.text))
                    yield pick(part, 0 if known.sea_level else 1)
                else:
                    yield from asking([part], known._asdict())
            yield Static(id="told", classes="block")
        yield Static(id="refused")
        yield Choices(parts.choices(FORM.answers), id="choices")

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
            return as_typed(now.air, now.fuel, self.session.elevation())
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
            self.refuse(EMPTY, FIELDS[0])
            return
        self.say(DayNoted(found, self._whose))

    def stored(self) -> None:
        """Show what the day asks for."""
        self.kept = self.session.clock()
        self.forget()
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
            told = kept(self.kept, saved=self.session.journal.saved)
            shown = (parts.Gap(), *([parts.Paragraph(told, "quiet")] if self.kept else []), *shown)
        self.tell(noted(now), "noted")
        self.tell(shown)

    def _asks(self) -> parts.Page:
        if not self._whose:
            return (parts.Paragraph(NO_ENGINE, "quiet"),)
        return asks(self.session.explained(self._whose), self.session.advice(self._whose), BY_GOING_BACK)
