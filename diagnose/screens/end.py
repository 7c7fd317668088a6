"""How the walk ended: cured, handed over or stopped; with a sheet to take along."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.pages.end import HEADINGS, HOME, answers, end_page, not_written, written
from diagnose.pages.parts import choices
from diagnose.reason.view import Verdict, View
from diagnose.reason.walk import Walk
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.rendered import rendered

SHEET_WIDTH = 78


class End(PageScreen[None]):
    """Shows the verdict, and offers to write it down."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("u", "want('walk', 'take back')", "take back"),
        ("g", "want('read', 'route')", "route"),
    ]

    def __init__(self, at: AtHand, *, at_table: bool) -> None:
        super().__init__(at)
        self.at_table = at_table

    def body(self) -> ComposeResult:
        """Lay out the verdict and what can be done with it."""
        with VerticalScroll(id="text"):
            yield Static(id="verdict", classes="block")
        yield Choices(choices(answers(table=self.at_table)), id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        view = self._walk.view(self.session.clock())
        if view.verdict is not None:
            self.query_one("#heading", Static).update(Content(HEADINGS[view.verdict.outcome]))
            self.query_one("#verdict", Static).update(self._told(view, view.verdict, self.size.width - 6))

    @property
    def _walk(self) -> Walk:
        assert self.session.walk is not None
        return self.session.walk

    def _told(self, view: View, verdict: Verdict, width: int) -> Content:
        return rendered(end_page(view, verdict, self.session.knowledge, self.session.owed_at_end()), width)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Go home, or write the sheet."""
        if event.choice == HOME:
            self.dismiss(None)
            return
        view = self._walk.view(self.session.clock())
        assert view.verdict is not None
        sheet = self._told(view, view.verdict, SHEET_WIDTH).plain
        try:
            told = written(self.session.write_sheet(sheet))
        except OSError as error:
            told = not_written(error.strerror or str(error))
        self.notify(told, markup=False)
