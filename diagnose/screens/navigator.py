"""It alone places pages: on top, in place of the one that is there, or away again."""

from __future__ import annotations

from collections.abc import Callable
from itertools import takewhile
from typing import Any, TypeVar

from textual.app import App
from textual.geometry import Size

from diagnose.screens.messages import PageDeed
from diagnose.screens.page import PageScreen

T = TypeVar("T")


class Navigator:
    """The stack of pages, and what is told beside them."""

    def __init__(self, app: App[int], answer: Callable[[PageDeed, PageScreen[Any]], None]) -> None:
        self._app = app
        self._answer = answer

    @property
    def page(self) -> PageScreen[Any]:
        """The page on top."""
        page = self._app.screen
        assert isinstance(page, PageScreen)
        return page

    @property
    def size(self) -> Size:
        """How much of a page is in sight."""
        return self._app.size

    @property
    def floor(self) -> int:
        """How many pages stay below those of a walk: home, and the table when the walk was opened from there."""
        return sum(
            1 for _ in takewhile(lambda page: isinstance(page, PageScreen) and page.stays, self._app.screen_stack)
        )

    @property
    def at_home(self) -> bool:
        """Say whether no page of a walk is there."""
        return len(self._app.screen_stack) <= self.floor

    def open(
        self, page: PageScreen[T], then: Callable[[T], object] | None = None, left: Callable[[], object] | None = None
    ) -> None:
        """Put a page on top; `then` takes what it comes to, `left` follows when it is left without that."""

        def closed(found: T | None) -> None:
            if found is not None and then is not None:
                then(found)
            elif found is None and left is not None:
                left()

        self._app.push_screen(page, closed)

    def place(self, page: PageScreen[Any]) -> None:
        """Put a page on home, or on the table, in place of the one that is there."""
        self.clear(1)
        if len(self._app.screen_stack) > self.floor:
            self._app.switch_screen(page)
        else:
            self._app.push_screen(page)

    def clear(self, above: int = 0) -> None:
        """Take pages away, down to so many above the floor."""
        most = self.floor + above
        while len(self._app.screen_stack) > most:
            self._app.pop_screen()

    def stored(self, page: PageScreen[Any]) -> None:
        """Let a page go on whose words have been stored, unless it was left meanwhile."""
        if page is self.page:
            page.stored()

    def say(self, what: PageDeed) -> None:
        """Pass on to another flow what follows from what a person did."""
        self._answer(what, self.page)

    def tell(self, text: str, *, warning: bool = False, alone: bool = False) -> None:
        """Tell something beside the page; `alone`: what was told before is over."""
        if alone:
            self._app.clear_notifications()
        self._app.notify(text, severity="warning" if warning else "information", markup=False)

    def quit(self) -> None:
        """Leave: something has to be mended first."""
        self._app.exit(return_code=1)

    def after(self, seconds: float, do: Callable[[], object]) -> Callable[[], None]:
        """Do something later; return what stops that."""
        return self._app.set_timer(seconds, do).stop
