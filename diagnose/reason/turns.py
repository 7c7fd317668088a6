"""How a turn of a screw is put to a person: which way and how far, what is heard after it, and turning it back."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.graph.model import Adjust, Screw, Way
from diagnose.graph.wording import amount
from diagnose.reason.steps import DONE, NOT_NOW, StepMaker
from diagnose.reason.view import Choice, Step, Turn

STAYS = "stays"
PARTS = {DONE: 1.0, "half": 0.5, "quarter": 0.25}
"""How much of the hour was turned, by what is said: less than was asked is the safe side."""
LISTENING = "running on the stand"
"""The bench state in which a turn is listened to."""
LOW = "low needle"
NO_HAND = "Igniter off. No screwdriver comes near a flywheel that turns. The head and the pipe are hot."


class TurnMaker(StepMaker):
    """Makes the steps that turn a screw."""

    def adjust(self, step: Adjust, why: str) -> Step:
        """Turn one screw by an hour at most."""
        turned = self.standing.state.turned
        turns = (self._turn(step.adjust, step.way, step.hours, turned.get(step.adjust, 0.0)),)
        listen = (f"Afterwards, listen: {self.text(step.hear)}",) if step.hear else ()
        return Step(
            kind="adjust",
            id=step.adjust,
            node=self.standing.position.node,
            title=f"{step.adjust} {step.way}",
            ask=f"Stop the engine. Then turn the {step.adjust} {amount(step.hours)} {step.way}.",
            choices=(Choice(DONE, "turned"), Choice(NOT_NOW, "I would rather not turn it"), *self._less(step.hours)),
            how=(*self._sits(turns), NO_HAND, *listen),
            minutes=self.scope.minutes("needle-step-minutes"),
            why=why,
            cautions=self._hot_cautions(),
            where=self._screws(),
            turns=turns,
        )

    def follow(self, screw: Screw, hours: float) -> Step:
        """Listen after a turn; turn the screw that may follow it only if the engine asks for that."""
        way = self._way(screw, hours)
        idles, before = ("faster", "no faster") if hours < 0 else ("slower", "no slower")
        turns = (self._turn(screw, way, abs(hours), self.standing.state.turned.get(screw, 0.0)),)
        return Step(
            kind="follow",
            id=screw,
            node=self.standing.state.trying,
            title=f"{screw} {way}",
            ask=f"Start it, and listen: does it idle {idles} than before the turn?",
            choices=(
                Choice(DONE, f"{idles}: the {screw} is turned {amount(abs(hours))} {way} now"),
                Choice(STAYS, f"{before}: the {screw} stays where it is"),
                *self._less(abs(hours)),
            ),
            how=(
                "Keep the wheels off the ground. Let it idle, and listen. Give it no throttle.",
                f"If it idles {idles}, stop it. When it stands still, turn the {screw} {amount(abs(hours))} {way}.",
                *self._sits(turns),
                NO_HAND,
            ),
            minutes=self.scope.minutes("needle-step-minutes"),
            why="One screw is turned, then the engine is heard. The second follows only if the idle asks for it.",
            state=LISTENING,
            engine="running",
            cautions=self._cautions_of({LISTENING, "cooling"}),
            where=self._screws(),
            turns=turns,
        )

    def undo(self, ask: str) -> Step:
        """Turn the last adjustment back."""
        last = self.standing.state.standing_turns[-1]
        opposite: dict[Way, Way] = {"leaner": "richer", "richer": "leaner", "in": "out", "out": "in"}
        back: dict[str, float] = {last.screw: last.hours, **{s: abs(h) for s, h in last.follow.items()}}
        turns = [self._turn(last.screw, opposite[last.way], last.hours)]
        turns += [self._turn(s, "in" if hours < 0 else "out", back[s]) for s, hours in last.follow.items()]
        return Step(
            kind="undo",
            id=last.screw,
            node=self.standing.position.node,
            title="turn it back",
            ask=ask,
            choices=(Choice(DONE, "turned back"),),
            how=(*self._sits(turns), NO_HAND),
            minutes=self.scope.minutes("needle-step-minutes"),
            why="A step that did not help is undone before anything else.",
            cautions=self._hot_cautions(),
            turns=tuple(turns),
        )

    @staticmethod
    def _less(hours: float) -> tuple[Choice, ...]:
        """Offer to turn less than an hour; a part of one is not divided any further."""
        return tuple(
            Choice(name, f"turned, and only {amount(part)}") for name, part in PARTS.items() if part < hours == 1.0
        )

    def _sits(self, turns: Iterable[Turn]) -> tuple[str, ...]:
        """Say where the screws that are turned sit."""
        settings = self._settings()
        return (
            tuple(self.text(settings.sits[turn.screw]) for turn in turns if turn.screw in settings.sits)
            if settings
            else ()
        )

    def _hot_cautions(self) -> tuple[str, ...]:
        """Return the cautions of a stopped engine that is still warm."""
        return self._cautions_of({"cooling"})

    def _cautions_of(self, states: set[str]) -> tuple[str, ...]:
        """Return the cautions that are owed in one of these bench states."""
        known = self.scope.knowledge.cautions
        return tuple(name for name, caution in known.items() if states.intersection(caution.owed.states))

    def _turn(self, screw: Screw, way: Way, hours: float, stands: float = 0.0) -> Turn:
        return Turn(screw, way, hours, stands, screw == LOW and self.scope.engine.air_screw)

    @staticmethod
    def _way(screw: str, hours: float) -> Way:
        if screw == "idle stop":
            return "in" if hours > 0 else "out"
        return "richer" if hours > 0 else "leaner"
