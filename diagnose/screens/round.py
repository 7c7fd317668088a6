"""A round: one key ticks the line at hand as it should be and goes on, one opens it with its answers."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.geometry import Size
from textual.widgets import Static

from diagnose.pages.mate import from_mate
from diagnose.pages.parts import choices
from diagnose.pages.round import SOUND, RoundPage, round_page
from diagnose.reason.events import Answered
from diagnose.screens.messages import WalkHappened
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.rendered import rendered
from diagnose.screens.widgets.text import plain

AROUND = 9
"""Rows of the window that the list can't have."""


def has_room(page: RoundPage, size: Size) -> bool:
    """Say whether all of a list is in sight, with what is to be read on it."""
    return rendered(page.lines, size.width - 6).plain.count("\n") < size.height - AROUND


class RoundList(PageScreen[str]):
    """Lists what is looked at in one go; comes to the check that is to be opened."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "want('walk', 'take back')", "take back"),
        Binding("t", "want('walk', 'time')", "time"),
        Binding("m", "want('walk', 'mate')", "mate's phone"),
    ]

    def body(self) -> ComposeResult:
        """Lay out the list, and what can be said of the line at hand."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.show()
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.show()

    def show(self) -> None:
        """Paint the list as it is now: another line is at hand after each tick."""
        walk = self.session.walk
        assert walk is not None
        step = self.session.step()
        self._new = self.session.new_cautions(step)
        page = round_page(walk, walk.view(self.session.clock()), step, self._new)
        if page is None:
            return
        self.query_one("#heading", Static).update(plain(page.heading))
        self.query_one("#told", Static).update(
            rendered((*from_mate(self.at.mate_said, walk.knowledge), *page.lines), self.size.width - 6)
        )
        self.query_one(Choices).show(choices(page.answers))
        self._check, self._healthy = page.check, page.healthy

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Offer a key only where it does something."""
        return parameters != ("walk", "mate") or self.at.invite is not None

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Tick the line at hand, or open it: what was new to beware of has stood there meanwhile."""
        self.session.has_read(self._new)
        if event.choice != SOUND:
            self.dismiss(self._check)
            return
        self.turned()
        self.say(WalkHappened(Answered(self.session.clock(), self._check, self._healthy)))
