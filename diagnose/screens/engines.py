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
from diagnose.pages.engine import engine as told
from diagnose.record.engines import Engine
from diagnose.screens.page import Page

NEW = "new"


class Engines(Page[Engine]):
    """Lists the engines; comes to the one chosen."""

    heading = "Engines"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("n", "new", "new engine"),
        ("h", "needles", "needles"),
        ("d", "day", "day"),
    ]

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
            Option(Content.assemble((clean(one.name), "bold"), ("  " + one.variant.says(), "$secondary")))
            for one in self.known.values()
        ]
        listed = self.query_one(OptionList)
        marked = listed.highlighted or 0
        listed.set_options([*options, Option(Content("→ a new engine"), id=NEW)])
        listed.highlighted = min(marked, len(options))

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the notes and the recorded settings."""
        new = event.option.id == NEW
        self.tell(() if new else told(list(self.known.values())[event.option_index]), "about")
        self.refresh_bindings()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Choose one, or add one."""
        if event.option.id == NEW:
            self.action_new()
        else:
            self.dismiss(list(self.known.values())[event.option_index])

    @property
    def _marked(self) -> Engine | None:
        marked = self.query_one(OptionList).highlighted if self.is_mounted else None
        return list(self.known.values())[marked] if marked is not None and marked < len(self.known) else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Offer the needles and the day of an engine that is marked."""
        return action not in ("needles", "day") or self._marked is not None

    def action_needles(self) -> None:
        """Open the needles of the marked engine."""
        if (engine := self._marked) is not None:
            self.main.open_needles(engine)

    def action_day(self) -> None:
        """Open the day, for the marked engine."""
        self.main.open_day(self._marked)

    def action_new(self) -> None:
        """Add one, and choose it."""
        from diagnose.screens.engine_form import EngineForm

        def made(engine: Engine | None) -> None:
            if engine is not None:
                self.dismiss(engine)

        self.main.push_screen(EngineForm(), made)
