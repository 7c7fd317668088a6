"""The well card: what the engine shows while it runs well, one question at a time, in about three minutes."""

from __future__ import annotations

from typing import get_args

from msgspec.structs import replace
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts, well_card
from diagnose.pages.unsaved import OFFERED_AGAIN
from diagnose.pages.well_card import GO, QUESTIONS, WellQuestion
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand, Draft
from diagnose.screens.messages import CardMade
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import NO_DIGIT, Choices
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.picked_by import ENTER
from diagnose.screens.widgets.text import hung, plain
from diagnose.tune.needles import Settings
from diagnose.tune.typed import reading
from diagnose.tune.well import UNITS, Card, Squeeze, WellMeasure

SKIP_BY = ": ↓, then Enter"
LAST_CARD, CAUTION, ALL = -2, -1, len(QUESTIONS)


class Well(PageScreen[None]):
    """Asks for the readings, shows what is doubtful, and has the card stored. Back goes back one question."""

    BINDINGS = [Binding("down", "list", show=False)]

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.heading = f"Well card: {engine.name}"
        self.number = CAUTION
        """The question that is put; before the first one `LAST_CARD` and `CAUTION`, after the last one `ALL`."""
        self.last: Card | None = None
        self.trouble = ""
        self.is_stored = False
        self.values: dict[WellMeasure, float] = {}
        self.squeeze: Squeeze | None = None

    def body(self) -> ComposeResult:
        """Lay out the question, and what answers it."""
        with VerticalScroll(id="text"):
            yield Static(id="count")
            yield Static(id="ask")
            yield Static(id="told", classes="block")
        with Horizontal(id="measure"):
            yield Static(id="unit")
            yield NumberField("number")
        yield Static(id="refused")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Begin with the card that there is, else with the cautions."""
        try:
            self.last = self.session.card(self.engine.name)
        except DiagnoseError as error:
            self.trouble = str(error)
        self.number = LAST_CARD if self.last else CAUTION
        if (draft := self.at.drafts.pop(self._draft_name, None)) is not None:
            self.values = {one: float(draft.typed[one]) for one in get_args(WellMeasure) if one in draft.typed}
            self.squeeze = next((one for one in get_args(Squeeze) if one in draft.chosen), None)
            self.notify(OFFERED_AGAIN, markup=False)
        self.show()

    @property
    def _draft_name(self) -> str:
        return f"card {self.engine.name}"

    @property
    def filled(self) -> bool:
        """Say whether it holds something that is not kept."""
        return bool(self.values or self.squeeze) and not self.is_stored

    def dismiss(self, result: None = None) -> AwaitComplete:
        """Go; what was read is offered again, unless the card is kept."""
        if self.filled:
            typed = {str(one): str(value) for one, value in self.values.items()}
            self.at.drafts[self._draft_name] = Draft(typed, {self.squeeze: 0} if self.squeeze else {})
        return super().dismiss(result)

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def show(self) -> None:
        """Put the question that is due."""
        field = self.query_one(Input)
        question = self._question
        known = self.values.get(question.measure) if question and question.measure else None
        field.value = "" if known is None else f"{known:g}"
        field.action_select_all()
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
    def _question(self) -> WellQuestion | None:
        return QUESTIONS[self.number] if 0 <= self.number < ALL else None

    def _paint(self) -> None:
        width, question, sign = self.size.width - 6, self._question, ""
        if self.number == LAST_CARD and self.last is not None:
            put = well_card.last(self.last)
        elif self.number == CAUTION:
            put, sign = well_card.begin(self.session.knowledge), ENTER
        elif question is None:
            put = well_card.check(self._card())
        else:
            put = well_card.question(self.number, SKIP_BY)
            if question.measure:
                sign = NO_DIGIT
                self.query_one("#unit", Static).update(plain(f"in {UNITS[question.measure]}: "))
                self.query_one("#number", NumberField).placeholder = question.example
        self.query_one("#count", Static).update(hung("", put.above, width, "$secondary"))
        self.query_one("#ask", Static).update(hung("", put.ask, width, "bold"))
        trouble = parts.trouble(self.trouble) if self.number == CAUTION else ()
        self.tell((*trouble, *put.told))
        self.query_one(Choices).show(parts.choices(put.answers), sign=sign)

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
        self.is_stored = True
        self.dismiss(None)

    def _answer(self, question: WellQuestion, choice: str) -> None:
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
