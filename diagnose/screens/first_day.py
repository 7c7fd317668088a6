"""First-day mode on the screen: one instruction at a time. The walk beneath it is the same as on the bench."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.pages.first_day import FirstDayPage, Portion, first_day_page, portions, terms
from diagnose.pages.mate import from_mate
from diagnose.pages.parts import Page, choices
from diagnose.reason.events import CANT_TELL
from diagnose.reason.steps import NOT_NOW
from diagnose.reason.view import Step, View
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import PageWanted, WalkHappened
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import GO_ON, Choices, rows
from diagnose.screens.widgets.rendered import rendered

AROUND, KEYS = 2, (1, 2)
"""Rows of the heading and of the line above the answers; of the keys, where there is room and where there is little."""


class FirstDay(PageScreen[None]):
    """Shows a portion of the step that is given to `put`; says what happens."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "back", "back"),
        Binding("0", "digit('0')", "I can't"),
        Binding("question_mark", "want('lead', 'unclear')", "I don't understand"),
        Binding("m", "want('walk', 'mate')", "mate"),
        Binding("f9", "want('lead', 'first day')", "everything at once"),
        Binding("c", "want('read', 'cautions')", "cautions", show=False),
        Binding("l", "app.light", "light or dark", show=False),
        Binding("escape", "leave", "home"),
    ]
    if_room = frozenset({"m", "escape", "q"})
    in_short = {"question_mark": "unclear", "f9": "all"}

    def __init__(self, at: AtHand, *, at_table: bool = False) -> None:
        super().__init__(at)
        self.at_table = at_table
        self.view: View | None = None
        self.portion = 0
        """Which portion is shown, from 0."""
        self.note = ""
        self._explained: dict[tuple[str, int], tuple[str, ...]] = {}
        """The words that each portion explains, by the step and its number: no other explains them again."""
        self._warned: dict[str, str] = {}
        """The hazard that each step names."""
        self._came_back = False

    def body(self) -> ComposeResult:
        """Lay out the text, and what can be said."""
        with VerticalScroll(id="text"):
            yield Static(id="told")
        yield Choices(id="choices")

    def put(self, view: View, step: Step) -> None:
        """Put this step; its last portion, with the question, where somebody went back to it."""
        self.view, self.step = view, step
        count = len(self._portions)
        self.portion, self._came_back = (count - 1 if self._came_back else 0), False
        self.note, self.at.note = self.at.note, ""
        if self.is_mounted:
            self._show()

    def look_again(self, view: View, step: Step) -> None:
        """Show what a mate has said of the step that is put: it stays at its portion."""
        self.view, self.step = view, step
        if self.is_mounted:
            self._paint()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        if parameters == ("walk", "mate"):
            return self.at.invite is not None
        return super().check_action(action, parameters)

    def on_mount(self) -> None:
        """Show the step before the first layout."""
        self.query_one(Choices).focus()
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    @property
    def _portions(self) -> tuple[Portion, ...]:
        assert self.step is not None
        return portions(self.step, self.session.knowledge)

    @property
    def _key(self) -> str:
        assert self.step is not None
        assert self.view is not None
        return f"{self.view.number} {self.step.kind} {self.step.id}"

    def _terms(self, step: Step, portion: Portion) -> tuple[str, ...]:
        key = self._key, portion.number
        if key not in self._explained:
            before = [name for names in self._explained.values() for name in names]
            self._explained[key] = terms(step, portion, self.session.knowledge, before)
        return self._explained[key]

    def _warning(self, step: Step) -> str:
        """Return the worst hazard of the step that none before it has named."""
        if self._key not in self._warned:
            fresh = [name for name in self.session.knowledge.cautions if name in step.cautions]
            before = {*self._warned.values(), *self.session.told}
            self._warned[self._key] = next((name for name in fresh if name not in before), "")
        return self._warned[self._key]

    def show(self) -> None:
        """Stay where it is: what was asked for can't be done."""
        self._came_back = False

    def _show(self) -> None:
        self.query_one("#text").scroll_home(animate=False)
        self.query_one(Choices).focus()
        self._paint()
        self.turned()

    def _paint(self) -> None:
        walk = self.session.walk
        if walk is None or self.view is None or self.step is None:
            return
        portion = self._portions[self.portion]
        warn = self._warning(self.step) if portion.number == 1 else ""
        explain, width = self._terms(self.step, portion), self.size.width - 4
        note = self.note if portion.number == 1 else ""
        page = first_day_page(walk, self.view, self.step, portion, explain, warn, note)
        page = page._replace(note=(*from_mate(self.at.mate_said, walk.knowledge), *page.note))
        offered, shown = choices(page.answers), self.query_one(Choices)
        room = self.size.height - AROUND - KEYS[self.tight]
        roomy = self._rows(page.text) + rows(offered, width).told <= room
        self.query_one("#heading", Static).update(Content(page.heading))
        self.tell(self._text(page, room - rows(offered, width).marked, roomy=roomy))
        shown.show(offered, roomy=roomy, width=width)
        shown.highlighted = None if portion.last else 0
        self.refresh_bindings()

    def _text(self, page: FirstDayPage, room: int, *, roomy: bool) -> Page:
        """Return what fits: where not all does, the picture still comes first if what the hands do fits below it."""
        if roomy or self._rows(page.text) <= room:
            return page.text
        needed = page._replace(more=()).brief(picture_first=True)
        return page.brief(picture_first=not page.asks and self._rows(needed) <= room)

    def _rows(self, text: Page) -> int:
        return rendered(text, self.size.width - 6).plain.count("\n") + 1

    def action_digit(self, digit: str) -> None:
        """Answer by number; 0 says that it can't be done, also where nothing is asked yet."""
        if digit == "0":
            self.turned()
            self.action_cant()
        else:
            super().action_digit(digit)

    def action_back(self) -> None:
        """Go back to the portion before, or to the step before: its answer is taken back."""
        if self.portion:
            self.portion -= 1
            self._show()
        elif self.session.asked:
            self.say(PageWanted("walk", "own step"))
        else:
            self._came_back = True
            self.say(PageWanted("lead", "back"))

    def action_cant(self) -> None:
        """Say that it can't be done: which kind of can't is asked."""
        self.say(PageWanted("lead", "stuck"))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Go on to the next portion, or answer the step."""
        walk = self.session.walk
        if event.choice == GO_ON:
            self.portion += 1
            self._show()
        elif event.choice == CANT_TELL:
            self.action_cant()
        elif event.choice == NOT_NOW:
            self.say(PageWanted("lead", "needs"))
        elif walk is not None and self.step is not None:
            self.say(WalkHappened(walk.choose(self.step, event.choice, self.session.clock())))
