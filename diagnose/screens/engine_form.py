"""A new engine: a name and three questions, in under a minute."""

from __future__ import annotations

from typing import Literal

from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw, Variant
from diagnose.graph.model.parts import SCREWS
from diagnose.pages import parts
from diagnose.pages.engine import SKIP, STARTERS, field, new_engine
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.form import FormScreen
from diagnose.screens.widgets.asking import asking
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.text import plain
from diagnose.tune.typed import hours


class EngineForm(FormScreen[Engine]):
    """Asks for an engine, stores it, and comes to it; `first` says why it is asked before a walk."""

    def __init__(self, at: AtHand, *, first: bool = False) -> None:
        super().__init__(at)
        self.page = new_engine(first=first)
        self.heading = self.page.heading

    def body(self) -> ComposeResult:
        """Lay out the form."""
        with VerticalScroll(id="text"):
            for part in self.page.asked:
                if isinstance(part, parts.Field) and part.text:
                    with Horizontal(classes="setting"):
                        yield Static(plain(part.text))
                        yield NumberField(part.id, part.hint)
                else:
                    yield from asking([part], chosen={"needles": 1})
        yield Static(id="refused")
        yield Choices(parts.choices(self.page.answers), id="choices")

    def on_mount(self) -> None:
        """Begin with the name."""
        self.query_one("#name").focus()

    def choose(self, choice: str) -> None:
        """Save, or go on without."""
        if choice == SKIP:
            self.dismiss(Engine("", Variant()))
        else:
            self.action_save()

    def save(self) -> None:
        """Store it, or say why it can't be."""
        needles: Literal[2, 3] = 2 if self.chosen("needles") == 0 else 3
        variant = Variant(
            needles, (*STARTERS, "box")[self.chosen("starter")], self.chosen("age") != 1, self.chosen("low") == 1
        )
        at_fault = "name"
        try:
            settings: dict[Screw, float] = {}
            for screw in SCREWS:
                at_fault = field(screw)
                if typed := self.query_one(f"#{at_fault}", Input).value.strip():
                    settings[screw] = hours(typed)
            at_fault = "name"
            name, notes = (self.query_one(f"#{field}", Input).value for field in ("name", "notes"))
            made = self.session.add_engine(Engine(name, variant, settings, notes))
            self.forget()
            self.dismiss(made)
        except DiagnoseError as error:
            self.query_one("#refused", Static).update(plain(str(error), "bold $error"))
            self.query_one(f"#{at_fault}").focus()
