"""What pages with a search share: whatever is typed goes into it, wherever the keys are, and no letter does more."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual.binding import Binding, BindingType
from textual.widgets import Input

from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.field import SearchField

T = TypeVar("T")

LEFT = " !?+/"
"""Signs that begin no search: each is a key."""


class SearchScreen(PageScreen[T]):
    """A page with a `SearchField`. Its commands are on keys that type nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "search", show=False),
        Binding("down", "list", show=False),
    ]

    more_key = "pgdn"

    def field_for(self, sign: str) -> Input | None:
        """Return the search for whatever can be sought."""
        return self.query_one(SearchField) if sign.isprintable() and sign not in LEFT else None

    def on_input_submitted(self) -> None:
        """Go on to what was found."""
        self.action_list()

    def action_search(self) -> None:
        """Type a search."""
        self.query_one(SearchField).focus()

    def action_list(self) -> None:
        """Go on to what was found: each page has its own way."""
