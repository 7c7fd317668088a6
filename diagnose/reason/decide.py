"""What to do next: one function for each situation, the most urgent first.

In this order:

undo what made it worse · make the check again after a mend · put right what an answer accuses · re-test · the node.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from msgspec.structs import replace

from diagnose.graph.model import Adjust, Ask, Prepare, Refer, Screw, Sweep
from diagnose.graph.wording import capital
from diagnose.reason import gate
from diagnose.reason.again import LookingAgain
from diagnose.reason.beforehand import ASKED_AGAIN
from diagnose.reason.doubt import PAYS, Doubt
from diagnose.reason.looking import Looking
from diagnose.reason.mending import Mending
from diagnose.reason.standing import Standing
from diagnose.reason.steps import HEAT_ALONE
from diagnose.reason.story import turned
from diagnose.reason.turns import LISTENING, TurnMaker
from diagnose.reason.view import Lock, Step

MOST_STEPS = 100
"""After so many steps no new look is begun: what is still on trial is tried, and then the walk is handed over."""


MOST_LOST = 7
"""After so many looks in a row that could not be told, nothing more is asked: somebody else has to look."""
SOMEBODY_ELSE = (
    "None of the last looks could be told from here. That is no failure of yours: somebody who stands beside you sees "
    "at once what no page can show. Ask an experienced driver, a mentor of a club, or a model shop."
)


class Decision:
    """The next step for one standing."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self.scope, self.state = standing.scope, standing.state
        self.looking = Looking(standing)
        self.steps = self.looking.steps
        self.turns = TurnMaker(standing)

    def next(self, now: float) -> Step | None:
        """Return the next step; None when the walk has ended. `now` is in seconds, like the events' `at`."""
        if self.state.verdict:
            return None
        step = self.planned(now)
        if step.kind == "refer":
            if self._left_in_vain():
                return self.turns.undo(self._turned_in_vain())
            if not step.normal and not step.see and step.id != HEAT_ALONE and self.state.steps < MOST_STEPS:
                step = LookingAgain(self.looking).next() or step
        step = self._safe(self._not_in_a_row(self._richer_first(self._safe(step))))
        if step.kind == "ask" and self.state.lost >= MOST_LOST:
            return self.steps.refer(SOMEBODY_ELSE)
        return step

    def _safe(self, step: Step) -> Step:
        """Put the guards, and closing up, before a step that cranks or runs the engine."""
        work = self.standing.work(step.kind, step.id)
        mended = step.id if step.kind == "mend" else ""
        before = self.looking.turning(work, mended) if work is not None else None
        if (before or step).id in self.scope.guards:
            before = self.looking.before_a_guard() or before
        return before or step

    @property
    def lean_today(self) -> str:
        """How the screws go home before it runs, where it is known to be lean today; "" otherwise."""
        drift = self.state.drift
        lean = drift is not None and drift.setting == "lean" and not self.state.standing_turns
        return self.standing.way_back if lean else ""

    def _richer_first(self, step: Step) -> Step:
        """Send the screws home before anything runs an engine that is known to be lean today."""
        work = self.standing.work(step.kind, step.id)
        if work is None or work.engine != "running" or not (back := self.lean_today):
            return step
        why = "The day asks for richer than it stands. The screws go home, to what this day asks, before it is started."
        return replace(self.steps.back(back, why, ()), node="")

    def _not_in_a_row(self, step: Step) -> Step:
        """Put another look before one that would ask what was answered just now: the same eyes see the same.

        A check that still shows it after its mend is made once more before that mend counts as in vain: another look
        comes between the two as well, as long as there is one.
        """
        if step.kind not in ("ask", "recheck") or step.id != self.state.last:
            return step
        between = self.looking.between() if self.state.steps < MOST_STEPS else None
        if between is not None or step.kind == "recheck":
            return between or step
        if self.standing.accused and (mend := Mending(self.looking).at_once()) is not None:
            return mend
        asked = self.scope.checks[step.id].name
        return self.steps.refer(f"Only '{asked}' is left to look at, and it has just been looked at.")

    def planned(self, now: float) -> Step:
        """Return the next step as if no look could miss: a hand-over stands here, that a second look may put off."""
        step = self._urgent(now) or self._node(now)
        ends = ("refer", "adjust", "ask") if self.state.grounded() else ("refer", "adjust")
        if self.standing.dead_accusations and step.kind in ends and not self.standing.shares:
            names = self.looking.check_names(self.standing.dead_accusations)
            return self.steps.refer(f"{names} showed it again, and everything that could explain that has been mended.")
        return step

    def _urgent(self, now: float) -> Step | None:
        """Return what comes before the node's own step."""
        if self.state.undo:
            said = {one.node: one.exit for one in self.state.results}.get(self.state.trying)
            told = "It changed nothing" if said == "same" else "It got worse"
            return self.turns.undo(f"{told}: turn it back to where it was.")
        if (
            self.state.following
            and not self.state.grounded()
            and not self._guard_accuses()
            and not self.standing.unsafe
        ):
            screw, hours = next(iter(self.state.following.items()))
            return self.looking.running(LISTENING) or self.turns.follow(screw, hours)
        if self.state.proof:
            return self.looking.ask(
                self.state.proof, "It is gone. This had shown that the screw stood wrong: does it still?"
            )
        if self.state.steps >= MOST_STEPS:
            return self._at_the_end()
        if self.state.recheck:
            return self._recheck(self.state.recheck[0])
        if self.standing.contradictory:
            return self.looking.demanded(self.standing.contradictory[0], "Two looks disagree: a third one decides.")
        due = self.state.retest and not self._looks_first()
        if due and not self.state.grounded() and not self._guard_accuses() and not self.standing.unsafe:
            return Mending(self.looking).plainly() or self._retest()
        if self.standing.accused and (accused := Mending(self.looking).next(now)) is not None:
            return accused
        return self._retest() if due else None

    def _at_the_end(self) -> Step:
        """Try what was mended or turned last, as far as the engine may run, then hand over."""
        if self.state.recheck:
            return self._recheck(self.state.recheck[0])
        if self.state.retest and not self.state.grounded() and not self._guard_accuses():
            return self._retest()
        return self.steps.refer("So much was looked at, and it is not cured. Let somebody else look at it afresh.")

    def _looks_first(self) -> bool:
        """Say whether the looks that are owed come before the engine is started to try a mend."""
        return self.standing.symptom.looks_first and isinstance(self.standing.node, Sweep)

    def _guard_accuses(self) -> bool:
        """Say whether a guard has found something that a mend could put right: the engine is not run before that."""
        return any(guard in checks for checks in self.standing.accused.values() for guard in self.scope.guards)

    def _left_in_vain(self) -> bool:
        """Say whether a turn would be left behind that leaned the mixture, or that changed nothing."""
        if not self.state.standing_turns:
            return False
        last = self.state.standing_turns[-1]
        lean = (last.screw, "lean") in self.standing.signs  # there the richer of the two is the safer
        return gate.leans(last.way) or (last not in self.state.bettered and not lean)

    def _turned_in_vain(self) -> str:
        """Say where the last turn is turned back to."""
        if len(self.state.standing_turns) > 1:
            return "The last turn did not cure it: turn that one back."
        to = (
            "to the record"
            if self.state.standing_turns[-1].screw in self.state.home
            else "so that the screw stands where it was found"
        )
        return f"It did not cure it: turn it back, {to}."

    def _recheck(self, check: str) -> Step:
        why = "It was mended: the same check shows whether that was it."
        if self.state.asked.get(check, 0):
            why = "It still shows it. Look once more: a look can be mistaken."
        return self.looking.running(self.scope.checks[check].state) or self.steps.check(check, why, kind="recheck")

    def _retest(self) -> Step:
        if home := self._home_with_the_mend() or self._the_others():
            return home
        step = self.steps.retest("Only the engine can say whether that was it.")
        return self.looking.running(step.state) or step

    def _home_with_the_mend(self) -> Step | None:
        """Return the step that sends the screws home in the same stop as a mend, where somebody has turned one."""
        told = turned(self.scope, self.state) and not self.state.home
        if self.state.retest != "mend" or not (told or self._moved) or not (back := self.standing.way_back):
            return None
        which = "You said that a screw was turned." if told else "A screw was seen to have moved."
        why = f"{which} It goes home in the same stop, before the engine runs again."
        return replace(self.steps.back(back, why, self._suspected), node="")

    def _the_others(self) -> Step | None:
        """Return what comes before a run where only the suspected screws went home: the marks of the others.

        What is seen to have moved goes home in the same stop; the look is made once, and who can't tell leaves them.
        """
        if self.state.retest not in ("restore", "both"):
            return None
        if (away := self.standing.seen_away) and (back := self.standing.way_back):
            why = "Its mark shows that another screw has moved. It goes home in the same stop, before the engine runs."
            return replace(self.steps.back(back, why, away), node=self.state.trying)
        if not (look := self.looking.at_the_marks()):
            return None
        return self.steps.check(look, "Only what was suspected went back. A look tells whether the others have moved.")

    def _node(self, now: float) -> Step:
        position = self.standing.position
        if position.lost:
            return self.steps.refer(f"{capital(position.lost)}.")
        node = self.standing.node
        if isinstance(node, (Sweep, Ask)) and (guard := self.looking.first_guard()):
            return guard
        match node:
            case Sweep(look="strip"):
                return self._different() or self.looking.swept(node)
            case Sweep():
                return self.looking.swept(node)
            case Ask():
                return self.looking.demanded(node.ask, "The next step depends on this.")
            case Adjust():
                return self._adjust(node, now)
            case Prepare():
                return self._prepare(node)
            case Refer():
                if node.nothing_wrong and self._all_is_sound():
                    return self.steps.normal(node.refer, position.node)
                return replace(self.steps.refer(node.refer, position.node), see=node.see)

    def _all_is_sound(self) -> bool:
        """Say whether nothing that was found speaks against this: nothing is wrong."""
        state = self.state
        return not (state.grounded() or state.deferred or self.standing.pointed_at or state.standing_turns)

    def _prepare(self, node: Prepare) -> Step:
        prepared = self.scope.knowledge.preparations[node.prepare]
        turns = self.state.standing_turns
        if prepared.back and turns and turns[-1].screw in self.state.home:
            return self.turns.undo(self._turned_in_vain())
        if prepared.back and not self._moved and (different := self._different()):
            return different
        if prepared.back:
            return self.steps.back(node.prepare, self._why_back(), self._suspected)
        heat = self.state.heat
        if prepared.head and heat is not None and heat.outcome == "too hot" and not self.looking.too_hot():
            return self.looking.idle()
        return self.looking.running(prepared.state) or self.steps.prepare(node.prepare, "The next step needs it.")

    @property
    def _suspected(self) -> frozenset[Screw]:
        """The screws under suspicion that are not home already."""
        return self.standing.suspected - self.state.home or self.standing.suspected

    @property
    def _moved(self) -> bool:
        """Say whether a screw was seen to have moved."""
        return any(self.scope.says_moved(name, given.answer) for name, given in self.state.answers.items())

    def _why_back(self) -> str:
        """Say why the screws go back now: one was seen to have moved, or what was looked at explains nothing."""
        if self._moved:
            return "A screw is not where the record has it. It goes back before one is tuned."
        return "What was looked at does not explain it. The record is a known place to try it from."

    def _adjust(self, node: Adjust, now: float) -> Step:
        locks = gate.locks(self.standing, node, now)
        if not locks and not self.standing.goes_back_first:
            return self.turns.adjust(node, "Everything owed is looked for, the engine is warm, and the signs agree.")
        rules = {lock.rule for lock in locks}
        if not self.standing.symptom.runs:
            return self._refused(locks, 4)
        if 6 in rules:
            return self.looking.cool() if self.looking.too_hot() else self._refused(locks, 6)
        if 1 in rules:
            return self.looking.first_look(self.standing.first_owed)
        if back := self.standing.goes_back_first:
            return self._different() or self._home_first(back, gate.moves(node).keys())
        if 2 in rules:
            owed = self.standing.strips_owed(self.standing.symptom_id)
            return self.looking.look_for(owed, "strip") if owed else self._refused(locks, 2)
        if 7 in rules:
            return self._sign(node) or self._refused(locks, 7)
        if 8 in rules:
            doubted = self._still_shown() or self._doubted() or self._opened_up()
            return doubted or self._instead_of_a_turn(node.adjust) or self._refused(locks, 8)
        if 5 in rules:
            return self.looking.running("warm") or self._refused(locks, 5)
        return self.looking.heat(leaner=gate.leans(node.way))

    def _home_first(self, back: str, screws: Collection[Screw]) -> Step:
        """Send the screws home that are about to be turned; the others after them, where it was the same there."""
        if not self.state.home.issuperset(screws):
            why = "There is a record. Before a new setting is tried, the proven one is."
            return self.steps.back(back, why, screws)
        why = "It is not gone with that. Before a new setting is tried, the other screws go home as well."
        return self.steps.back(back, why, self.scope.screws - self.state.home)

    def _instead_of_a_turn(self, screw: Screw) -> Step | None:
        """Return what is done where a screw stands on its record: strip-downs, and home with what no mark tells of."""
        if screw not in self.standing.in_place:
            return None
        inside = self.looking.plan(self.standing.strips_owed(self.standing.symptom_id), "strip")
        if inside:
            why = f"The {screw} stands where it ran well. What is wrong is somewhere else, and may be inside."
            return self.looking.demanded(inside[0].id, why)
        unseen = self.scope.screws - self.standing.in_place - self.state.home
        if not unseen or not (back := self.standing.way_back):
            return None
        return self.steps.back(back, f"The {screw} stands where it ran well. No look tells that of these.", unseen)

    def _different(self) -> Step | None:
        """Return a look that was not made yet and pays before a strip-down or going back; None when there is none."""
        return self._in_doubt(Doubt(self.standing).different(PAYS))

    def _doubted(self) -> Step | None:
        """Return the look that could best show what is left in doubt before a needle; None when none is worth it."""
        return self._in_doubt(Doubt(self.standing).look())

    def _in_doubt(self, name: str) -> Step | None:
        doubt = Doubt(self.standing)
        if not name or not self.looking.may_be_made(self.scope.checks[name]):
            return None
        what = self.looking.fault_names(doubt.could_show(name)[:3])
        if name in self.state.answers:
            return self.looking.demanded(name, f"A look can miss, and no other can show it: {what}.")
        return self.looking.demanded(name, f"One look can miss. This one is a different look at it: {what}.")

    def _opened_up(self) -> Step | None:
        """Return the strip-down that is likely enough to show what no first look does."""
        doubt = Doubt(self.standing)
        name = doubt.strip()
        if not name or not self.looking.may_be_made(self.scope.checks[name]):
            return None
        what = self.looking.fault_names(doubt.could_show(name)[:3])
        return self.looking.demanded(name, f"Only opening it up can show this, and it is likely enough: {what}.")

    def _still_shown(self) -> Step | None:
        """Look once more at what still accuses a mechanical fault, then put it right; None when that is done."""
        shown = Doubt(self.standing).still_shown
        for name in shown:
            if self.state.asked.get(name, 0) < ASKED_AGAIN and self.looking.may_be_made(self.scope.checks[name]):
                return self.looking.demanded(name, "It showed something that another look did not. Look once more.")
        return Mending(self.looking).outvoted(shown)

    def _sign(self, node: Adjust) -> Step | None:
        """Ask for another sign about the screw, unless one already speaks against it."""
        said, against = ("rich", "lean") if gate.leans(node.way) else ("lean", "rich")
        if self.standing.signs.get((node.adjust, against)) or (gate.leans(node.way) and not self.scope.engine.run_in):
            return None
        signing = [
            name
            for name in self.looking.open_checks("first")
            if any(answer.sign.get(node.adjust) == said for answer in self.scope.checks[name].answers.values())
        ]
        at_load = [name for name in signing if self.scope.runs(self.scope.checks[name].state)]
        if not self.standing.signs_at_load.get((node.adjust, said)):
            signing = at_load
        if not signing:
            return None
        quickest = min(signing, key=lambda name: (self.scope.checks[name].minutes, name))
        return self.looking.demanded(quickest, f"Turning the {node.adjust} {node.way} needs a second sign of {said}.")

    def _refused(self, locks: Iterable[Lock], rule: int) -> Step:
        """Hand over for the rule that decides: what else is shut besides is not the reason."""
        reasons = "; ".join(lock.because for lock in locks if lock.rule == rule)
        return self.steps.refer(f"No needle is turned: {reasons}.")
