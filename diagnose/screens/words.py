"""The words of the trade, explained, with a search; and the cautions in full."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from diagnose.graph.say import say
from diagnose.screens.page import Page
from diagnose.screens.widgets.cautions import in_full
from diagnose.screens.widgets.field import Field
from diagnose.screens.widgets.text import hung, lines


class Words(Page[None]):
    """Shows every word that has what is typed in it, those that the step at hand uses first."""

    heading = "Words"

    def __init__(self, first: tuple[str, ...] = ()) -> None:
        super().__init__()
        self.first = first

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "scroll(1)", show=False),
        Binding("up", "scroll(-1)", show=False),
        Binding("pagedown", "read_on(1)", show=False),
        Binding("pageup", "read_on(-1)", show=False),
    ]

    def body(self) -> ComposeResult:
        """Lay out the search and the list."""
        yield Field("search", "type to search")
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Search as soon as something is typed."""
        self.query_one(Input).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._list()

    def on_input_changed(self) -> None:
        """Search as it is typed."""
        self._list()

    def _list(self) -> None:
        sought = self.query_one(Input).value.casefold()
        shown: list[Content] = []
        width = self.size.width - 6
        words = self.session.knowledge.words
        for name in dict.fromkeys((*self.first, *sorted(words))):
            word = words[name]
            also = f" (also: {', '.join(word.also)})" if word.also else ""
            also += ", in this step" if name in self.first else ""
            if sought in f"{name} {also} {word.say}".casefold():
                shown.append(hung("", name + also, width, "bold"))
                shown.append(hung("  ", say(word.say, self.session.knowledge), width))
        self.query_one("#told", Static).update(lines(shown or [hung("", "No word has that in it.", width)]))
        self.query_one("#text").scroll_home(animate=False)

    def action_scroll(self, rows: int) -> None:
        """Scroll while the search keeps the keys."""
        self.query_one("#text").scroll_relative(y=rows, animate=False)


class Cautions(Page[None]):
    """Shows the cautions in full, those of the step at hand first."""

    heading = "Cautions"

    def __init__(self, first: tuple[str, ...] = ()) -> None:
        super().__init__()
        self.first = first

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one("#text").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        known, width = self.session.knowledge, self.size.width - 6
        shown = in_full(self.first, known, width, ", for this step")
        shown += in_full((name for name in known.cautions if name not in self.first), known, width)
        self.query_one("#told", Static).update(lines(shown))
