"""A few questions before any check. Each may be skipped, or all of them with one key.

Where several answers may be true, a digit, a tap or Enter ticks one, and Enter goes on with those that are ticked.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.history import GO_ON_WITH_TICKED, HEADING, HistoryPage, history_page
from diagnose.pages.parts import choices
from diagnose.reason.events import SKIPPED
from diagnose.reason.view import Choice
from diagnose.screens.messages import WalkHappened
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import GO_ON, Choices
from diagnose.screens.widgets.rendered import rendered


class History(PageScreen[None]):
    """Shows the history question that is due; `show` repaints it for the next one."""

    heading = HEADING
    asked = ""
    """The question that is put."""
    ticked: frozenset[str] = frozenset()
    """The answers to it that are chosen so far."""
    BINDINGS: ClassVar[list[BindingType]] = [
        ("n", "skip_all", "skip them all"),
        ("u", "want('walk', 'take back')", "take back"),
        ("r", "to_the_list", "line by line"),
        ("f9", "want('lead', 'first day')", "one by one"),
    ]
    in_short = {"n": "skip", "r": "list"}

    def body(self) -> ComposeResult:
        """Lay out the question and its answers."""
        with VerticalScroll(id="text"):
            yield Static(id="count")
            yield Static(id="ask")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Ask the first one."""
        self.query_one(Choices).focus()
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def show(self) -> None:
        """Put the question that is due."""
        self._paint()
        self.turned()

    def _paint(self) -> None:
        walk = self.session.walk
        names = self.session.untold() if walk else ()
        if walk is None or not names:
            return
        if names[0] != self.asked:
            self.asked, self.ticked = names[0], frozenset()
        page, width = history_page(walk, names), self.size.width - 6
        self.query_one("#count", Static).update(rendered([page.which], width))
        self.query_one("#ask", Static).update(rendered([page.asked], width))
        self.query_one(Choices).show(self._boxes(page) if page.alone else choices(page.answers))

    def _boxes(self, page: HistoryPage) -> list[Choice]:
        """Return the answers with a box before each that may be ticked; once one is, going on stands for skipping."""
        last = Choice(GO_ON, GO_ON_WITH_TICKED) if self.ticked else choices(page.answers)[-1]
        boxes = [Choice(one.id, f"[{'x' if one.id in self.ticked else ' '}] {one.text}") for one in page.answers[:-1]]
        return [*boxes, last]

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Tell the answer, or tick it where others may be true as well."""
        walk, names = self.session.walk, self.session.untold()
        if walk is None or not names:
            return
        alone, chosen = history_page(walk, names).alone, event.choice
        if chosen == GO_ON:
            self._tell(names[0], self.ticked)
        elif not alone or chosen == SKIPPED or (chosen == alone and not self.ticked):
            self._tell(names[0], {chosen})
        else:
            self.ticked = frozenset() if chosen == alone else self.ticked ^ {chosen}
            self._paint()
            self.query_one(Choices).highlighted = len(history_page(walk, names).answers) - 1 if self.ticked else None

    def action_skip_all(self) -> None:
        """Skip what is left."""
        for name in self.session.untold():
            self._tell(name, ())

    def action_to_the_list(self) -> None:
        """Skip what is left, and tick what is looked at on its list; wanted first, for skipping leaves this page."""
        self.action_want("walk", "list")
        self.action_skip_all()

    def _tell(self, question: str, said: Iterable[str]) -> None:
        if self.session.walk is not None:
            self.say(WalkHappened(self.session.walk.tell(question, said, self.session.clock())))
