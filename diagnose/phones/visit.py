"""One visitor at one walk: the session, and what this person has had explained, been warned of and been told."""

from __future__ import annotations

from diagnose.pages.first_day import Portion, terms
from diagnose.reason.view import Step, View
from diagnose.reason.walk import Walk
from diagnose.workshop.session import Session


class Visit:
    """What is kept for one phone at one walk; a restart loses no more than that hazards are told again."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._explained: dict[tuple[str, int], tuple[str, ...]] = {}
        """The words that each portion explains, by the step and its number: no other explains them again."""
        self._warned: dict[str, str] = {}
        """The hazard that each step names."""
        self._note = (0, "")
        self.refused = ""
        """What was answered to be not ready yet."""

    @property
    def walk(self) -> Walk:
        """The walk."""
        assert self.session.walk is not None
        return self.session.walk

    @property
    def count(self) -> int:
        """How many events it has."""
        return len(self.walk.events)

    @property
    def view(self) -> View:
        """Everything that is known of it now."""
        return self.walk.view(self.session.clock())

    @property
    def note(self) -> str:
        """What followed from the last answer, for as long as there is no other."""
        count, text = self._note
        return text if count == self.count else ""

    def tell(self, text: str) -> None:
        """Note what followed from the last answer."""
        self._note = (self.count, text)

    def terms(self, view: View, step: Step, portion: Portion) -> tuple[str, ...]:
        """Return the words of the trade that a portion explains."""
        key = _key(view, step), portion.number
        if key not in self._explained:
            before = [name for names in self._explained.values() for name in names]
            self._explained[key] = terms(step, portion, self.session.knowledge, before)
        return self._explained[key]

    def warning(self, view: View, step: Step) -> str:
        """Return the worst hazard of a step that no step before has named."""
        key = _key(view, step)
        if key not in self._warned:
            before = {*self._warned.values(), *self.session.told}
            fresh = (name for name in self.session.knowledge.worst_first(step.cautions) if name not in before)
            self._warned[key] = next(fresh, "")
        return self._warned[key]


def _key(view: View, step: Step) -> str:
    return f"{view.number} {step.kind} {step.id}"
