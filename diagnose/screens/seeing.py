"""What was seen unasked: on a walk it is answered, or noted; at home it leads to the symptom that it fits."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Variant
from diagnose.pages import seen
from diagnose.pages.parts import choices
from diagnose.reason import events as ev
from diagnose.reason.explain import ALSO
from diagnose.reason.seen import findings
from diagnose.screens.asked import Asked
from diagnose.screens.at_hand import AtHand
from diagnose.screens.listing import Listing
from diagnose.screens.navigator import Navigator
from diagnose.screens.widgets.entries import ListEntry, entries

if TYPE_CHECKING:
    from diagnose.graph.seek import Seeker


class Seeing:
    """Takes down what was seen unasked; `store` stores an event of the walk, `turn` shows where it is."""

    def __init__(self, at: AtHand, go: Navigator, store: Callable[[ev.Event], None], turn: Callable[[], None]) -> None:
        self.at, self.go, self.store, self.turn = at, go, store, turn
        self.session = at.session

    @cached_property
    def _seeker(self) -> Seeker:
        from diagnose.graph.seek import seeker

        return seeker(self.session.knowledge, "looks")

    def _find(self, typed: str) -> list[str]:
        return [one.id for one in self._seeker.find(typed, most=40)]

    def on_the_walk(self) -> None:
        """Choose a look to answer, another symptom that it shows, or words to keep as a note."""
        walk = self.session.walk
        assert walk is not None

        def chosen(found: str) -> None:
            if found.startswith(ALSO):
                self.store(ev.Told(self.session.clock(), ev.ALSO, found.removeprefix(ALSO)))
            elif found.startswith(seen.NOTE):
                self.store(ev.Noted(self.session.clock(), found.removeprefix(seen.NOTE)))
                self.go.tell(seen.NOTED)
            else:
                try:
                    self.session.saw(found)
                except DiagnoseError as error:
                    self.go.tell(str(error))
                self.turn()

        self.go.open(
            Listing(
                self.at,
                seen.HEADING,
                entries(seen.listed(walk)),
                find=lambda typed: entries(seen.found(walk, typed, self._find)),
            ),
            chosen,
            self.turn,
        )

    def at_home(self, check: str, begin: Callable[[str, ev.Answered], None]) -> None:
        """Ask what was seen, then which symptom it fits: that walk begins with it."""
        known = self.session.knowledge
        if not check:
            looks = {name: one for name, one in known.checks_for(self._engine).items() if findings(one)}
            named = [ListEntry(name, one.name) for name, one in sorted(looks.items(), key=lambda one: one[1].name)]
            by_id = {one.id: one for one in named}

            def find(typed: str) -> list[ListEntry]:
                return [by_id[name] for name in self._find(typed) if name in by_id]

            self.go.open(Listing(self.at, seen.HEADING, named, find=find), lambda found: self.at_home(found, begin))
            return

        def answered(answer: str) -> None:
            def chosen(symptom: str) -> None:
                if symptom != seen.NONE:
                    before = known.checks[check].engine != "off"
                    begin(symptom, ev.Answered(self.session.clock(), check, answer, before=before))

            told = seen.fits_page(known, self._engine, check, answer)
            self.go.open(
                Asked(self.at, seen.FITS, told, choices(seen.fits(known, self._engine, check, answer))), chosen
            )

        self.go.open(
            Asked(self.at, seen.HEADING, seen.what_page(known, check), choices(seen.what(known, check))), answered
        )

    @property
    def _engine(self) -> Variant:
        return self.at.engine.variant if self.at.engine else Variant()
