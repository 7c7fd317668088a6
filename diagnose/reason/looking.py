"""What can be looked at now, and in which order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

from diagnose.graph.model import LookKind as Kind
from diagnose.graph.model import Sweep
from diagnose.graph.wording import capital
from diagnose.reason import gate, order, planner
from diagnose.reason.ahead import planned_at, stages
from diagnose.reason.beforehand import ASKED_AGAIN, Beforehand
from diagnose.reason.belief import OTHER
from diagnose.reason.story import touched
from diagnose.reason.view import Step


class Looking(Beforehand):
    """The looks of one standing."""

    def open_checks(self, look: str) -> list[str]:
        """Return the checks of this kind that can be made now: unanswered, and not on an engine that must stay off."""
        state, swaps = self.state, self.scope.swaps
        return [
            name
            for name, check in self.scope.looks(look).items()
            if name not in state.answers
            and name not in state.unanswered
            and self.standing.makes_sense(name)
            and self.may_be_made(check)
            and (swaps(name) is None or swaps(name) not in state.swapped)
        ]

    def between(self) -> Step | None:
        """Return another look that can be made as things stand, to come between two of the same; None for none.

        What is owed goes first, then what shows most for its minutes. Nothing is started for it, nor swapped.
        """
        owed = [look.id for look in self.owed]
        able = [name for name in self.open_checks("first") if self._as_it_stands(name)]
        fits = [name for name in owed if name in able] or sorted(able, key=self._gain, reverse=True)
        if not fits:
            return None
        return self.steps.check(fits[0], "Looking twice in a row shows the same twice. This comes first.")

    def _as_it_stands(self, name: str) -> bool:
        check = self.scope.checks[name]
        here = check.engine == "off" or (check.state == self.state.bench and self._guarded)
        warm = check.state != "warm" or self.warm_enough()
        shut = not gate.still_open(self.state, check)
        return (
            here
            and not self.tries_the_danger(name)
            and warm
            and shut
            and not check.remembered
            and self.scope.swaps(name) is None
            and name != self.state.last
        )

    def tries_the_danger(self, name: str) -> bool:
        """Say whether a look tries in another way what has been found dangerous: a swollen battery is not loaded."""
        found = self.state.grounds.values()
        return any(answer.grounds in found for answer in self.scope.checks[name].answers.values())

    @property
    def _guarded(self) -> bool:
        return all(self.state.healthy(self.scope, guard) for guard in self.scope.guards)

    def _gain(self, name: str) -> tuple[float, str]:
        """Return the chance that a check shows what is believed, for its minutes; ties go by id."""
        check, shown = self.scope.checks[name], self.scope.shown(name)
        chance = sum(share * shown.of(f) for f, share in self.standing.held.items() if f != OTHER)
        return chance / max(self.steps.minutes(check.state, check.minutes), 0.1), name

    def at_the_marks(self) -> str:
        """Return the quickest look at whether the screws that are not home have moved; "" where one was tried."""
        looks = self.scope.looks("first")
        able = [name for name in looks if looks[name].engine == "off" and self.scope.places(name) - self.state.home]
        quickest = min(able, key=lambda name: (self.scope.checks[name].minutes, name), default="")
        seen = any(self.state.healthy(self.scope, name) for name in able)
        return quickest if not seen and quickest in self.open_checks("first") else ""

    def swept(self, node: Sweep) -> Step:
        """Return the next look of the sweep that the walk stands at.

        What can't be looked at here locks the needles, and holds up nothing else that is owed.
        """
        owed = self.standing.owed_in(self.standing.symptom_id, node)
        return self.look_for(owed, "strip") if node.look == "strip" else self.first_look(owed)

    def first_look(self, owed: frozenset[str]) -> Step:
        """Make the next first look that is owed, and can be made; when none can, hand over for what is `owed`."""
        open_here = self.open_checks("first")
        following = [look.id for look in self._in_order if look.id in open_here]
        return self._asked(following, self.standing.first_open) if following else self.look_for(owed, "first")

    def first_guard(self) -> Step | None:
        """Return the guard that comes before any other look; None when both were asked, or others have been made."""
        told = self.state.answers.keys() | self.state.unanswered.keys()
        for guard in self.scope.guards if self._begins and self._guards_first else ():
            if guard not in told:
                return self.steps.check(guard, "First of all: it must be able to stop.")
        return None

    @property
    def _guards_first(self) -> bool:
        """Say whether the guards open the walk: who is led at an engine that does not run yet needs them only then."""
        return self.standing.symptom.runs or not self.scope.led

    @property
    def _begins(self) -> bool:
        """Say whether no look but the guards has been made yet in this walk."""
        told = {name for name, given in self.state.answers.items() if not given.carried}
        return (told | self.state.unanswered.keys()).issubset(self.scope.guards)

    @cached_property
    def owed(self) -> tuple[order.PlannedLook, ...]:
        """The first looks that are owed before an adjustment, in the one order that everything keeps to.

        The best order may have a second look for the same fault, in case the first one misses it. It is left out: once
        the looks before it are healthy, nothing is owed that it looks for, and it is not asked.
        """
        early, left, found = self.early("first"), self._still_open, []
        for look in self._in_order:
            if look.id in self.scope.guards or look.id not in early or look.clears & left:
                found.append(look)
            left -= look.clears
        return tuple(found)

    @cached_property
    def _still_open(self) -> frozenset[str]:
        """What is owed, and what was when the order was planned: belief alone takes nothing off it in between."""
        seen = (self.scope.clears(name) for name in self.state.sound)
        return planned_at(self.standing).first_open.difference(*seen) | self.standing.first_open

    @cached_property
    def _in_order(self) -> tuple[order.PlannedLook, ...]:
        """The same, with the looks at what was touched last that are not owed."""
        base = planned_at(self.standing)
        kept = self._ordered() if base is self.standing else Looking(base)._ordered()
        left, early, found = self._still_open, self.early("first"), []
        for look in kept:
            told = self.state.healthy(self.scope, look.id)
            if not told and (look.id in self.scope.guards or look.id in early or look.clears & left):
                found.append(look)
                left -= look.clears
        found += self._without_doubles(self.plan(left, "first", found), left) if left else ()
        return tuple(found if self._begins and self._guards_first else self._guards_before_it_runs(found))

    def _guards_before_it_runs(self, looks: list[order.PlannedLook]) -> list[order.PlannedLook]:
        """Put guards that are owed again where they are needed: several looks may loosen what they look at."""
        again = [look for look in looks if look.id in self.scope.guards]
        rest = [look for look in looks if look not in again]
        at = next((n for n, look in enumerate(rest) if self.scope.checks[look.id].engine != "off"), len(rest))
        return [*rest[:at], *again, *rest[at:]]

    def _ordered(self) -> tuple[order.PlannedLook, ...]:
        """Plan the guards, and then what each stage of the route owes."""
        found = [self.look(guard) for guard in self.scope.guards if not self.state.healthy(self.scope, guard)]
        left = self.standing.first_open.difference(*(look.clears for look in found))
        early = self.early("first")
        for stage in stages(self.standing):
            if isinstance(stage, str):
                planned: Iterable[order.PlannedLook] = [self.look(stage)] if self.look(stage).clears & left else []
            else:
                planned = self.plan(stage & left, "first", found)
            for look in planned:
                if look not in found and (look.id in early or look.clears & left):
                    found.append(look)
                    left -= look.clears
        return tuple(found)

    @staticmethod
    def _without_doubles(planned: Iterable[order.PlannedLook], left: frozenset[str]) -> Iterator[order.PlannedLook]:
        for look in planned:
            if look.clears & left:
                yield look
                left -= look.clears

    def look_for(self, faults: frozenset[str], look: Kind) -> Step:
        """Make the first check of the best order; hand over when what is owed can't be looked for."""
        owed = self.standing.unlooked(faults, look, self.standing.symptom_id)
        planned = self.plan(owed, look)
        if planned:
            return self._asked([look.id for look in planned], owed)
        names = ", ".join(self._owed_names(owed))
        return self.steps.refer(f"These could not be looked for: {names}. Until they are, no needle is turned.")

    def _asked(self, planned: Sequence[str], owed: frozenset[str]) -> Step:
        """Ask the first of what is planned."""
        why = self._why(planned[0], owed, last=len(planned) == 1)
        return self.demanded(planned[0], why)

    def _why(self, name: str, owed: frozenset[str], *, last: bool) -> str:
        """Say why a look of the sweep comes now."""
        early = self.early(look="first")
        about = self.scope.clears(name) & (owed | self.standing.belief.keys() if name in early else owed)
        shown = ", ".join(self._owed_names(about)[:3])
        if name in early:
            if name in self._touched:
                return f"You said: {early[name]}. What was touched last is looked at first. It can show: {shown}."
            return f"Your club looks at it early: {early[name].rstrip('.')}. It can show: {shown}."
        return f"It can show: {shown}; {'the last one owed here' if last else 'quickest gain for the minutes'}."

    def early(self, look: str) -> dict[str, str]:
        """Return the looks at what was touched last, and those that a club wants early, each with what was said.

        They can be made, and can show something that is believed.

        They are first looks, and those that show most for their minutes come first.
        """
        if look != "first" or not (wanted := {**self.scope.knowledge.early, **self._touched}):
            return {}
        able = [name for name in self.open_checks(look) if name in wanted]
        able = [name for name in able if self.scope.clears(name) & self.standing.belief.keys()]
        able.sort(key=lambda name: (name in self._touched, self._gain(name)), reverse=True)
        return {name: wanted[name] for name in able}

    @cached_property
    def _touched(self) -> dict[str, str]:
        return {name: self.steps.text(said) for name, said in touched(self.scope, self.state).items()}

    def _owed_names(self, owed: Iterable[str]) -> list[str]:
        """Return the names of what is owed, the likeliest faults first."""
        return self.standing.forms.owed(owed, self.by_belief)

    def plan(
        self, owed: frozenset[str], look: str, after: Sequence[order.PlannedLook] = ()
    ) -> tuple[order.PlannedLook, ...]:
        """Return the checks that look for what is owed, in the best order; what comes before them is in `after`."""
        before = tuple(one.id for one in after)
        key = (owed, look, before)
        if key not in self._plans:
            names = [n for n in self.open_checks(look) if self.scope.clears(n) & owed and n not in before]
            if not names:
                names = [
                    name
                    for name, given in self.state.answers.items()
                    if (not given.sure or name in self.standing.outvoted_checks)
                    and self.scope.checks[name].look == look
                    and not self.scope.checks[name].remembered
                    and self.state.asked.get(name, 0) < ASKED_AGAIN
                    and self.scope.clears(name) & owed
                    and not self.scope.checks[name].remembered
                ]
            self._plans[key] = self._touched_first(self._planned(tuple(names), owed, after), look)
        return self._plans[key]

    def _touched_first(self, planned: tuple[order.PlannedLook, ...], look: str) -> tuple[order.PlannedLook, ...]:
        """Put the looks at what was touched last before all others but the guards; none is left out for them."""
        if not planned or not (early := self.early(look)):
            return planned
        guards = [one for one in planned if one.id in self.scope.guards]
        first = [self.look(name) for name in early if name not in self.scope.guards]
        return (*guards, *first, *(one for one in planned if one.id not in self.scope.guards and one.id not in early))

    def _planned(
        self, names: tuple[str, ...], owed: frozenset[str], after: Sequence[order.PlannedLook]
    ) -> tuple[order.PlannedLook, ...]:
        """Plan, unless a walk in this scope has stood at the same place before: what is tried over and over does."""
        bench = order.after(after, self.bench(owed))
        place = (names, owed, bench.state, bench.before and bench.before.id, bench.longest, tuple(bench.belief.items()))
        if place not in self.scope.planned:
            self.scope.planned[place] = planner.plan([self.look(name) for name in names], bench)
        return self.scope.planned[place]

    @cached_property
    def _plans(self) -> dict[tuple[frozenset[str], str, tuple[str, ...]], tuple[order.PlannedLook, ...]]:
        return {}

    def look(self, name: str) -> order.PlannedLook:
        """Return a check as the planner sees it."""
        return self.scope.look(name)

    def bench(self, owed: frozenset[str]) -> order.Prospect:
        """Return what an order is planned against now."""
        state, before = self.state, self.look(self.state.last) if self.state.last else None
        return order.Prospect(self.standing.held, owed, state.bench, self.scope.change, before, state.longest)

    def by_belief(self, fault: str) -> tuple[float, str]:
        """Sort the likeliest first; ties go by id."""
        return (-self.standing.belief.get(fault, 0.0), fault)

    def fault_names(self, faults: Iterable[str]) -> str:
        """Return the names of faults, for a sentence."""
        return ", ".join(map(self.standing.forms.name, faults))

    def check_names(self, checks: Iterable[str]) -> str:
        """Return the names of checks, to begin a sentence."""
        names = ", ".join(self.scope.checks[check].name for check in checks)
        return capital(names)
