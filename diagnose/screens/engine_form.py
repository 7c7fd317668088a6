"""A new engine: a name and three questions, in under a minute."""

from __future__ import annotations

from typing import ClassVar, Literal, get_args

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw, Starter, Variant
from diagnose.reason.view import Choice
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import Page
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.field import Field
from diagnose.screens.widgets.pick import Pick
from diagnose.screens.widgets.text import plain
from diagnose.tune.typed import hours

SAVE, SKIP = "save", "skip"

STARTERS: tuple[tuple[Starter, str], ...] = (
    ("box", "a starter box"),
    ("pull", "a pull cord"),
    ("electric", "an electric starter"),
)
SCREWS: tuple[Screw, ...] = get_args(Screw)


class EngineForm(Page[Engine]):
    """Asks for an engine, stores it, and comes to it; `first` says why it is asked before a walk."""

    heading = "A new engine"
    BINDINGS: ClassVar[list[BindingType]] = [("ctrl+s", "save", "save")]

    def __init__(self, at: AtHand, *, first: bool = False) -> None:
        super().__init__(at)
        self.first = first

    def body(self) -> ComposeResult:
        """Lay out the form."""
        with VerticalScroll(id="text"):
            if self.first:
                yield Static(Content("First, which engine is it? What can be wrong depends on it."), classes="block")
            yield Static(Content("What do you call it?"), classes="ask")
            yield Field("name", "blue truggy")
            yield Static(Content("How many needles has the carburettor?"), classes="ask")
            yield Pick(("two: low and high", "three: low, mid and high"), 1, id="needles")
            yield Static(Content("How is it started?"), classes="ask")
            yield Pick([said for _, said in STARTERS], 0, id="starter")
            yield Static(Content("Is it run in?"), classes="ask")
            yield Pick(("run in", "new, still being run in"), 0, id="age")
            yield Static(Content("What does its low screw let in?"), classes="ask")
            yield Pick(("fuel: in is leaner", "air: in is richer"), 0, id="low")
            yield Static(Content("Where its screws stand, if you have a record: hours out from closed"), classes="ask")
            for screw in SCREWS:
                with Horizontal(classes="setting"):
                    yield Static(Content(screw))
                    yield Field(_id(screw), "39, 3t 3h")
            yield Static(Content("Notes, if you like"), classes="ask")
            yield Field("notes")
        yield Static(id="refused")
        skip = [Choice(SKIP, "not now: take it as three needles, starter box, run in")] if self.first else []
        yield Choices([Choice(SAVE, "save this engine"), *skip], id="choices")

    def on_mount(self) -> None:
        """Begin with the name."""
        self.query_one("#name").focus()

    @on(Input.Submitted)
    @on(Pick.Picked)
    def _next(self) -> None:
        self.focus_next()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Save, or go on without."""
        if event.choice == SKIP:
            self.dismiss(Engine("", Variant()))
        else:
            self.action_save()

    def action_save(self) -> None:
        """Store it, or say why it can't be."""
        needles: Literal[2, 3] = 2 if self._chosen("needles") == 0 else 3
        variant = Variant(
            needles, STARTERS[self._chosen("starter")][0], self._chosen("age") == 0, self._chosen("low") == 1
        )
        at_fault = "name"
        try:
            settings: dict[Screw, float] = {}
            for screw in SCREWS:
                at_fault = _id(screw)
                if typed := self.query_one(f"#{at_fault}", Input).value.strip():
                    settings[screw] = hours(typed)
            at_fault = "name"
            name, notes = (self.query_one(f"#{field}", Input).value for field in ("name", "notes"))
            self.dismiss(self.session.add_engine(Engine(name, variant, settings, notes)))
        except DiagnoseError as error:
            self.query_one("#refused", Static).update(plain(str(error), "bold $error"))
            self.query_one(f"#{at_fault}").focus()

    def _chosen(self, question: str) -> int:
        return self.query_one(f"#{question}", Pick).chosen


def _id(screw: Screw) -> str:
    return screw.replace(" ", "-")
