"""The well card: what the engine shows while it runs well, one question at a time, in about three minutes."""

from __future__ import annotations

from typing import get_args

from msgspec.structs import replace
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts, well_card
from diagnose.pages.dates import day
from diagnose.pages.well_card import QUESTIONS, SQUEEZES, Question
from diagnose.reason.events import SKIPPED
from diagnose.reason.view import Choice
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import CardMade
from diagnose.screens.page import Page
from diagnose.screens.widgets.choices import ENTER, NO_DIGIT, Choices
from diagnose.screens.widgets.field import Field
from diagnose.screens.widgets.text import hung, plain
from diagnose.tune.needles import Settings
from diagnose.tune.typed import reading
from diagnose.tune.well import UNITS, Card, Measure, Squeeze

GO = "go"
LAST_CARD, CAUTION, ALL = -2, -1, len(QUESTIONS)


class Well(Page[None]):
    """Asks for the readings, shows what is doubtful, and has the card stored. Back goes back one question."""

    BINDINGS = [Binding("down", "list", show=False)]

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.heading = f"Well card: {engine.name}"
        self.number = CAUTION
        """The question that is put; before the first one `LAST_CARD` and `CAUTION`, after the last one `ALL`."""
        self.last: Card | None = None
        self.trouble = ""
        self.values: dict[Measure, float] = {}
        self.squeeze: Squeeze | None = None

    def body(self) -> ComposeResult:
        """Lay out the question, and what answers it."""
        with VerticalScroll(id="text"):
            yield Static(id="count")
            yield Static(id="ask")
            yield Static(id="told", classes="block")
        with Horizontal(id="measure"):
            yield Static(id="unit")
            yield Field("number")
        yield Static(id="refused")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Begin with the card that there is, else with the cautions."""
        try:
            self.last = self.session.card(self.engine.name)
        except DiagnoseError as error:
            self.trouble = str(error)
        self.number = LAST_CARD if self.last else CAUTION
        self.show()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def show(self) -> None:
        """Put the question that is due."""
        field = self.query_one(Input)
        field.clear()
        question = self._question
        self.query_one("#measure").display = bool(question and question.measure)
        self.query_one("#refused", Static).update(Content(""))
        self.query_one("#text").scroll_home(animate=False)
        choices = self.query_one(Choices)
        choices.highlighted = None
        (field if question and question.measure else choices).focus()
        self._paint()
        if self.number == CAUTION:
            choices.highlighted = 0
        self.turned()

    @property
    def _question(self) -> Question | None:
        return QUESTIONS[self.number] if 0 <= self.number < ALL else None

    def _paint(self) -> None:
        width, question, sign = self.size.width - 6, self._question, ""
        shown: parts.Page
        if self.number == LAST_CARD and self.last is not None:
            count, ask = f"noted {day(self.last.at)}", "Its own normal, when it ran well"
            shown = well_card.held(self.last)
            choices = [Choice(GO, "note a new card"), Choice("no", "leave it")]
        elif self.number == CAUTION:
            count, ask = "about three minutes", "Before you begin"
            shown = (*parts.trouble(self.trouble), *well_card.before(self.session.knowledge))
            choices, sign = [Choice(GO, "I have read this: begin")], ENTER
        elif question is None:
            count, ask, shown = "that is all", "Is this the card?", well_card.made(self._card())
            choices = [Choice(GO, "yes, keep this card"), Choice("no", "no, ask me again")]
        else:
            by_keys = ": ↓, then Enter" if question.measure else ""
            count, ask = f"question {self.number + 1} of {ALL} · you may skip it{by_keys}", question.ask
            shown = well_card.asked(question)
            choices = [] if question.measure else [Choice(one, SQUEEZES[one]) for one in get_args(Squeeze)]
            choices.append(Choice(SKIPPED, "skip this question"))
            if question.measure:
                sign = NO_DIGIT
                self.query_one("#unit", Static).update(plain(f"in {UNITS[question.measure]}: "))
                self.query_one("#number", Field).placeholder = question.example
        self.query_one("#count", Static).update(hung("", count, width, "$secondary"))
        self.query_one("#ask", Static).update(hung("", ask, width, "bold"))
        self.tell(shown)
        self.query_one(Choices).show(choices, sign=sign)

    def number_field(self) -> Input | None:
        """Return the field for a reading, where one is asked for."""
        return self.query_one(Input) if self._question is not None and self._question.measure else None

    def _card(self) -> Card:
        """Return the card as answered, with the screws of the ledger, and the day and the fuel as noted."""
        settings: Settings = self.read_or(lambda: self.session.ledger(self.engine.name).now, {})
        return Card(
            self.session.clock(),
            self.values.get("idle gap"),
            self.values.get("pinch"),
            self.values.get("idle hold"),
            self.values.get("tank run"),
            self.squeeze,
            settings,
            replace(self.noted(), head=self.values.get("head")),
        )

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take a reading, or say why it can't be."""
        question = self._question
        if question is None or question.measure is None:
            return
        try:
            self.values[question.measure] = reading(event.value, question.measure)
        except DiagnoseError as error:
            self.query_one("#refused", Static).update(plain(f"! {error}", "bold $error"))
            return
        self._go(1)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Begin, answer, skip, keep the card, or ask again."""
        question = self._question
        if question is not None:
            self._answer(question, event.choice)
        elif self.number < ALL and event.choice == GO:
            self._go(1)
        elif self.number < ALL:
            self.dismiss(None)
        elif event.choice == GO:
            self.say(CardMade(self.engine.name, self._card()))
        else:
            self._go(-ALL)

    def stored(self) -> None:
        """Leave: the card is kept."""
        self.dismiss(None)

    def _answer(self, question: Question, choice: str) -> None:
        if question.measure is None:
            self.squeeze = next((one for one in get_args(Squeeze) if one == choice), None)
        else:
            self.values.pop(question.measure, None)  # there is nothing to choose there but to skip it
        self._go(1)

    def _go(self, questions: int) -> None:
        self.number += questions
        self.show()

    def action_leave(self) -> None:
        """Go back one question, and leave from before the first one."""
        if self.number > CAUTION:
            self._go(-1)
        else:
            self.dismiss(None)

    def action_list(self) -> None:
        """Go on from the field to what may be chosen."""
        self.query_one(Choices).focus()
        self.query_one(Choices).action_first()
