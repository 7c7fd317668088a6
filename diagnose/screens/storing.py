"""An app that stores what happens before it goes on, and says what to do when it can't."""

from __future__ import annotations

from collections.abc import Callable

from diagnose.errors import DiagnoseError
from diagnose.record.journal import Conflict, JournalError
from diagnose.screens.reading import Reading
from diagnose.workshop.session import Away, NewDay


class Storing(Reading):
    """Stores first, then goes on."""

    def attempt(self, do: Callable[[], object], then: Callable[[], None]) -> None:
        """Do something that stores, then go on; say what went wrong, and offer to go on without saving."""
        try:
            do()
        except (Conflict, NewDay) as told:
            self.notify(str(told), markup=False)
        except Away:
            pass  # the page that is due now says it
        except JournalError as error:
            self.go_on_unsaved(str(error), lambda: self.attempt(do, then))
            return
        except DiagnoseError as error:
            self.notify(str(error), severity="warning", markup=False)
            return
        then()

    def go_on_unsaved(self, because: str, then: Callable[[], None]) -> None:
        """Say why nothing can be saved; then leave, or go on in memory."""
        from diagnose.screens.trouble import Trouble

        def decided(go_on: bool | None) -> None:
            if not go_on:
                self.exit(return_code=1)
                return
            self.session.save_nowhere()
            then()

        self.push_screen(Trouble(because), decided)
