"""Answer another: every check that could be answered now, unasked, and what else it does."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from diagnose.reason.explain import others
from diagnose.screens.page import Page
from diagnose.screens.widgets.field import Field
from diagnose.screens.widgets.text import plain


class Another(Page[str]):
    """Lists checks by name, with a search; comes to the id of the one chosen, or to that of another symptom."""

    heading = "Answer another check"
    BINDINGS: ClassVar[list[BindingType]] = [("slash", "search", "search"), ("down", "list", "")]

    def body(self) -> ComposeResult:
        """Lay out the search and the list."""
        walk = self.session.walk
        assert walk is not None
        self.known = [(choice.id, choice.say) for choice in others(walk)]
        yield Field("search", "type to search")
        yield OptionList(id="list", markup=False)

    def on_mount(self) -> None:
        """Show them all."""
        self._list("")
        self.query_one(OptionList).focus()

    def _list(self, sought: str) -> None:
        found = [(key, name) for key, name in self.known if sought.casefold() in name.casefold()]
        self.query_one(OptionList).set_options(Option(plain(name), id=key) for key, name in found)

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
        """Answer this one."""
        self.dismiss(event.option.id)
