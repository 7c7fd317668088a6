"""What to do next: one function for each situation, the most urgent first.

In this order:

undo what made it worse · make the check again after a mend · put right what an answer accuses · re-test · the node.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from diagnose.graph.model import RUNNING, Adjust, Ask, Prepare, Refer, Sweep
from diagnose.reason import belief as bel
from diagnose.reason import gate, order
from diagnose.reason.events import CANT_TELL
from diagnose.reason.standing import LEAST_SHARE, SURE_ENOUGH, Standing
from diagnose.reason.state import HOT
from diagnose.reason.steps import COOL, HEAT, Steps
from diagnose.reason.view import Lock, Step

LEAST_GAIN = 0.05
"""Bits: a check that is expected to take less off the belief does not tell the accused apart."""

TRIES = 2
"""A preparation is entered at most twice without success."""

SECOND_LOOKS = 10
"""No more checks than this are made a second time before a walk is handed over."""

WORTH_A_LOOK = 0.03
"""A look that comes out otherwise with less chance is not made again."""

PUT_OFF = 20.0
"""Minutes that it costs to come back to the right mend later. A judgement; 10 to 35 measure alike."""

ASKED_AGAIN = 2
"""A check that was answered "not quite sure" is asked once more when nothing else is left."""

MOST_LOOKS = 3
"""No check is made more often than this: of three looks two agree."""


class Decision:
    """The next step for one standing."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self.scope, self.state = standing.scope, standing.state
        self.steps = Steps(standing)

    def next(self, now: float) -> Step | None:
        """Return the next step; None when the walk has ended. `now` is in seconds, like the events' `at`."""
        if self.state.verdict:
            return None
        step = self.planned(now)
        if step.kind != "refer":
            return step
        if self._left_in_vain():
            return self.steps.undo("It did not cure it: turn it back, so that the screw stands where it was found.")
        return self._second_look() or step

    def planned(self, now: float) -> Step:
        """Return the next step as if no look could miss: a hand-over stands here, that a second look may put off."""
        step = self._urgent(now) or self._node(now)
        ends = ("refer", "adjust", "ask") if self.state.grounded() else ("refer", "adjust")
        if self.standing.dead_accusations and step.kind in ends and not self.standing.shares:
            names = self._check_names(self.standing.dead_accusations)
            return self.steps.refer(f"{names} still shows it, and everything that could explain that has been mended.")
        return step

    def _urgent(self, now: float) -> Step | None:
        """Return what comes before the node's own step."""
        if self.state.undo:
            return self.steps.undo("It got worse: turn it back to where it was.")
        if self.state.recheck:
            return self._recheck(self.state.recheck[0])
        if self.standing.contradictory:
            return self._demanded(self.standing.contradictory[0], "Two looks disagree: a third one decides.")
        due = self.state.retest and not self._looks_first()
        if due and not self.state.grounded() and not self._guard_accuses():
            return self._retest()
        if self.standing.accused and (accused := self._accused(now)) is not None:
            return accused
        return self._retest() if due else None

    def _looks_first(self) -> bool:
        """Say whether the looks that are owed come before the engine is started to try a mend."""
        return self.standing.symptom.looks_first and isinstance(self.standing.node, Sweep)

    def _second_look(self) -> Step | None:
        """Before handing over: the look that is likeliest, for its minutes, to come out otherwise a second time.

        A look can miss, and who could not tell may be able to now. This is the rule for searching with overlook (Chew,
        Annals of Mathematical Statistics 38:494, 1967): the misses so far are in the belief already.
        """
        put_off = self.standing.accused and not self.standing.shares
        if self.standing.position.lost or self.standing.dead_accusations or put_off:
            return None  # what was found explains it, or nothing that is known does: more looks would not
        for guard in self.scope.guards:
            if self.state.unanswered.get(guard) == CANT_TELL and self.state.asked.get(guard, 0) < ASKED_AGAIN:
                return self.steps.check(
                    guard, "Without it the engine stays off. Look once more, or with somebody else."
                )
        if len(self._looked_twice()) >= SECOND_LOOKS:
            return None
        best: tuple[float, str] | None = None
        for name in (*self._looked_once(), *self._not_looked()):
            check = self.scope.checks[name]
            otherwise = self._otherwise(name)
            value = otherwise / max(self.steps.minutes(check.state, check.minutes), 0.1)
            if otherwise >= WORTH_A_LOOK and (best is None or (value, name) > best):
                best = (value, name)
        if best is None:
            return None
        why = "Nothing was found yet, and a look can miss. This one is the likeliest to, for its minutes."
        step = self._demanded(best[1], why)
        return self.steps.again(best[1], why) if step.id == best[1] else step

    def _looked_twice(self) -> list[str]:
        """Return the checks made again, apart from those that had accused something: their second look was a sign."""
        said = self.state.answers
        accused = {
            name
            for name, given in said.items()
            if any(not self.scope.checks[name].answers[one.answer].healthy for one in given.earlier)
        }
        return [name for name, count in self.state.asked.items() if count > 1 and name not in accused]

    def _looked_once(self) -> list[str]:
        """Return the first looks made once in this walk, and what nobody could tell, as far as they can be made now."""
        state, checks = self.state, self.scope.checks
        told = (n for n, given in state.answers.items() if not given.carried and checks[n].look == "first")
        untold = (name for name, why in state.unanswered.items() if why == CANT_TELL)
        return [
            name
            for name in (*told, *untold)
            if state.asked.get(name, 0) == 1
            and not checks[name].remembered
            and (self._may_run or checks[name].state not in RUNNING)
            and (checks[name].state != "warm" or self._warm_enough())
        ]

    def _not_looked(self) -> list[str]:
        """Return the first looks not made yet that can show what an outvoted answer points at."""
        pointed = self.standing.pointed_at.keys()
        return [
            name
            for name in self._open_checks("first")
            if self.scope.clears(name) & pointed and (self.scope.checks[name].state != "warm" or self._warm_enough())
        ]

    def _otherwise(self, name: str) -> float:
        """Return the chance that a check comes out otherwise than it did, or comes out at all."""
        given = self.state.answers.get(name)
        belief = self.standing.belief
        if given is None:
            return sum(
                share * self.scope.shown(name).of(fault)
                for fault, share in belief.items()
                if fault in self.scope.faults
            )
        said = self.scope.answer(name, given.answer)
        return sum(share * (1 - said.of(fault)) for fault, share in belief.items() if fault in self.scope.faults)

    def _guard_accuses(self) -> bool:
        """Say whether a guard has found something that a mend could put right: the engine is not run before that."""
        return any(guard in checks for checks in self.standing.accused.values() for guard in self.scope.guards)

    def _left_in_vain(self) -> bool:
        """Say whether a turn would be left behind that leaned the mixture, or that changed nothing."""
        turns = self.state.standing_turns
        return bool(turns) and (gate.leans(turns[-1].way) or turns[-1] not in self.state.bettered)

    def _recheck(self, check: str) -> Step:
        step = self.steps.check(check, "It was mended: the same check shows whether that was it.", kind="recheck")
        return self._running(step.state) or step

    def _retest(self) -> Step:
        symptom = self.standing.symptom
        return self._running(symptom.retest.state) or self.steps.retest("Only the engine can say whether that was it.")

    def _accused(self, now: float) -> Step | None:
        """Tell the accused apart, then mend the likeliest, then the quickest gain; None to look on."""
        shares = self.standing.shares
        if not shares:
            return self._not_mended(now)
        top, share = next(iter(shares.items()))
        if share < SURE_ENOUGH and not self._one_mend(shares):
            apart = self._telling_apart(shares)
            if apart is not None:
                return apart
            mends = {f: self.scope.faults[f].mend.minutes for f in shares}
            top = min(shares, key=lambda fault: (-shares[fault] / max(mends[fault], 0.1), fault))
        accusers = self.standing.accused[top]
        if (second := self._second_sign(top, accusers)) is not None:
            return second
        if not self.standing.surely(accusers):
            return None  # nobody is sure, and nothing else can show it: it stays owed
        points = "point" if len(accusers) > 1 else "points"
        return self.steps.mend(top, f"{self._check_names(accusers)} {points} here.{self._late(top, now)}")

    def _second_sign(self, fault: str, accusers: list[str]) -> Step | None:
        """Return another look that can show the fault, or the same once more, while it costs less than it saves.

        When nobody was sure of what accuses, one is always asked for.
        """
        others = [name for name in self._open_checks("first") if fault in self.scope.clears(name)]
        again = [name for name in accusers if self._may_be_repeated(name)]
        sure = self.standing.surely(accusers)
        looks = [*others, *again] if sure else others or again
        saved = {name: self._saved(name, fault, accusers[0]) for name in looks}
        chosen = [name for name in saved if not sure or saved[name] > 0]
        if not chosen:
            return None
        best = max(chosen, key=lambda name: (saved[name], name))
        if best in others:
            return self._demanded(best, f"One more sign before that is mended: {self.scope.faults[fault].name}.")
        slip = "a look can be mistaken, and a mend in vain costs more" if sure else "you were not quite sure"
        return self._demanded(best, f"Look once more: {slip}.")

    def _may_be_repeated(self, name: str) -> bool:
        """Say whether a check that accuses can be made once more now."""
        check = self.scope.checks[name]
        return (
            not check.remembered
            and self.state.asked.get(name, 0) < (MOST_LOOKS if self._wavered(name) else ASKED_AGAIN)
            and (self._may_run or check.state not in RUNNING)
        )

    def _wavered(self, name: str) -> bool:
        """Say whether the same look has come out healthy before: what shows each time would only show once more."""
        return any(self.scope.checks[name].answers[one.answer].healthy for one in self.state.answers[name].earlier)

    def _saved(self, name: str, fault: str, accuser: str) -> float:
        """Return the minutes that a second sign is expected to save, its own taken off.

        A mend in vain costs M = mend + check + re-test. With p the chance that the fault is there, s that the look
        shows it, and e that it comes out unhealthy without it, the look spares (1 - p)(1 - e) M in vain. It also puts
        off p(1 - s) of the right mends, until the looks after it lead back to them: `PUT_OFF` minutes, or the mend
        itself where that is less. This is the question test of Heckerman, Breese and Rommelse (CACM 38(3), 1995) for a
        single mend.
        """
        check, chances = self.scope.checks[name], self.standing.chances
        shown, there = self.scope.shown(name), chances.get(fault, 0.0)
        alarm = sum(share * shown.of(other) for other, share in chances.items() if other != fault)
        in_vain = self.scope.faults[fault].mend.minutes + self.standing.symptom.retest.minutes
        in_vain += self.scope.checks[accuser].minutes
        vain, late = in_vain * (1 - there - alarm), min(in_vain, PUT_OFF) * there * (1 - shown.of(fault))
        return vain - late - self.steps.minutes(check.state, check.minutes)

    def _not_mended(self, now: float) -> Step:
        """Go on looking while there is something to look at; what was found and not mended ends in a hand-over."""
        if isinstance(self.standing.node, Sweep) and (step := self._node(now)).kind == "ask":
            return step
        names = self._fault_names(self.standing.accused)
        return self.steps.refer(f"Found, and not mended yet: {names}. Mend that first; then walk on from here.")

    def _late(self, fault: str, now: float) -> str:
        """Return a warning when the mend does not fit the minutes that are left."""
        if self.state.deadline is None:
            return ""
        left = self.state.deadline[1] - (now - self.state.deadline[0]) / 60
        needed = self.scope.faults[fault].mend.minutes
        return "" if needed <= left else f" It takes {needed:g} minutes, and does not fit the time that is left."

    def _one_mend(self, shares: dict[str, float]) -> bool:
        return len({self.scope.faults[f].mend.do for f, share in shares.items() if share >= LEAST_SHARE}) == 1

    def _telling_apart(self, shares: dict[str, float]) -> Step | None:
        """Return the check that takes most off the doubt per minute; a strip-down only when no first look does."""
        for look in ("first", "strip"):
            best: tuple[float, str] | None = None
            for name in self._open_checks(look):
                check = self.scope.checks[name]
                bits = bel.gain(shares, (self.scope.answer(name, answer) for answer in check.answers))
                if bits < LEAST_GAIN:
                    continue
                value = bits / max(self.steps.minutes(check.state, check.minutes), 0.1)
                if best is None or (value, name) > best:
                    best = (value, name)
            if best is not None and (look == "first" or self._worth(best[1], shares)):
                names = self._fault_names(list(shares)[:3])
                return self._ask(best[1], f"It tells apart: {names}.")
        return None

    def _worth(self, name: str, shares: dict[str, float]) -> bool:
        """Say whether looking costs less than what it saves of mending in the wrong order (CACM 38(3), eq. 3)."""
        check = self.scope.checks[name]
        now = self._mending(shares)
        then = self.steps.minutes(check.state, check.minutes)
        for answer in check.answers:
            likelihood = self.scope.answer(name, answer)
            joint = {fault: share * likelihood.of(fault) for fault, share in shares.items()}
            then += sum(joint.values()) * self._mending(bel.normalised(joint))
        return then < now

    def _mending(self, shares: dict[str, float]) -> float:
        """Return the expected minutes of mending in the best order: Σ p_i Σ_{j≤i} c_j."""
        retest = self.standing.symptom.retest.minutes
        costs = {fault: self.scope.faults[fault].mend.minutes + retest for fault in shares}
        spent = total = 0.0
        for fault in sorted(shares, key=lambda f: (-shares[f] / max(costs[f], 0.1), f)):
            spent += costs[fault]
            total += shares[fault] * spent
        return total

    def _node(self, now: float) -> Step:
        position = self.standing.position
        if position.lost:
            return self.steps.refer(f"{position.lost[:1].upper()}{position.lost[1:]}.")
        node = self.standing.node
        match node:
            case Sweep():
                return self._look(self.standing.owed_in(position.symptom, node), node.look)
            case Ask():
                return self._demanded(node.ask, "The next step depends on this.")
            case Adjust():
                return self._adjust(node, now)
            case Prepare():
                return self._prepare(node)
            case Refer():
                return self.steps.refer(node.refer, position.node)

    def _prepare(self, node: Prepare) -> Step:
        prepared = self.scope.knowledge.preparations[node.prepare]
        if prepared.back and self.state.gone_back and self.state.standing_turns:
            return self.steps.undo("It did not cure it: turn it back, to the record.")
        step = self.steps.prepare(node.prepare, "The next step needs it.")
        return self._running(prepared.state) or step

    def _adjust(self, node: Adjust, now: float) -> Step:
        locks = gate.locks(self.standing, node, now)
        if not locks and not self.standing.goes_back_first:
            return self.steps.adjust(node, "Everything owed is looked for, the engine is warm, and the signs agree.")
        rules = {lock.rule for lock in locks}
        if not self.standing.symptom.runs:
            return self._refused(locks)
        if 6 in rules:
            return self._cool() if self._too_hot() else self._refused(locks)
        if 1 in rules:
            return self._look(self.standing.first_owed, "first")
        if back := self.standing.goes_back_first:
            return self.steps.prepare(back, "There is a record. Before a new setting is tried, the proven one is.")
        if 2 in rules:
            owed = self.standing.strips_owed(self.standing.symptom_id)
            return self._look(owed, "strip") if owed else self._refused(locks)
        if 7 in rules:
            return self._sign(node) or self._refused(locks)
        if 5 in rules:
            return self._running("warm") or self._refused(locks)
        return self._heat(leaner=gate.leans(node.way))

    def _sign(self, node: Adjust) -> Step | None:
        """Ask for another sign about the screw, unless one already speaks against it."""
        if self.standing.signs.get((node.adjust, "lean")):
            return None
        signing = [
            name
            for name in self._open_checks("first")
            if any(node.adjust in answer.sign for answer in self.scope.checks[name].answers.values())
        ]
        if not signing:
            return None
        quickest = min(signing, key=lambda name: (self.scope.checks[name].minutes, name))
        return self._demanded(quickest, f"Turning the {node.adjust} leaner needs a second sign of rich.")

    def _heat(self, *, leaner: bool) -> Step:
        heat = self.state.heat
        if heat is not None and heat.outcome == "won't run":
            return self.steps.refer("An engine that will not keep running is not tuned. The needles stay as they are.")
        if self.state.tries >= TRIES:
            return self.steps.refer("It would not come to the right heat in two tries, so no needle is turned.")
        if self._too_hot() or (leaner and heat is not None and heat.outcome == "too hot"):
            return self._cool()
        step = self.steps.prepare(HEAT, "A needle is turned only on a warm engine, right after reading the head.")
        return self._running(step.state) or step

    def _too_hot(self) -> bool:
        return HOT in self.state.grounded()

    def _cool(self) -> Step:
        if COOL in self.state.deferred or self.state.cooled >= TRIES:
            return self.steps.refer("It stays off until the head has cooled. Find out why it runs hot before it runs.")
        return self.steps.prepare(COOL, "It is too hot to go on.")

    def _refused(self, locks: Iterable[Lock]) -> Step:
        reasons = "; ".join(lock.because for lock in locks)
        return self.steps.refer(f"No needle is turned: {reasons}.")

    def _look(self, owed: frozenset[str], look: str) -> Step:
        """Make the first check of the best order; hand over when what is owed can't be looked for."""
        planned = self.plan(owed, look)
        if planned:
            first = self.scope.checks[planned[0].id]
            shown = self._fault_names(sorted(self.scope.clears(planned[0].id) & owed, key=self._by_belief)[:3])
            per = "quickest gain for the minutes" if len(planned) > 1 else "the last one owed here"
            why = f"It can show: {shown}; {per}."
            return self._ask(planned[0].id, why) if first.state != "warm" else self._demanded(planned[0].id, why)
        names = self._fault_names(sorted(owed, key=self._by_belief))
        return self.steps.refer(f"These could not be looked for: {names}. Until they are, no needle is turned.")

    def plan(self, owed: frozenset[str], look: str) -> tuple[order.Look, ...]:
        """Return the checks that look for what is owed, in the best order."""
        key = (owed, look)
        if key not in self._plans:
            names = [name for name in self._open_checks(look) if self.scope.clears(name) & owed]
            if not names:
                names = [
                    name
                    for name, given in self.state.answers.items()
                    if (not given.sure or name in self.standing.outvoted_checks)
                    and self.scope.checks[name].look == look
                    and self.state.asked.get(name, 0) < ASKED_AGAIN
                    and self.scope.clears(name) & owed
                ]
            self._plans[key] = self._planned(tuple(names), owed)
        return self._plans[key]

    def _planned(self, names: tuple[str, ...], owed: frozenset[str]) -> tuple[order.Look, ...]:
        """Plan, unless a walk in this scope has stood at the same place before: what is tried over and over does."""
        belief = tuple(self.standing.belief.items())
        place = (names, owed, self.state.bench, belief)
        if place not in self.scope.planned:
            self.scope.planned[place] = order.plan([self.look(name) for name in names], self.bench(owed))
        return self.scope.planned[place]

    @cached_property
    def _plans(self) -> dict[tuple[frozenset[str], str], tuple[order.Look, ...]]:
        return {}

    def look(self, name: str) -> order.Look:
        """Return a check as the planner sees it."""
        check, shown = self.scope.checks[name], self.scope.shown(name)
        return order.Look(name, check.minutes, check.state, shown.named, shown.otherwise, self.scope.clears(name))

    def bench(self, owed: frozenset[str]) -> order.Bench:
        """Return what an order is planned against now."""
        return order.Bench(self.standing.belief, owed, self.state.bench, self.scope.change)

    def _open_checks(self, look: str) -> list[str]:
        """Return the checks of this kind that can be made now: unanswered, and not on an engine that must stay off."""
        may_run = self._may_run
        return [
            name
            for name, check in self.scope.checks.items()
            if check.look == look
            and name not in self.state.answers
            and name not in self.state.unanswered
            and (may_run or check.state not in RUNNING)
            and (self.scope.swaps(name) not in self.state.swapped or self.scope.swaps(name) is None)
        ]

    @cached_property
    def _may_run(self) -> bool:
        """Say whether the engine may be run, or could be once the guards are asked."""
        if self.state.grounded():
            return False
        return all(
            guard not in self.state.unanswered and self._askable_guard(guard)
            for guard in self.scope.guards
            if not self.state.healthy(self.scope, guard)
        )

    def _askable_guard(self, guard: str) -> bool:
        return guard not in self.state.answers or self.state.asked.get(guard, 0) < ASKED_AGAIN

    def _running(self, state: str) -> Step | None:
        """Return what comes before a step that runs the engine: a guard, or a hand-over."""
        if state not in RUNNING:
            return None
        if found := self.state.grounded():
            return self._cool() if self._too_hot() else self.steps.refer(f"The engine stays off: {', '.join(found)}.")
        for guard in self.scope.guards:
            if self.state.healthy(self.scope, guard):
                continue
            if guard in self.state.unanswered or not self._askable_guard(guard):
                return self.steps.refer(
                    f"Without '{self.scope.checks[guard].name}' the engine is not run: it could run away."
                )
            return self.steps.check(guard, "Before the engine runs: it must be able to stop.")
        return None

    def _ask(self, name: str, why: str) -> Step:
        return self._running(self.scope.checks[name].state) or self.steps.check(name, why)

    def _demanded(self, name: str, why: str) -> Step:
        """Ask a check, after the heat that it demands."""
        if self.scope.checks[name].state == "warm" and not self._warm_enough():
            return self._heat(leaner=False)
        return self._ask(name, why)

    def _warm_enough(self) -> bool:
        """Say whether it is warm enough to look, which is less than warm enough to tune."""
        heat = self.state.heat
        if heat is None or heat.outcome == "won't run":
            return False
        return heat.outcome != "too cool" or (
            heat.head is not None and heat.head >= self.scope.degrees("warm-enough-to-look")
        )

    def _by_belief(self, fault: str) -> tuple[float, str]:
        return (-self.standing.belief.get(fault, 0.0), fault)

    def _fault_names(self, faults: Iterable[str]) -> str:
        return ", ".join(self.scope.faults[fault].name for fault in faults)

    def _check_names(self, checks: Iterable[str]) -> str:
        names = ", ".join(self.scope.checks[check].name for check in checks)
        return f"{names[:1].upper()}{names[1:]}"
