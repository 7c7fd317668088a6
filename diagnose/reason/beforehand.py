"""What comes before a step: guards, closing up and heat. An engine that may not run stays off."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from diagnose.graph.model import CLOSE, RUNNING, Work
from diagnose.reason import gate
from diagnose.reason.standing import Standing
from diagnose.reason.state import HOT, IDLE, IDLES
from diagnose.reason.steps import COOL, HEAT, HEAT_ALONE, StepMaker
from diagnose.reason.view import Step

TRIES = 2
"""A preparation is entered at most twice without success."""

ASKED_AGAIN = 2
"""A check that was answered "not quite sure" is asked once more when nothing else is left."""


class Beforehand:
    """What one standing demands before a step."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self.scope, self.state = standing.scope, standing.state
        self.steps = StepMaker(standing)

    def may_be_made(self, work: Work) -> bool:
        """Say whether this can be done now, or could be once the guards are asked and the car is closed up."""
        if CLOSE in self.state.deferred and gate.still_open(self.state, work):
            return False
        return work.engine == "off" or self.may_run

    @cached_property
    def may_run(self) -> bool:
        """Say whether the engine may be run, or could be once the guards are asked."""
        if self.state.grounded() or self.standing.unsafe:
            return False
        return all(
            guard not in self.state.unanswered and self._askable_guard(guard)
            for guard in self.scope.guards
            if not self.state.healthy(self.scope, guard)
        )

    def _askable_guard(self, guard: str) -> bool:
        return guard not in self.state.answers or self.state.asked.get(guard, 0) < ASKED_AGAIN

    def turning(self, work: Work, mended: str = "") -> Step | None:
        """Return what comes before this cranks or runs the engine: a guard, closing up, or a hand-over.

        Where a mend cranks it, what that mend puts right does not stand in its own way.
        """
        return None if work.engine == "off" else self._safe(mended) or self.closed(work)

    def closed(self, work: Work) -> Step | None:
        """Return the step that closes what may not be open for this; a hand-over when that was put off."""
        return self._closing(gate.still_open(self.state, work))

    def before_a_guard(self) -> Step | None:
        """Return the step that closes the car up, where something is off that the guards look at."""
        return self._closing(self.state.open) if self.state.loose(self.scope) else None

    def _closing(self, openings: Sequence[str]) -> Step | None:
        """Close all that is open where any of these is: once it is done, nothing is held to be open any more."""
        if not openings:
            return None
        if CLOSE not in self.state.deferred:
            return self.steps.close(self.state.open)
        named = ", ".join(self.scope.knowledge.openings[name].open for name in openings)
        return self.steps.refer(f"The engine stays off: {named}.")

    def running(self, state: str) -> Step | None:
        """Return what comes before a step that runs the engine: a guard, or a hand-over."""
        return self._safe() if state in RUNNING else None

    def _safe(self, mended: str = "") -> Step | None:
        """Return what makes it safe to turn the engine; None where it is."""
        if found := self.grounded_but_for(mended):
            return self.cool() if self.too_hot() else self.steps.refer(f"The engine stays off: {', '.join(found)}.")
        for guard in self.scope.guards:
            if self.state.healthy(self.scope, guard):
                continue
            if guard in self.state.unanswered or not self._askable_guard(guard):
                return self.steps.refer(
                    f"Without '{self.scope.checks[guard].name}' the engine is not run: it could run away."
                )
            return self.steps.check(guard, "Before the engine runs: it must be able to stop.")
        return None

    def grounded_but_for(self, fault: str) -> list[str]:
        """Return the grounding findings that are open, apart from those that the mend of `fault` puts right.

        What two looks have found alike, the fuel that leaks, say, need not be one and the same.
        """
        state, given = self.state, self.state.answers
        own = {name for name in given if fault in self.scope.checks[name].answers[given[name].answer].names}
        others = {finding for name, finding in state.grounds.items() if name not in own}
        hot = {HOT} if state.hot else set()
        return [finding for finding in state.grounded() if finding in others | hot]

    def ask(self, name: str, why: str) -> Step:
        """Ask a check, after the guards where the engine runs for it."""
        return self.running(self.scope.checks[name].state) or self.steps.check(name, why)

    def demanded(self, name: str, why: str) -> Step:
        """Ask a check, after the heat that it demands."""
        if self.scope.checks[name].state == "warm" and not self.warm_enough():
            return self.heat(leaner=False)
        return self.ask(name, why)

    def warm_enough(self) -> bool:
        """Say whether it is warm enough to look, which is less than warm enough to tune."""
        heat = self.state.heat
        if heat is None or heat.outcome == "won't run":
            return False
        return heat.outcome != "too cool" or (
            heat.head is not None and heat.head >= self.scope.degrees("warm-enough-to-look")
        )

    def too_hot(self) -> bool:
        """Say whether the head was above its stop temperature, and has not cooled since."""
        return HOT in self.state.grounded()

    def heat(self, *, leaner: bool) -> Step:
        """Bring the engine to its heat, or say why it can't be brought there; `leaner` needs it inside the window."""
        heat = self.state.heat
        if heat is not None and heat.outcome == "won't run":
            return self.steps.refer("An engine that will not keep running is not tuned. The needles stay as they are.")
        if self.state.tries >= TRIES:
            return self.steps.refer("It stayed too cool in two tries, so no needle is turned.", HEAT_ALONE)
        if self.too_hot():
            return self.cool()
        if leaner and heat is not None and heat.outcome == "too hot":
            return self.idle()
        if leaner and heat is not None and heat.drop:
            return self.steps.refer(
                "The signs say rich, but a water drop is not enough to turn a needle leaner. Borrow a thermometer, "
                "and walk again with a reading of the head. Until then the needles stay as they are.",
                HEAT_ALONE,
            )
        step = self.steps.prepare(HEAT, "A needle is turned only on a warm engine, right after reading the head.")
        return self.running(step.state) or step

    def idle(self) -> Step:
        """Let a head that is above its window come down into it; a hand-over when that was tried often enough."""
        if self.state.idled >= IDLES:
            return self.steps.refer(
                f"The head stays above its window, {self.steps.text('<head-ceiling>')}, however often it idles down. A "
                "hot engine is never turned leaner. Find out why it runs hot before a needle is turned.",
                HEAT_ALONE,
            )
        step = self.steps.prepare(IDLE, "The head is above its window. At idle it comes down by itself.")
        return self.running(step.state) or step

    def cool(self) -> Step:
        """Let it cool; a hand-over when that was put off or did not help."""
        if COOL in self.state.deferred or self.state.cooled >= TRIES:
            return self.steps.refer(
                "It stays off until the head has cooled. Find out why it runs hot before it runs.", HEAT_ALONE
            )
        return self.steps.prepare(COOL, "It is too hot to go on.")
