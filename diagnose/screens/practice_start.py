"""Choose what to practise: a lesson, an engine drawn at random, a fault that a mentor hides; or sit at a real car."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Input, OptionList, Static

from diagnose.errors import DiagnoseError
from diagnose.graph.say import say
from diagnose.graph.wording import clean
from diagnose.practice import setting
from diagnose.practice.happenings import Begun
from diagnose.screens.listing import ListEntry, Listing, options
from diagnose.screens.page import Page
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.text import hung
from diagnose.workshop.learners import learners, nickname

Begin = Callable[[str], Begun]
"""Sets an engine from a seed."""
RANDOM, TWO, HIDDEN, REAL, LEFT = "random", "two", "hidden", "real", "left"
LESSON = "lesson/"


class PracticeStart(Page[None]):
    """Lists lessons and other ways to begin; asks for a nickname, and seats the learner."""

    heading = "Practice: what do you want to work on?"

    def body(self) -> ComposeResult:
        """Lay out the list, and what the marked lesson is about."""
        yield OptionList(id="list", markup=False)
        yield Static(id="about")

    def on_mount(self) -> None:
        """Show the list."""
        lessons = self.session.knowledge.lessons
        kept = learners(self.session.journal)
        entries = [
            *([ListEntry("", "not finished"), ListEntry(LEFT, "go on with what you left")] if kept else []),
            *([ListEntry("", "lessons")] if lessons else []),
            *(ListEntry(LESSON + key, one.name) for key, one in lessons.items()),
            ListEntry("", "without a lesson"),
            ListEntry(RANDOM, "an engine with something wrong"),
            ListEntry(TWO, "an engine with two things wrong"),
            ListEntry(HIDDEN, "a mentor hides a fault; the learner looks away"),
            ListEntry("", "at the table"),
            ListEntry(REAL, "a real car, beside the others"),
        ]
        listed = self.query_one(OptionList)
        listed.set_options(options(entries))
        listed.focus()
        listed.action_first()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Say what the marked lesson is about."""
        lesson = self.session.knowledge.lessons.get((event.option.id or "").removeprefix(LESSON))
        told = hung("", say(lesson.text, self.session.knowledge), self.size.width - 4) if lesson else ""
        self.query_one("#about", Static).update(told)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Begin with this."""
        known, chosen = self.session.knowledge, event.option.id or ""
        if chosen == HIDDEN:
            self._hide()
        elif chosen == REAL:
            self.main.seat_car()
        elif chosen == LEFT:
            self._named(lambda name: self.main.offer(name, None))
        elif chosen.startswith(LESSON):
            self._begin(lambda _: setting.from_lesson(known, chosen.removeprefix(LESSON)))
        else:
            self._begin(lambda seed: setting.drawn(known, seed, 2 if chosen == TWO else 1))

    def _begin(self, begin: Begin) -> None:
        """Ask for the nickname, and seat the learner; what was left unfinished is offered first."""
        main = self.main
        self._named(lambda name: main.offer(name, lambda: main.practise(begin, name)))

    def _named(self, do: Callable[[str], None]) -> None:
        self.app.push_screen(Nickname(), lambda name: do(name) if name is not None else None)

    def _hide(self) -> None:
        """Let a mentor choose a symptom, and then a fault that explains it."""
        known = self.session.knowledge
        symptoms = [ListEntry(key, one.name) for key, one in known.symptoms.items()]

        def with_symptom(symptom: str | None) -> None:
            if symptom is None:
                return
            faults = sorted(
                (ListEntry(key, fault.name) for key, fault in known.faults.items() if symptom in fault.explains),
                key=lambda entry: entry.say,
            )

            def with_fault(fault: str | None) -> None:
                if fault is not None:
                    self._begin(lambda seed: setting.hidden(known, symptom, fault, seed))

            self.app.push_screen(Listing("For the mentor: which fault?", faults), with_fault)

        self.app.push_screen(Listing("For the mentor: what does it do?", symptoms), with_symptom)


class Nickname(Page[str]):
    """Asks for a nickname, and for nothing else. Left empty, nothing is kept."""

    heading = "Who works at it?"

    def body(self) -> ComposeResult:
        """Lay out the field."""
        with VerticalScroll(id="text"):
            yield Static("A nickname is enough. Leave it empty, and nothing is kept.", classes="ask", markup=False)
        yield NumberField("number", "nickname")
        yield Static(id="refused")

    def on_mount(self) -> None:
        """Type at once."""
        self.query_one(Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the nickname, or say what is wrong with it."""
        try:
            self.dismiss(nickname(event.value) if event.value.strip() else "")
        except DiagnoseError as error:
            event.input.value = clean(event.value)
            self.query_one("#refused", Static).update(hung("", f"{error}.", 60))
