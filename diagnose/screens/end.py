"""How the walk ended: cured, handed over or stopped; with a sheet to take along."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.reason.view import Choice, View
from diagnose.reason.walk import Walk
from diagnose.screens.page import Page
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.hand_over import handed_over
from diagnose.screens.widgets.text import capital, hung, lines

HEADINGS = {"cured": "✓ Cured", "handed over": "→ Handed over", "stopped": "· Stopped here"}
HOME, WRITE = "home", "write"
SHEET_WIDTH = 78


class End(Page[None]):
    """Shows the verdict, and offers to write it down."""

    BINDINGS: ClassVar[list[BindingType]] = [("u", "app.take_back", "take back")]

    def body(self) -> ComposeResult:
        """Lay out the verdict and what can be done with it."""
        with VerticalScroll(id="text"):
            yield Static(id="verdict", classes="block")
        back = "back to the table" if self.main.floor > 1 else "back to the first page"
        yield Choices([Choice(HOME, back), Choice(WRITE, "write this to a file")], id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        walk = self._walk
        view = walk.view(self.session.clock())
        if view.verdict is not None:
            self.query_one("#heading", Static).update(Content(HEADINGS[view.verdict.outcome]))
            self.query_one("#verdict", Static).update(self._told(walk, view, self.size.width - 6))

    @property
    def _walk(self) -> Walk:
        assert self.session.walk is not None
        return self.session.walk

    def _told(self, walk: Walk, view: View, width: int) -> Content:
        assert view.verdict is not None
        shown = [hung("", f"{view.symptom_name} · {view.engine}", width, "$secondary"), Content("")]
        if view.verdict.outcome != "cured":
            because = capital(view.verdict.because)
            return lines([*shown, handed_over(because, view, self.session.owed_at_end(), width)])
        shown.append(hung("", f"{capital(view.verdict.because)}.", width, "bold"))
        shown.extend(hung("→ mended: ", walk.knowledge.faults[fault].name, width) for fault in view.verdict.mended)
        if view.verdict.adjustments:
            shown.append(
                hung("→ ", f"adjustments: {view.verdict.adjustments}. Write down where the screws stand.", width)
            )
        shown.extend(hung("! still open: ", opening, width) for opening in view.open)
        shown += [Content(""), hung("", "This is the last good tune now. What was done:", width)]
        shown.extend(hung(f"{'✓' if line.mark == 'ok' else line.mark} ", line.what, width) for line in view.trail)
        return lines(shown)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Go home, or write the sheet."""
        if event.choice == HOME:
            self.dismiss(None)
            return
        view = self._walk.view(self.session.clock())
        sheet = self._told(self._walk, view, SHEET_WIDTH).plain
        try:
            told = f"Written to {self.session.write_sheet(sheet)}"
        except OSError as error:
            told = f"The file can't be written: {error.strerror}"
        self.notify(told, markup=False)
