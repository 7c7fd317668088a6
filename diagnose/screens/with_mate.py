"""A mate ticks on a phone: he is let in, the bench follows what he sends, and it ends with the walk."""

from __future__ import annotations

from collections.abc import Callable

from diagnose.errors import DiagnoseError
from diagnose.pages.mate import ENDED
from diagnose.screens.at_hand import AtHand
from diagnose.screens.mate import Mate
from diagnose.screens.navigator import Navigator
from diagnose.workshop.mate import DriversBench, MateSaid

AT_ONCE = 0.01
"""Seconds until the app's own task goes on: what a phone sends comes in a task of the server."""
SOON = 0.2
"""Seconds between looks whether the walk is in sight again, while a page that is read stands before it."""


class WithMate:
    """Lets a mate in and follows him; `turn` shows where the walk is."""

    def __init__(self, at: AtHand, go: Navigator, turn: Callable[[], None], in_sight: Callable[[], bool]) -> None:
        self.at, self.go, self.turn, self.in_sight = at, go, turn, in_sight
        self.session = at.session

    def show(self) -> None:
        """Show how a mate comes in; he is let in from now on."""
        if self.at.invite is None:
            return
        if self.at.mate is None:
            try:
                self.at.mate = self.at.invite(DriversBench(self.session, self._said, lambda: self.at.first_day))
            except DiagnoseError as error:
                self.go.tell(str(error), warning=True)
                return
        self.go.open(Mate(self.at, self.at.mate), lambda _: self.end())

    def end(self) -> None:
        """Let nobody in any more."""
        if self.at.mate is not None:
            self.at.mate.end()
            self.at.mate, self.at.mate_said = None, None
            self.go.tell(ENDED)

    def answered(self) -> None:
        """Let go what the mate has said: the driver has answered since. That a look is not so stays until it is his."""
        walk, said = self.session.walk, self.at.mate_said
        step = walk.step(self.session.clock()) if walk is not None else None
        if said is not None and (said.so or step is None or step.id != said.check):
            self.at.mate_said = None
        self.moved()

    def moved(self) -> None:
        """Tell the phones that the walk has moved on; it ends with the walk, and when another is at hand."""
        if self.at.mate is None:
            return
        walk = self.session.walk
        if walk is None or self.session.outing != self.at.mate.outing or walk.verdict() is not None:
            self.end()
            return
        self.at.mate.moved()

    def _said(self, said: MateSaid) -> None:
        self.at.mate_said = said
        self.go.after(AT_ONCE, self._follow)

    def _follow(self) -> None:
        """Show what the mate has done, as soon as the walk is in sight: a page that is read is not taken away."""
        if self.at.mate is None or self.session.outing != self.at.mate.outing:
            return
        self.session.catch_up()
        if self.go.at_home:
            return
        if not self.in_sight():
            self.go.after(SOON, self._follow)
            return
        self.turn()
