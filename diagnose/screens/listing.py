"""A list to choose one from, under headings and with a search; it comes to the id of what was chosen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from diagnose.screens.page import Page
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.text import plain


class ListEntry(NamedTuple):
    """One thing to choose, or (without an id) a heading over what follows."""

    id: str
    say: str


def options(entries: Sequence[ListEntry], sought: str = "") -> list[Option]:
    """Return the entries as options; with something sought, those that have it, and no headings."""
    words = sought.casefold().split()
    found = (
        entry for entry in entries if not words or (entry.id and all(word in entry.say.casefold() for word in words))
    )
    return [
        Option(plain(f"  {entry.say}"), id=entry.id)
        if entry.id
        else Option(plain(entry.say, "bold $primary"), disabled=True)
        for entry in found
    ]


class Listing(Page[str]):
    """Lists entries; a slash searches."""

    BINDINGS: ClassVar[list[BindingType]] = [("slash", "search", "search"), ("down", "list", "")]

    def __init__(self, heading: str, entries: Sequence[ListEntry]) -> None:
        super().__init__()
        self.heading = heading
        self.entries = entries

    def body(self) -> ComposeResult:
        """Lay out the search and the list."""
        yield NumberField("search", "type to search")
        yield OptionList(id="list", markup=False)

    def on_mount(self) -> None:
        """Show them all."""
        self._list("")
        self.query_one(OptionList).focus()
        self.query_one(OptionList).action_first()

    def _list(self, sought: str) -> None:
        self.query_one(OptionList).set_options(options(self.entries, sought))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Search as it is typed."""
        self._list(event.value)

    def on_input_submitted(self) -> None:
        """Go on to the list."""
        self.action_list()

    def action_search(self) -> None:
        """Type a search."""
        self.query_one(Input).focus()

    def action_list(self) -> None:
        """Go on to the list."""
        listed = self.query_one(OptionList)
        listed.focus()
        listed.action_first()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Choose this one."""
        self.dismiss(event.option.id)
