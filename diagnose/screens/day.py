"""The day and the fuel: typed as people write them, and what they ask of the needles."""

from __future__ import annotations

from typing import get_args

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.reason.view import Choice
from diagnose.record.engines import Engine
from diagnose.screens.form import SAVE, Form
from diagnose.screens.messages import DayNoted
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.filled import Filled
from diagnose.screens.widgets.pick import Pick
from diagnose.screens.widgets.text import clock, hung, lines, plain
from diagnose.tune import told
from diagnose.tune.mixture import Conditions
from diagnose.tune.typed import Field, Typed, as_typed, day

FIELDS: tuple[Field, ...] = get_args(Field)
ASKED: dict[Field, tuple[str, str]] = {
    "temperature": ("temperature", "31C, or 88 F"),
    "humidity": ("humidity", "55 %"),
    "pressure": ("pressure", "1004hPa, 29.92inHg"),
    "elevation": ("elevation", "120m, or 400 ft"),
    "nitro": ("nitro, by volume", "25 %"),
    "oil": ("oil, by volume", "12 %"),
}
FIGURES = (
    "the sea-level figure, as a phone shows it: give the elevation too",
    "what a barometer at the track shows (station pressure)",
)
FIRST = "Nothing is noted of this day yet. Type what you know, and leave out what you don't."
NOTHING_TO_COMPARE = (
    "There is no good tune to compare with: mark one good, with its day and its fuel. From then on this page says what "
    "the day asks of the high needle, and what is left unexplained."
)
BY_GOING_BACK = "Going back, on the page of the needles, does this step by step."
NO_ENGINE = "No engine is chosen, so that there is no tune to compare with."
HEADING = "bold $primary"


class DayPage(Form[None]):
    """Asks for the day and the fuel, has them stored, and shows what they come to."""

    heading = "The day and the fuel"

    def __init__(self, engine: Engine | None) -> None:
        super().__init__()
        self.engine = engine
        self.kept = 0.0
        """When this page had something stored, in seconds since the epoch."""

    def body(self) -> ComposeResult:
        """Lay out the form, and what it comes to below it."""
        known = self._known()
        with VerticalScroll(id="text"):
            yield Static(id="noted", classes="block")
            for field, (asked, hint) in ASKED.items():
                yield Filled(field, asked, hint, str(getattr(known, field)))
                if field == "pressure":
                    yield Static(Content("which pressure is that?"))
                    yield Pick(FIGURES, 0 if known.sea_level else 1, id="figure")
            yield Static(id="told", classes="block")
        yield Static(id="refused")
        choices = [Choice(SAVE, "this is the day: keep it, and show what it asks for"), Choice("no", "leave it")]
        yield Choices(choices, id="choices")

    def on_mount(self) -> None:
        """Begin with the first field."""
        self.query_one(f"#{FIELDS[0]}").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    @property
    def _whose(self) -> str:
        return self.engine.name if self.engine else ""

    def _known(self) -> Typed:
        try:
            now = self.session.conditions(self._whose)
            return as_typed(now.air, now.fuel, self.session.days().elevation)
        except DiagnoseError:
            return Typed()

    def save(self) -> None:
        """Have it stored, or say beside each field why it can't be."""
        found = day(Typed(**{field: self.typed(field) for field in FIELDS}, sea_level=self.chosen("figure") == 0))
        for field, why in reversed(found.problems.items()):
            self.refuse(why, field)
        if found.problems:
            return
        if found.air is None and found.fuel is None:
            self.refuse("Nothing is typed.", FIELDS[0])
            return
        self.post_message(DayNoted(found, self._whose, self._shown))

    def _shown(self) -> None:
        self.kept = self.session.clock()
        self._paint()
        self.query_one("#told").scroll_visible(top=True, animate=False)
        self.query_one(Choices).focus()

    def _paint(self) -> None:
        width = self.size.width - 6
        try:
            now = self.session.conditions(self._whose)
            shown = [*self._air_and_fuel(now, width), *self._asked(width)]
        except DiagnoseError as error:
            now, shown = Conditions(), [hung("! ", str(error), width, "bold $error")]
        noted = ", ".join(told.conditions(now))
        self.query_one("#noted", Static).update(hung("", f"Noted: {noted}." if noted else FIRST, width, "$secondary"))
        self.query_one("#told", Static).update(lines(shown))

    def _air_and_fuel(self, now: Conditions, width: int) -> list[Content]:
        kept = [f"saved {clock(self.kept)}" if self.session.journal.saved else "not saved"] if self.kept else []
        shown = [Content(""), *(plain(one, "$secondary") for one in kept)]
        for title, said in (
            ("the air", told.density(now.air) if now.air else ()),
            ("the fuel", (told.blend(now.fuel),) if now.fuel else ()),
        ):
            if said:
                shown += [plain(title, HEADING), *(hung("· ", one, width) for one in said), Content("")]
        return shown

    def _asked(self, width: int) -> list[Content]:
        found = self.session.explained(self._whose) if self._whose else None
        advice = self.session.advice(self._whose) if self._whose else None
        if found is None or advice is None:
            return [hung("", NOTHING_TO_COMPARE if self._whose else NO_ENGINE, width, "$secondary")]
        shown = [plain("what they ask of the high needle, against the last good tune", HEADING)]
        shown += [hung("· ", one, width) for one in told.asked(found)]
        shown += [hung("· ", found.why, width), Content(""), plain("the drift", HEADING)]
        shown += [hung("· ", one, width) for one in told.drift(found)]
        shown += [Content(""), plain("what to do", HEADING), hung("→ ", told.advice(advice), width, "bold")]
        shown += [hung("→ ", BY_GOING_BACK, width)] if advice.before_start else []
        shown += [Content(""), plain("what is assumed", HEADING)]
        return [*shown, *(hung("· ", one, width, "$secondary") for one in found.assumptions)]
