"""How each kind of step is put to a person: the words, the choices, the minutes, the cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from diagnose.graph.model import CLOSE, Check, Mend, Reading, Screw, StartSettings, Work
from diagnose.graph.model.parts import SCREWS
from diagnose.graph.say import say, when_well
from diagnose.graph.wording import capital
from diagnose.reason import events as ev
from diagnose.reason.order import in_a_row
from diagnose.reason.rather import rather
from diagnose.reason.standing import Standing
from diagnose.reason.state import IDLE
from diagnose.reason.view import Choice, Step, StepKind

HEAT = "bring-to-heat"
COOL = "let-it-cool"
HEAT_ALONE = "heat"
"""The id of a hand-over for which the heat is the only reason: no look is made again for that."""

BEFORE = "You have seen it already. It counts as not quite sure, and the engine is not run for it."

DROP = "drop"
RATHER = "rather/"
"""Stands before the symptom that it rather is, in what can be said to a hand-over."""
NOT_NOW = "not now"
BEGUN = "begun"
DONE = "done"
ENOUGH = "enough"
STOP = "idle stop"

PUT_RIGHT = "put right"

STOPPED = "If the engine still runs, stop it now, and wait until it stands still."

LOST = 3
"""After so many looks in a row that could not be told, a person is named."""
NO_MORE = Choice(ENOUGH, "no more looks: hand it over")

ALWAYS_OFFERED = (Choice(ev.CANT_TELL, "I can't tell"), Choice(ev.NO_TOOL, "I have no tool for that now"))


class StepMaker:
    """Makes steps for one standing; every text is ready to show."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self.scope = standing.scope

    def text(self, text: str | None) -> str:
        """Return a text with its numbers filled in."""
        return say(text, self.scope.knowledge, self.scope.engine) if text else ""

    def texts(self, texts: Iterable[str]) -> tuple[str, ...]:
        """Return texts with their numbers filled in."""
        return tuple(map(self.text, texts))

    def minutes(self, state: str, minutes: float) -> float:
        """Return minutes with the change of bench state."""
        return minutes + self.scope.change(self.standing.state.bench, state)

    def in_passing(self, check: str) -> float:
        """Return the minutes of a check now: fewer where it goes on with a round."""
        state = self.standing.state
        before = self.scope.look(state.last) if state.last else None
        return in_a_row(self.scope.look(check), before, state.longest)[0]

    def check(self, name: str, why: str, kind: StepKind = "ask") -> Step:
        """Ask one check."""
        check = self.scope.checks[name]
        if name in self.standing.state.passed:
            why = f"A screw was turned since this was seen. {why}"
        return Step(
            kind=kind,
            id=name,
            node=self.standing.position.node,
            title=check.name,
            ask=self.text(check.ask),
            choices=tuple(
                Choice(key, self.text(answer.say), self.text(answer.means)) for key, answer in check.answers.items()
            )
            + (ALWAYS_OFFERED[:1] if check.remembered else ALWAYS_OFFERED)
            + ((NO_MORE,) if self.standing.state.lost >= LOST else ()),
            how=self._stopped(check) + self._left_open(check) + self.texts(check.how),
            wanted=self.text(check.answers[check.healthy].say),
            always=self._stopped(check) + self._left_open(check),
            minutes=self.minutes(check.state, self.in_passing(name)),
            why=why,
            why_first=kind == "recheck" or name in self.standing.state.asked,
            state=check.state,
            engine=check.engine,
            cautions=check.cautions,
            tools=check.tools,
            misleads=self.text(check.misleads),
            where=check.where or "",
            reading=check.reading,
            well=self._well(name, check.reading),
        )

    def seen(self, name: str) -> Step:
        """Take down what was seen before, while the engine ran: nothing is started for it, so no hands do anything."""
        step = self.check(name, BEFORE)
        choices = tuple(one for one in step.choices if one.id in self.scope.checks[name].answers)
        return replace(
            step, choices=choices, how=(), minutes=0.0, engine="off", cautions=(), tools=(), reading=None, before=True
        )

    def again(self, name: str, why: str) -> Step:
        """Ask a check once more before handing over, which may also be done at once."""
        step = self.check(name, why)
        return step if NO_MORE in step.choices else replace(step, choices=(*step.choices, NO_MORE))

    def _well(self, check: str, reading: Reading | None) -> str:
        then = self.standing.state.started.well.get(check)
        return when_well(then, reading.unit) if reading is not None and then is not None else ""

    def mend(self, fault: str, why: str) -> Step:
        """Put a fault right; going back to the record is its own kind of step."""
        found, named = self.scope.faults[fault], self.standing.forms.name(fault)
        mend: Mend = found.mend
        after = (f"When it is done: {self.text(mend.recheck)}",) if mend.recheck else ()
        stop = (f"Stop and get help if: {self.text(mend.stop_when)}",) if mend.stop_when else ()
        return Step(
            kind="restore" if mend.back else "mend",
            id=fault,
            node=self.standing.position.node,
            title=named,
            ask=f"Put this right: {named}.",
            choices=(
                Choice(DONE, "done"),
                Choice(NOT_NOW, "I can't do that now"),
                *([Choice(BEGUN, "I began it, and had to stop")] if mend.takes_off else []),
            ),
            how=self._stopped(mend)
            + self._left_open(mend)
            + self.texts(mend.do)
            + (self._record((found.screw,)) if found.screw == STOP or (found.screw and mend.back) else ())
            + after
            + stop,
            wanted="" if mend.back else self.text(mend.recheck) or PUT_RIGHT,
            always=self._stopped(mend) + self._left_open(mend) + stop,
            minutes=self.minutes(mend.state, mend.minutes),
            why=why,
            state=mend.state,
            engine=mend.engine,
            cautions=mend.cautions,
            tools=mend.tools,
            parts=mend.parts,
            where=mend.where or "",
        )

    def prepare(self, name: str, why: str) -> Step:
        """Bring the engine to a state; one with a head reading says how it came out."""
        prepared = self.scope.knowledge.preparations[name]
        if prepared.head:
            floor, ceiling = self.text("<head-floor>"), self.text("<head-ceiling>")
            choices: tuple[Choice, ...] = (
                Choice("ready", f"in its window, {floor} to {ceiling}"),
                Choice("too cool", f"stays below {floor}"),
                Choice("too hot", f"above {ceiling}"),
                Choice(DROP, "no thermometer, or a drop says otherwise: the drop is gone in <drop-gone>"),
                Choice("won't run", "it will not keep running"),
            )
            read = name == IDLE  # whoever could read that it is too hot has a thermometer
            choices = tuple(Choice(c.id, self.text(c.say)) for c in choices if not (read and c.id == DROP))
        elif prepared.back:
            choices = (Choice(DONE, "done: the screws are back on the record"), Choice(NOT_NOW, "not now"))
        else:
            choices = (Choice("ready", "done"), Choice("won't run", "I can't do that now"))
        return Step(
            kind="restore" if prepared.back else "prepare",
            id=name,
            node=self.standing.position.node,
            title=prepared.name,
            ask=f"{capital(prepared.name)}.",
            choices=choices,
            how=self.texts(prepared.do) + (self._record() if prepared.back else ()),
            minutes=prepared.minutes,
            why=why,
            why_first=prepared.back,
            state=prepared.state,
            engine=prepared.engine,
            cautions=prepared.cautions,
            tools=prepared.tools,
            where=self._screws() if prepared.back else "",
        )

    def back(self, name: str, why: str, screws: Iterable[Screw]) -> Step:
        """Send screws back to the record, those under suspicion and no other."""
        step, only = self.prepare(name, why), tuple(screw for screw in SCREWS if screw in set(screws))
        if not only or self.scope.screws.issubset(only):
            return step
        named = " and ".join(f"the {screw}" for screw in only)
        said = f"Only {named}. Each other screw stays where it is: somebody may have set it on purpose."
        how = (said, *self.texts(self.scope.knowledge.preparations[name].do), *self._record(only))
        return replace(step, only=only, how=how)

    def close(self, openings: Sequence[str]) -> Step:
        """Close what is open, part by part."""
        known = self.scope.knowledge.openings
        step = self.prepare(CLOSE, f"Still open: {', '.join(known[name].open for name in openings)}.")
        return replace(
            step,
            ask="Close up, before the engine turns.",
            choices=(Choice("ready", "all of it is closed"), Choice("won't run", "I can't do that now")),
            how=(*(f"{capital(known[name].close)}." for name in openings), *step.how),
            minutes=self.minutes(step.state, step.minutes),
            why_first=True,
        )

    def _stopped(self, work: Work) -> tuple[str, ...]:
        """Say that the engine is stopped first, where the step before had it running and this one has not."""
        ran = self.scope.runs(self.standing.state.bench) and work.engine != "running"
        return (STOPPED,) if ran and not (isinstance(work, Check) and work.remembered) else ()

    def _left_open(self, work: Work) -> tuple[str, ...]:
        """Say what stays open while the engine turns, and why."""
        known, there = self.scope.knowledge.openings, {*self.standing.state.open, *work.takes_off}
        return tuple(
            f"{capital(known[name].open)}, and that is right here. {self.text(because)}"
            if name in self.standing.state.open
            else self.text(because)
            for name, because in work.may_be_open.items()
            if name in there
        )

    def retest(self, why: str) -> Step:
        """See whether the symptom is gone."""
        symptom = self.standing.symptom
        retest = symptom.retest
        return Step(
            kind="retest",
            id=self.standing.symptom_id,
            node=self.standing.position.node,
            title="try it again",
            ask=f"Try it again: {symptom.name}?",
            choices=(
                Choice("cured", "it is gone: cured"),
                Choice("better", "better, but not gone"),
                Choice("same", "the same as before"),
                Choice("worse", "worse than before"),
            ),
            how=self._left_open(retest) + self.texts(retest.do),
            wanted=f"{symptom.name}: gone",
            always=self._left_open(retest),
            minutes=self.minutes(retest.state, retest.minutes),
            why=why,
            state=retest.state,
            engine=retest.engine,
            cautions=retest.cautions,
        )

    def refer(self, because: str, name: str = "hand over") -> Step:
        """Hand over."""
        return Step(
            kind="refer",
            id=name,
            node=self.standing.position.node,
            title="hand over",
            ask=self.text(because) + self._grounded() + self._put_off(because),
            choices=(
                Choice(DONE, "end here"),
                *(
                    Choice(f"{RATHER}{one}", f"go on with: {self.scope.knowledge.symptoms[one].name}")
                    for one in rather(self.scope, self.standing.state, self.standing.symptom_id)
                ),
            ),
            why="Nothing that is left can be done safely from here.",
        )

    def normal(self, because: str, name: str) -> Step:
        """End with nothing wrong."""
        return Step(
            kind="refer",
            id=name,
            node=self.standing.position.node,
            title="nothing is wrong",
            ask=self.text(because),
            choices=(Choice(DONE, "end here"),),
            why="What was looked at is sound, and this is how it should be.",
            normal=True,
        )

    def _settings(self) -> StartSettings | None:
        """Return the general settings of this kind of engine: they say where its screws sit."""
        known = self.scope.knowledge.engines.values()
        fitting = [one for one in known if one.only.fits(self.scope.engine)]
        return next((one for one in fitting if one.where or one.sits), None)

    def _screws(self) -> str:
        """Return the drawing that shows where this engine's screws sit."""
        settings = self._settings()
        return (settings.where or "") if settings else ""

    def _record(self, only: Sequence[Screw] = SCREWS) -> tuple[str, ...]:
        """Return where each screw goes, or `only` some: the record, corrected to the rich side, and why (rule 3)."""
        started = self.standing.state.started
        targets = [target for target in started.back if target.screw in only]
        added = [started.back_because] if any(not _kept(target.screw) for target in targets) else []
        return (*(target.said for target in targets), *added)

    def _grounded(self) -> str:
        found = self.standing.state.grounded()
        return f" Do not start the engine: {', '.join(found)}." if found else ""

    def _put_off(self, because: str) -> str:
        """Say what was found and could not be mended now, unless the reason says it already."""
        faults = [self.standing.forms.name(f) for f in self.standing.found if f in self.standing.state.deferred]
        named = [name for name in faults if name not in because]
        return f" Found, and not mended yet: {', '.join(named)}." if named else ""


def spent(step: Step, choice: str | float) -> float:
    """Return the minutes that a step takes when it is answered so: what is not done now takes none."""
    put_off = choice in (NOT_NOW, ENOUGH) or (choice == "won't run" and (step.state == "cooling" or step.id == CLOSE))
    return 0.0 if put_off else step.minutes


def _kept(screw: str) -> bool:
    """Say whether a screw goes back to its record as it is: the stop, and the mid needle on its mark."""
    return screw in ("idle stop", "mid needle")
