"""The sign below a text that goes on: it names the key that reads on, and can be tapped."""

from __future__ import annotations

from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.screens.widgets.text import plain, tap


class More(Static):
    """Stands in the last row of a text while there is more below it."""

    def __init__(self, key: str) -> None:
        super().__init__(tap(plain(f"▼ more: {key}"), "screen.read_on(1)"), classes="more")
        self.display = False

    def on_mount(self) -> None:
        """Follow the text."""
        for change in ("scroll_y", "virtual_size"):
            self.watch(self._text, change, self._later)

    @property
    def _text(self) -> VerticalScroll:
        assert isinstance(self.parent, VerticalScroll)
        return self.parent

    def _later(self) -> None:
        self.call_after_refresh(self._follow)

    def _follow(self) -> None:
        if self.is_attached:
            self.display = self._text.scroll_y < self._text.max_scroll_y
