"""How a walk would start now: with what the ledger, the day, and earlier walks of the same engine say."""

from __future__ import annotations

from contextlib import suppress

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason.carry import carried, unmended
from diagnose.reason.passing import many_hours
from diagnose.reason.scope import Scope
from diagnose.reason.walk import Walk
from diagnose.record import learned as learning
from diagnose.record.days import same_day
from diagnose.record.engines import Engine
from diagnose.record.outset import drifted, of_the_day, targets
from diagnose.record.ticked import ticked
from diagnose.tune import well
from diagnose.workshop.outings import Outings


class Starting(Outings):
    """The walks of a workshop, and what another one would start with."""

    def starting(self, symptom: str, engine: Engine | None = None, variant: Variant | None = None) -> ev.Started:
        """Return how a walk would start now: with what the ledger, the day and earlier outings of the engine say."""
        at = self.clock()
        learned = learning.learned(self.journal)
        started = ev.Started(at, self.knowledge.digest, symptom, "", variant or Variant(), learned=learned)
        if engine is None:
            return started if self.engines() else self._left_behind(started, "")  # there is one engine, without a name
        started = msgspec.structs.replace(started, engine=engine.name, variant=engine.variant)
        if engine.name not in self.engines():  # without a name, or lost with a journal that broke
            return started
        ledger, card = self.ledger(engine.name), self.card(engine.name)
        going = self.going_back(engine.name)
        own = {**(well.own(card) if card else {}), **self.variant(engine).own}
        air_screw = ledger.air_screw or engine.variant.air_screw
        found = None
        with suppress(DiagnoseError):  # a ledger that leads nowhere is no evidence
            found = self.explained(engine.name)
        started = self._left_behind(started, engine.name)
        before = self._carried(engine, at)
        noted = of_the_day(self.knowledge, symptom, self.days().air(at), at)
        return msgspec.structs.replace(
            started,
            variant=msgspec.structs.replace(engine.variant, own=own, air_screw=air_screw),
            carried=(*(one for one in before if one.check not in {note.check for note in noted}), *noted),
            turned=ledger.moved,
            explained={"high needle": found.at_least} if found is not None and found.at_least else {},
            recorded=going is not None,
            back=targets(going, air_screw=ledger.air_screw),
            back_because=going.because if going else "",
            back_blind=going.unknown if going else False,
            drift=drifted(found),
            well=well.when_good(card, self.knowledge.checks) if card else {},
        )

    def another_day(self, walk: Walk, at: float) -> ev.Happened | None:
        """Return that it is another day, or hours later, than the last event of a walk; None where it is not."""
        last = walk.events[-1].at
        if same_day(last, at) and not many_hours(at - last):
            return None
        engine = self.engines().get(walk.started.engine)
        today = self.starting(walk.started.symptom, engine) if engine else None
        return ev.Happened(at, "another day", today and msgspec.structs.replace(today, carried=(), learned=None))

    def _carried(self, engine: Engine, at: float) -> tuple[ev.Carried, ...]:
        """Return what is known of the car today: from its walks, and what was ticked since the last of them.

        A guard is looked at anew in each walk.
        """
        before = self._today(engine.name, at)
        found = {one.check: one for one in carried(before, lambda given: same_day(given, at))}
        checks = Scope(self.knowledge, engine.variant).checks
        since = max((one.last_at for one in before), default=0.0)
        for check, then in ticked(self.journal, engine.name, since).items():
            if check in checks and not checks[check].guard and same_day(then, at):
                found[check] = ev.Carried(check, checks[check].healthy, then, "")
        return tuple(found.values())

    def _left_behind(self, started: ev.Started, engine: str) -> ev.Started:
        """Return how a walk starts, with what the newest outing of the engine left open, and found and not mended."""
        newest = self._newest(engine)
        if newest is None:
            return started
        return msgspec.structs.replace(started, open=newest.walk.state.open, found=tuple(unmended(newest)))
