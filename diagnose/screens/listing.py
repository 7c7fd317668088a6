"""A list to choose one from, under headings and with a search; it comes to the id of what was chosen."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.app import ComposeResult
from textual.widgets import Input, OptionList

from diagnose.pages.home import SEARCH
from diagnose.screens.at_hand import AtHand
from diagnose.screens.searching import SearchScreen
from diagnose.screens.widgets.entries import ListEntry, options
from diagnose.screens.widgets.field import SearchField


class Listing(SearchScreen[str]):
    """Lists entries; what is typed narrows them down."""

    def __init__(
        self,
        at: AtHand,
        heading: str,
        entries: Sequence[ListEntry],
        find: Callable[[str], Sequence[ListEntry]] | None = None,
    ) -> None:
        super().__init__(at)
        self.heading = heading
        self.entries = entries
        self.find = find
        """What words find; without it, the entries that have them."""

    def body(self) -> ComposeResult:
        """Lay out the search and the list."""
        yield SearchField(SEARCH)
        yield OptionList(id="list", markup=False)

    def on_mount(self) -> None:
        """Show them all."""
        self._list("")
        self.query_one(OptionList).focus()
        self.query_one(OptionList).action_first()

    def _list(self, sought: str) -> None:
        found = options(self.find(sought)) if self.find and sought.strip() else options(self.entries, sought)
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
