"""A list to choose one from, under headings and with a search; it comes to the id of what was chosen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.widgets import Input, OptionList

from diagnose.pages.home import SEARCH
from diagnose.screens.at_hand import AtHand
from diagnose.screens.searching import SearchScreen
from diagnose.screens.widgets.entries import ListEntry, options
from diagnose.screens.widgets.field import SearchField

if TYPE_CHECKING:
    from diagnose.graph.seek import Seeker, Sought


BESIDE = 10
"""Columns beside the text of a list: its edges, and the bar that it scrolls by."""


class Listing(SearchScreen[str]):
    """Lists entries; what is typed narrows them down, by what people say for them where they are of one kind."""

    def __init__(
        self,
        at: AtHand,
        heading: str,
        entries: Sequence[ListEntry],
        among: Sought | None = None,
        find: Callable[[str], Sequence[ListEntry]] | None = None,
    ) -> None:
        super().__init__(at)
        self.heading = heading
        self.entries = entries
        self.among = among
        """The kind of the entries, where people have words of their own for them."""
        self.find = find
        """What words find, where that is more than some of the entries."""

    def body(self) -> ComposeResult:
        """Lay out the search and the list."""
        yield SearchField(SEARCH)
        yield OptionList(id="list", markup=False)

    def on_mount(self) -> None:
        """Show them all."""
        self._list("")
        self.query_one(OptionList).focus()
        self.query_one(OptionList).action_first()

    @cached_property
    def _seeker(self) -> Seeker | None:
        from diagnose.graph.seek import seeker  # with what compares words: no page waits for it before a key

        return seeker(self.session.knowledge, self.among) if self.among else None

    def on_resize(self) -> None:
        """Break the lines anew, at the same entry."""
        listed = self.query_one(OptionList)
        at = listed.highlighted
        self._list(self.query_one(Input).value)
        listed.highlighted = at

    def _list(self, sought: str) -> None:
        width = self.app.size.width - BESIDE
        if self.find and sought.strip():
            found = options(self.find(sought), width=width)
        else:
            fitting = [one.id for one in self._seeker.find(sought)] if sought.strip() and self._seeker else []
            found = options(self.entries, sought, fitting, width)
        self.query_one(OptionList).set_options(found)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Search as it is typed."""
        self._list(event.value)

    def action_list(self) -> None:
        """Go on to the list."""
        listed = self.query_one(OptionList)
        listed.focus()
        listed.action_first()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Choose this one."""
        self.dismiss(event.option.id)
