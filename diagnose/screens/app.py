"""The terminal UI: what is it doing, then one question at a time, with the suspects and what is owed beside it."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path

from textual import on
from textual.app import App, ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen, Screen
from textual.widgets import Footer, OptionList, Static
from textual.widgets.option_list import Option

from diagnose.errors import DiagnoseError
from diagnose.graph.load import load
from diagnose.reason.view import Choice, Step, View
from diagnose.record.journal import Journal, home
from diagnose.session import Session

CSS = """
#side { width: 34; border-left: solid $panel; padding: 0 1; }
#ask { padding: 0 1; height: auto; }
#how { padding: 0 1; height: auto; }
#text { height: 1fr; }
OptionList { height: auto; max-height: 60%; }
.narrow #side { display: none; }
Now { align: center middle; }
Now VerticalScroll { width: 90%; height: 90%; border: heavy $error; padding: 1; background: $surface; }
"""


class Now(ModalScreen[None]):
    """Something is wrong: what to do now. It asks nothing."""

    BINDINGS = [("escape", "dismiss", "back"), ("q", "dismiss", "back")]

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session

    def compose(self) -> ComposeResult:
        """Show every caution that says what to do now."""
        with VerticalScroll():
            for caution in self.session.knowledge.cautions.values():
                if caution.now:
                    steps = "\n".join(f"  {number}. {step}" for number, step in enumerate(caution.now, 1))
                    yield Static(Content(f"{caution.name.upper()}\n{steps}\n"))
            yield Static(Content("Escape goes back."))


class Home(Screen[None]):
    """The first question: what is it doing."""

    BINDINGS = [("exclamation_mark", "app.now", "something is wrong"), ("q", "app.quit", "leave")]

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session

    def compose(self) -> ComposeResult:
        """List the symptoms by when they happen, the open outing first."""
        yield Static(Content("What is it doing?"), id="ask")
        options = [
            Option(Content(f"go on: {outing.walk.view(0).symptom_name}, {outing.id}"), id=f"open/{outing.id}")
            for outing in self.session.open_outings()[:1]
        ]
        symptoms = sorted(self.session.knowledge.symptoms.items(), key=lambda pair: (pair[1].when, pair[1].name))
        options += [Option(Content(f"{one.when}: {one.name}"), id=f"new/{name}") for name, one in symptoms]
        yield OptionList(*options)
        yield Footer()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        what, _, name = str(event.option.id).partition("/")
        if what == "open":
            self.session.resume(name)
        else:
            self.session.start(name)
        self.app.push_screen(Bench(self.session))


class Bench(Screen[None]):
    """One question, its answers, what it could be, and what is owed before a needle."""

    HORIZONTAL_BREAKPOINTS = [(0, "narrow"), (70, "wide")]
    BINDINGS = [
        ("exclamation_mark", "app.now", "something is wrong"),
        ("u", "take_back", "take back"),
        ("escape", "app.pop_screen", "home"),
        ("q", "app.quit", "leave"),
    ]

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session

    def compose(self) -> ComposeResult:
        """Lay out the question and the side."""
        with Horizontal():
            with VerticalScroll(id="text"):
                yield Static(id="ask")
                yield Static(id="how")
                yield OptionList(id="choices")
            yield Static(id="side")
        yield Footer()

    def on_mount(self) -> None:
        """Paint the first question."""
        self._paint()

    def _paint(self) -> None:
        walk = self.session.walk
        assert walk is not None
        view = walk.view(self.session.clock())
        self.query_one("#side", Static).update(Content(side(view)))
        choices = self.query_one("#choices", OptionList)
        choices.clear_options()
        if view.step is None:
            ended = view.verdict
            told = f"{ended.outcome}: {ended.because}" if ended else ""
            self.query_one("#ask", Static).update(Content(told))
            self.query_one("#how", Static).update(Content("Escape goes home."))
            return
        self.query_one("#ask", Static).update(Content(view.step.ask))
        self.query_one("#how", Static).update(Content(self._how(view.step)))
        choices.add_options(Option(Content(_line(n, one)), id=one.id) for n, one in enumerate(view.step.choices, 1))
        choices.highlighted = 0
        choices.focus()

    def _how(self, step: Step) -> str:
        cautions = self.session.knowledge.cautions
        lines = [f"! {cautions[name].name}: {cautions[name].say}" for name in step.cautions]
        lines += [f"{number}. {one}" for number, one in enumerate(step.how, 1)]
        return "\n".join([*lines, "", step.why])

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        walk = self.session.walk
        assert walk is not None
        now = self.session.clock()
        step = walk.step(now)
        if step is not None:
            self._record(lambda: self.session.record(walk.choose(step, str(event.option.id), now)))

    def action_take_back(self) -> None:
        """Take the newest answer back."""
        walk = self.session.walk
        back = walk.take_back(self.session.clock()) if walk is not None else None
        if back is None:
            self.notify("That was done to the engine: undo it there first.", markup=False)
        else:
            self._record(lambda: self.session.record(back))

    def _record(self, write: Callable[[], object]) -> None:
        try:
            write()
        except DiagnoseError as error:
            self.notify(str(error), severity="error", markup=False)
        self._paint()


class NeedlesLast(App[None]):
    """The program."""

    CSS = CSS
    TITLE = "needles last"

    def __init__(self, session: Session, begun: bool = False) -> None:
        super().__init__()
        self.session = session
        self.begun = begun
        self.theme = "textual-light"

    def on_mount(self) -> None:
        """Open home, and the bench on top when a walk was begun from the command line."""
        self.push_screen(Home(self.session))
        if self.begun:
            self.push_screen(Bench(self.session))

    def action_now(self) -> None:
        """Show what to do when something is wrong."""
        self.push_screen(Now(self.session))


def side(view: View) -> str:
    """Return what stands beside the question: the suspects in words, and what is owed."""
    lines = ["what it could be"]
    lines += [f"{one.name} {'▇' * max(1, round(one.share * 10))} {one.word}" for one in view.suspects[:6]]
    lines += ["", "owed before a needle"]
    lines += [f"○ {one.name} {one.minutes:g} min" for one in view.owed]
    return "\n".join([*lines, "", "needles: locked" if view.locks else "needles: open"])


def _line(number: int, choice: Choice) -> str:
    return f"{number}  {choice.say}"


def run(overlays: Sequence[Path] = (), symptom: str | None = None, engine: str | None = None) -> int:
    """Open the UI, at a symptom when one is named; raises `DiagnoseError` when knowledge or journal can't be used."""
    cache = None if "DIAGNOSE_HOME" not in os.environ else home() / "cache"
    with Journal.open(home() / "journal.sqlite3") as journal:
        made = Session(load(overlays, cache=cache), journal)
        if symptom is not None:
            made.start(symptom, made.engine(engine) if engine else None)
        NeedlesLast(made, begun=symptom is not None).run()
    return 0
