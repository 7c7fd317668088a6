"""The flow of looking back: the walks that were made, and what can be done with one of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from diagnose.graph.wording import capital
from diagnose.pages import outing as pages
from diagnose.pages.home import WALKS
from diagnose.pages.parts import choices
from diagnose.record.index import Row
from diagnose.record.notes import note_outing
from diagnose.screens.asked import Asked
from diagnose.screens.flow import Flow
from diagnose.screens.listing import Listing
from diagnose.screens.messages import PageDeed, PageWanted, Resumed
from diagnose.screens.note_form import NoteForm
from diagnose.screens.page import PageScreen
from diagnose.screens.replay import Replay
from diagnose.screens.widgets.entries import ListEntry
from diagnose.workshop.deleting import Gone, delete
from diagnose.workshop.looked_back import LookedBack, looked_back
from diagnose.workshop.sought import WalkSought, find

T = TypeVar("T")

MOST = 40
"""Walks that are listed at once; a search looks at all of them."""


class LookingBack(Flow):
    """Lists walks, and opens one."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:  # noqa: ARG002 - one page says it
        """Do what follows."""
        match what:
            case PageWanted(_, "list"):
                self._list()

    def _list(self) -> None:
        listed = self._lines(find(self.session, WalkSought()))
        page = Listing(self.at, capital(WALKS), listed, find=self._sought)
        self.go.open(page, self._open)

    def _sought(self, words: str) -> list[ListEntry]:
        return self._lines(find(self.session, WalkSought(words)))

    def _lines(self, found: Sequence[Row]) -> list[ListEntry]:
        known, came_to = self.session.knowledge, self.session.came_to(found[:MOST])
        lines = [ListEntry(row.id, pages.line(row, came_to.get(row.id), known)) for row in found[:MOST]]
        more = [ListEntry("", pages.more(len(found) - MOST))] if len(found) > MOST else []
        return [*lines, *more] or [ListEntry("", pages.NONE)]

    def _attempt(self, do: Callable[[], T], then: Callable[[T], object]) -> None:
        """Do something that comes to a value, and go on with it."""
        made: list[T] = []
        self.attempt(lambda: made.append(do()), lambda: then(made[-1]))

    def _open(self, outing: str) -> None:
        """Show one, and what can be done with it; what has been done there leads back to it."""
        self._attempt(lambda: looked_back(self.session, outing), self._shown)

    def _shown(self, found: LookedBack) -> None:
        known = self.session.knowledge
        offered = choices((*pages.answers(found), pages.TO_LIST))
        page = Asked(self.at, pages.title(found, known), pages.page(found, known), offered)
        self.go.open(page, lambda choice: self._chosen(choice, found), self._list)

    def _chosen(self, choice: str, found: LookedBack) -> None:
        outing = found.row.id
        match choice:
            case pages.STEPS:
                self.go.open(Replay(self.at, found.replayed), left=lambda: self._shown(found))
            case pages.ON:
                self.go.say(Resumed(outing))
            case pages.AGAIN:
                self.attempt(lambda: self._again(outing), lambda: self.go.say(PageWanted("walk", "turn")))
            case pages.NOTE:
                self.go.open(
                    NoteForm(self.at, pages.NOTE_FORM),
                    lambda text: self.attempt(lambda: self._note(outing, text), lambda: self._open(outing)),
                    lambda: self._shown(found),
                )
            case pages.DELETE:
                self._ask_to_delete(found)
            case _:
                self._list()

    def _again(self, outing: str) -> None:
        self.session.resume(outing)
        self.session.reopen()

    def _note(self, outing: str, text: str) -> None:
        note_outing(self.session.journal, outing, text, self.session.clock())

    def _ask_to_delete(self, found: LookedBack) -> None:
        """Say what goes and what stays, and delete it if that is what is wanted."""
        told = pages.deleting(pages.line(found.row, found.came_to, self.session.knowledge))

        def decided(choice: str) -> None:
            if choice == pages.DELETE:
                self._attempt(lambda: delete(self.session, found.row.id), self._deleted)
            else:
                self._shown(found)

        self.go.open(
            Asked(self.at, pages.DELETE_HEADING, told, choices(pages.DELETE_ANSWERS)),
            decided,
            lambda: self._shown(found),
        )

    def _deleted(self, gone: Gone) -> None:
        self.go.tell("\n".join(part.text for part in pages.deleted(gone)))
        self._list()
