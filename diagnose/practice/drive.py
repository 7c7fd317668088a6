"""A simulated engine driven by the program's own advice, from the reported symptom to the verdict.

A person who does what the program says: answers with what is to be seen, mends what is named, turns what is asked.
Nothing is put off and every tool is there. The re-test errs never; every look does, as often as its grade says.
"""

from __future__ import annotations

from random import Random

from msgspec import Struct

from diagnose.graph.model import Knowledge, signed
from diagnose.practice.believed import NOTHING, ByWord, believed, together
from diagnose.practice.check_answers import TRUST
from diagnose.practice.early import NEEDLES, Early, why_early
from diagnose.practice.engine import SimEngine
from diagnose.practice.hands import Hands, HandsDid
from diagnose.practice.owner import OwnersWords, told
from diagnose.reason import events as ev
from diagnose.reason.case_names import CaseAnswer
from diagnose.reason.confirmed import CuredBy, confirmed
from diagnose.reason.learned import Learned
from diagnose.reason.play import play, usual
from diagnose.reason.scope import Scope
from diagnose.reason.state import IDLE
from diagnose.reason.steps import HEAT
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

NO_END = "no end"
"""The verdict of a walk that goes on after so many steps: a fault of the advice, and told as one."""
DOES = ("mend", "restore", "adjust")
"""The kinds of step that do something to the engine."""
HISTORY = 1 / 3
"""Minutes that the questions about the history take (design §4: twenty seconds)."""


class Drive(Struct, frozen=True):
    """What a drive came to."""

    engine: SimEngine
    """As it was left."""
    verdict: str
    because: str
    cured: bool
    """The verdict says so, and nothing that was wrong is left."""
    minutes: float
    changes: tuple[HandsDid, ...]
    over_an_hour: int = 0
    """Adjustments that turned a screw by more than an hour."""
    before_first_look: int = 0
    """Adjustments while a fault of M1 had not been looked for, by the events alone."""
    early: Early = ""
    """Why a needle was turned at a mechanical fault, if one was."""
    steps: int = 0
    at_every_step: ByWord = NOTHING
    """How often what was said of the suspects was right."""
    before_anything: ByWord = NOTHING
    """The same, once: when the first thing is about to be done to the engine."""
    confirms: CuredBy | None = None
    """What the end of its last walk confirms."""


def drive(
    engine: SimEngine,
    knowledge: Knowledge,
    scope: Scope | None = None,
    hands: Hands | None = None,
    walks: int = 1,
    learned: Learned | None = None,
    said: OwnersWords | None = None,
) -> Drive:
    """Drive an engine by the program's advice, to the end of a walk; `hands` may have worked on it before.

    `learned` is what the club's outings say, `said` what its owner says of the history; left out, what an owner does,
    who errs now and then.

    When it is cured and its owner has something else to complain of, another walk follows, `walks` at most.
    """
    scope = scope or Scope(knowledge, engine.variant)
    hands = hands or Hands(engine, scope)
    driver = _Driver(knowledge, scope, hands)
    for number in range(1, walks + 1):
        driver.walked(begun(knowledge, scope, hands, said, learned))
        again = hands.complains_again() if driver.verdict == "cured" else None
        if again is None or number == walks:
            break
        hands.complaints = [again]
        hands.felt = hands.strength()
    return Drive(
        engine=hands.engine,
        verdict=driver.verdict,
        because=driver.because,
        cured=driver.verdict == "cured" and not hands.wrong(),
        minutes=hands.minutes,
        changes=tuple(hands.changes),
        over_an_hour=driver.over_an_hour,
        before_first_look=driver.before_first_look,
        early=driver.early,
        steps=driver.steps,
        at_every_step=driver.at_every_step,
        before_anything=driver.before_anything,
        confirms=driver.confirms,
    )


def begun(
    knowledge: Knowledge,
    scope: Scope,
    hands: Hands,
    said: OwnersWords | None = None,
    learned: Learned | None = None,
) -> Walk:
    """Begin a walk, with what its owner says of its history; left out, what an owner does, who errs now and then."""
    engine = hands.engine
    started = ev.Started(
        hands.now,
        knowledge.digest,
        hands.complaints[0],
        "",
        engine.variant,
        recorded=engine.recorded,
        learned=learned,
    )
    walk = begin(knowledge, started)
    walk = Walk(knowledge, walk.events, scope)
    if said is not None:
        walk = told(walk, said)
    for question, _ in walk.history() if said is None else ():
        walk = walk.plus(ev.Told(hands.now, question, _told(engine, question, knowledge)))
    hands.minutes += HISTORY
    return walk


def _told(engine: SimEngine, question: str, knowledge: Knowledge) -> str:
    """Return what the owner says of the history: whether it came at once, and whether the engine is new."""
    answers = knowledge.history[question].answers
    if question == "running-in":
        answer = "run in" if engine.variant.run_in else "still new"
    elif question == "onset" and engine.troubles:
        shown, mistaken = TRUST["M"]
        sudden = knowledge.simulated_faults[engine.troubles[0].fault].comes == "suddenly"
        answer = "suddenly" if Random(f"{engine.seed} onset").random() < (shown if sudden else mistaken) else "slowly"
    else:
        return ev.SKIPPED
    return answer if answer in answers else ev.SKIPPED


def over_an_hour(step: Step) -> bool:
    """Say whether an adjustment turns a screw by more than an hour."""
    return any(turn.hours > 1 for turn in step.turns)


def not_looked_for(walk: Walk) -> frozenset[str]:
    """Return the faults of M1 whose first look was never made, by the events alone and not by the walk's own state.

    What a mend has closed is not opened to look, where trying it tells the same, and what was remembered is not asked
    again: once its mend was tried, it was looked for.
    """
    looked: set[str] = set()
    mended: set[str] = set()
    remembered: set[str] = set()
    for event in walk.events:
        match event:
            case ev.Mended(fault=fault):
                if fault in remembered or walk.knowledge.faults[fault].mend.retest_tells:
                    mended.add(fault)
                continue
            case ev.Retested():
                looked.update(mended, *map(walk.scope.hypotheses, mended))
                continue
            case ev.Answered(check=name, answer=answer) if answer not in ev.NOT_ANSWERS and event.sure:
                said = walk.scope.checks[name].answers[answer]
            case ev.Measured(check=name, value=value):
                check = walk.scope.checks[name]
                said = check.answers[walk.knowledge.band(check, value, walk.scope.engine)]
            case _:
                continue
        if walk.scope.checks[name].look == "first" and (said.healthy or said.mends):
            looked |= walk.scope.clears(name)
        elif walk.scope.checks[name].remembered:
            remembered.update(said.names)
    return walk.knowledge.first_owed(walk.symptom, walk.variant) - looked


class _Driver:
    """One walk being driven."""

    def __init__(self, knowledge: Knowledge, scope: Scope, hands: Hands) -> None:
        self.knowledge, self.scope, self.hands = knowledge, scope, hands
        self.verdict = self.because = ""
        self.over_an_hour = self.before_first_look = 0
        self.early: Early = ""
        self.steps = 0
        self.at_every_step = self.before_anything = NOTHING
        self.confirms: CuredBy | None = None
        self.beside = 0.0
        """Minutes of the looks of this walk that no step counts."""

    def walked(self, walk: Walk) -> None:
        """Take steps until the walk ends, or until it is held to have no end."""
        self.beside = 0.0
        for made in play(walk, self._answer, self.hands.minutes, self._sure):
            walk, self.hands.minutes = made.walk, made.minutes + self.beside
            self.steps += 1
        self.confirms = confirmed(walk)
        outcome = walk.verdict()
        self.verdict = NO_END if outcome is None else "cured" if outcome.cured else outcome.outcome
        self.because = outcome.because if outcome is not None else f"it goes on after {self.steps} steps"

    def _answer(self, walk: Walk, step: Step) -> CaseAnswer:
        """Do what a step says, and return what there is to say to it."""
        hands = self.hands
        self._believed(walk, step)
        if walk.symptom not in hands.complaints:
            hands.complaints.append(walk.symptom)
            hands.felt = hands.strength()
        match step.kind:
            case "ask" | "recheck":
                return self._looked(walk, step)
            case "prepare" if step.id in (HEAT, IDLE):
                hands.visits[HEAT] += 1
                head = hands.engine.head(hands.visits[HEAT])
                return "won't run" if head is None else head
            case "mend" | "restore" if step.id in self.scope.faults:
                hands.do_mend(step.id)
            case "restore":
                hands.go_back(step.only)
            case "retest":
                return hands.retest()
            case "adjust":
                self.over_an_hour += over_an_hour(step)
                self.before_first_look += bool(not_looked_for(walk))
                self._turned_early(walk, step)
                hands.turn({turn.screw: signed(turn.way, turn.hours) for turn in step.turns})
            case "follow":
                hands.turn({turn.screw: signed(turn.way, turn.hours) for turn in step.turns})
            case "undo":
                last = walk.state.standing_turns[-1]
                hands.turn(
                    {last.screw: -signed(last.way, last.hours)} | {s: -hours for s, hours in last.follow.items()}
                )
                hands.felt = hands.strength()
            case _:
                pass
        return usual(step)

    def _sure(self, step: Step) -> bool:
        """Say whether the person is sure of the answer."""
        unsure = self.hands.person.half_sure
        return not unsure or Random(f"{self.hands.engine.seed} sure {step.id} {self.steps}").random() >= unsure

    def _believed(self, walk: Walk, step: Step) -> None:
        """Count how often what is said of the suspects is right, as long as something is wrong.

        What the belief says is said of an engine that still has its complaint. Between the right mend and the re-test
        nothing is wrong any more, and nothing that is said could be right.
        """
        if not (wrong := self.hands.wrong()):
            return
        now = believed(walk, wrong)
        self.at_every_step = together((self.at_every_step, now))
        if step.kind in DOES and self.before_anything is NOTHING:
            self.before_anything = now

    def _turned_early(self, walk: Walk, step: Step) -> None:
        """Note the first needle that is turned at a mechanical fault."""
        if self.early or not any(turn.screw in NEEDLES for turn in step.turns):
            return
        there = [fault for fault in self.hands.wrong() if self.knowledge.faults[fault].mechanical]
        if there:
            self.early = why_early(walk, there[0])

    def _looked(self, walk: Walk, step: Step) -> CaseAnswer:
        hands, before, check = self.hands, self.hands.engine, self.scope.checks[step.id]
        self.beside += hands.beside(check, walk.state.bench)
        seen = hands.see(step.id)
        if isinstance(seen, float):
            assert check.reading is not None
            return min(max(seen, check.reading.least), check.reading.most)
        if seen is not None and (swapped := check.answers[seen].mends):
            hands.note(before, "swap", swapped)
        return ev.CANT_TELL if seen is None else seen
