"""The engines: choose one, or add one."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from diagnose.graph.wording import clean
from diagnose.pages.engine import cant_be_shown
from diagnose.pages.engine import engine as shown
from diagnose.record.engines import Engine, unread
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.text import FAINT

NEW = "new"


class Engines(PageScreen[Engine]):
    """Lists the engines; comes to the one chosen."""

    heading = "Engines"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("n", "want('tune', 'new engine')", "new engine"),
        ("h", "want('tune', 'needles')", "needles"),
        ("d", "want('tune', 'day')", "day"),
        ("e", "want('car', 'page')", "car's page"),
    ]
    in_short = {"n": "new", "e": "car"}

    def body(self) -> ComposeResult:
        """Lay out the list, and the notes of the marked one."""
        yield OptionList(id="list", markup=False)
        with VerticalScroll(id="text"):
            yield Static(id="about")

    def on_mount(self) -> None:
        """Show them."""
        self.show()
        self.query_one(OptionList).focus()

    def show(self) -> None:
        """Paint the list; the first is marked until another is, so that enter chooses at once."""
        self.known = self.session.engines()
        options = [
            Option(Content.assemble((clean(one.name), "bold"), ("  " + one.variant.says(), FAINT)))
            for one in self.known.values()
        ]
        listed = self.query_one(OptionList)
        marked = listed.highlighted or 0
        lost = unread(self.session.journal)
        told = [Option(Content(cant_be_shown(lost)), disabled=True)] if lost else []
        listed.set_options([*options, Option(Content("→ a new engine"), id=NEW), *told])
        listed.highlighted = min(marked, len(options))

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the notes and the recorded settings."""
        self.about = None if event.option.id == NEW else list(self.known.values())[event.option_index]
        self.tell(shown(self.about) if self.about else (), "about")
        self.refresh_bindings()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Choose one, or add one."""
        if event.option.id == NEW:
            self.action_want("tune", "new engine")
        else:
            self.dismiss(list(self.known.values())[event.option_index])

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer the needles, the day and the page of an engine that is marked."""
        return action != "want" or parameters[1] not in ("needles", "day", "page") or self.about is not None
