"""The words of the trade, explained, with a search."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from diagnose.pages.home import SEARCH
from diagnose.pages.words import words_page
from diagnose.screens.at_hand import AtHand
from diagnose.screens.searching import SearchScreen
from diagnose.screens.widgets.field import SearchField
from diagnose.screens.widgets.rendered import rendered

if TYPE_CHECKING:
    from diagnose.graph.seek import Seeker


class Words(SearchScreen[None]):
    """Shows every word that fits what is typed or has it in it, those that the step at hand uses first."""

    heading = "Words"

    def __init__(self, at: AtHand, first: tuple[str, ...] = ()) -> None:
        super().__init__(at)
        self.first = first

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "list", show=False),
        Binding("up", "scroll(-1)", show=False),
        Binding("pagedown", "read_on(1)", show=False),
        Binding("pageup", "read_on(-1)", show=False),
    ]

    def body(self) -> ComposeResult:
        """Lay out the search and the list."""
        yield SearchField(SEARCH)
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

    @cached_property
    def _seeker(self) -> Seeker:
        from diagnose.graph.seek import seeker  # with what compares words: no page waits for it before a key

        return seeker(self.session.knowledge, "words")

    def _list(self) -> None:
        sought = self.query_one(Input).value
        fitting = [one.id for one in self._seeker.find(sought)] if sought.strip() else []
        page = words_page(self.session.knowledge, self.first, sought, fitting)
        self.query_one("#told", Static).update(rendered(page, self.size.width - 6))
        self.query_one("#text").scroll_home(animate=False)

    def on_input_submitted(self) -> None:
        """Search on: what was found is there to be read."""

    def action_list(self) -> None:
        """Read on, line by line."""
        self.action_scroll(1)

    def action_scroll(self, rows: int) -> None:
        """Scroll while the search keeps the keys."""
        self.query_one("#text").scroll_relative(y=rows, animate=False)
