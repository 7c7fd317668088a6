"""What answers a page: it stores what a person did before it goes on, and says what to do when it can't."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from diagnose.errors import DiagnoseError
from diagnose.record.journal import Conflict, JournalError
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import PageDeed
from diagnose.screens.navigator import Navigator
from diagnose.screens.page import PageScreen
from diagnose.screens.trouble import Trouble
from diagnose.workshop.session import Away, NewDay

if TYPE_CHECKING:
    from diagnose.practice.table import PracticeTable


class Flow:
    """One for each thing that people do. It is imported, and its pages with it, when one of them is first wanted."""

    def __init__(self, at: AtHand, go: Navigator) -> None:
        self.at = at
        self.session = at.session
        self.go = go

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:  # noqa: ARG002 - each flow has its own
        """Answer what a page says: each flow does it in its own way."""
        raise AssertionError(f"nobody answers {what}")

    def attempt(self, do: Callable[[], object], then: Callable[[], object]) -> None:
        """Do something that stores, then go on; say what went wrong, and offer to go on without saving."""
        try:
            do()
        except (Conflict, NewDay) as told:
            self.go.tell(str(told))
        except Away:
            pass  # the page that is due now says it
        except JournalError as error:
            self.go_on_unsaved(str(error), lambda: self.attempt(do, then))
            return
        except DiagnoseError as error:
            self.go.tell(str(error), warning=True)
            return
        then()

    def go_on_unsaved(self, because: str, then: Callable[[], object]) -> None:
        """Say why nothing can be saved; then leave, or go on in memory."""

        def decided(go_on: bool) -> None:
            if not go_on:
                self.go.quit()
                return
            self.session.save_nowhere()
            then()

        self.go.open(Trouble(self.at, because), decided)

    def change_table(self, change: Callable[[PracticeTable], PracticeTable]) -> bool:
        """Change the table, or say why it can't be done."""
        try:
            self.at.table = change(self.at.table)
        except DiagnoseError as error:
            self.go.tell(str(error), warning=True)
            return False
        return True
