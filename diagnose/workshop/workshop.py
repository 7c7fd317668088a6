"""The engines of one person at one journal: their ledgers and well cards, the days, and what the days explain."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Screw, Variant
from diagnose.graph.problem import did_you_mean
from diagnose.graph.wording import fahrenheit
from diagnose.reason.scope import Scope
from diagnose.record import cards, windows
from diagnose.record.days import Day, Days, days, note, refuse, same_day
from diagnose.record.engines import Engine, add, engines
from diagnose.record.journal import Conflict, Journal
from diagnose.record.ledger import Ledgers
from diagnose.tune import back, drift, needles
from diagnose.tune import window as warm
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions, Span
from diagnose.tune.well import Card

if TYPE_CHECKING:
    from diagnose.tune.slope import Slope

Clock = Callable[[], float]


class Workshop:
    """Knowledge, a journal, and a clock that returns seconds since the epoch."""

    def __init__(self, knowledge: Knowledge, journal: Journal, clock: Clock = time.time) -> None:
        self.knowledge = knowledge
        self.journal = journal
        self.clock = clock
        self.ledgers = Ledgers(knowledge)
        self._folded: dict[str, needles.Ledger] = {}

    def engines(self) -> dict[str, Engine]:
        """Return the recorded engines by name."""
        return engines(self.journal)

    def engine(self, name: str) -> Engine:
        """Return an engine; raises `DiagnoseError` with the nearest name when there is none."""
        known = self.engines()
        if name not in known:
            hint = did_you_mean(name, known) or "; add it with: diagnose engine add NAME"
            raise DiagnoseError(f"there is no engine called '{name}'{hint}")
        return known[name]

    def add_engine(self, engine: Engine) -> Engine:
        """Record a new engine; raises `DiagnoseError` for one whose own temperatures are in no order."""
        self._refuse_heat(engine.variant)
        return add(self.journal, engine, self.clock())

    def ledger(self, engine: str) -> needles.Ledger:
        """Return what an engine's entries come to, by hand and from its walks."""
        entries = tuple(self.ledgers.entries(self.journal, self.engine(engine), self.days()))
        known = self._folded.get(engine)
        if known is None or known.entries != entries:
            known = self._folded[engine] = needles.fold(entries)
        return known

    def write(self, engine: str, entry: needles.LedgerEntry) -> needles.Ledger:
        """Store an entry, then return the ledger with it; raises `Conflict` after reading what another window wrote.

        Raises `DiagnoseError` for a screw that the engine has not, and for a day or a fuel that can't be.
        """
        self._refuse(self.engine(engine), entry)
        try:
            self.ledgers.write(self.journal, engine, entry)
        except Conflict:
            self.ledger(engine)
            raise
        return self.ledger(engine)

    @staticmethod
    def _refuse(engine: Engine, entry: needles.LedgerEntry) -> None:
        if isinstance(entry, needles.Amended):
            entry = entry.now
        if isinstance(entry, needles.Baseline | needles.Good):
            refuse(entry.conditions.air, entry.conditions.fuel)
        screws: set[Screw] = set()
        if isinstance(entry, needles.Turned):
            screws.update(screw for screw, _, _ in entry.moves())
        elif not isinstance(entry, needles.Good | needles.Struck):
            screws.update(entry.settings)
        if engine.variant.needles == 2 and "mid needle" in screws:
            raise DiagnoseError(f"'{engine.name}' has two needles: there is no mid needle")

    def days(self) -> Days:
        """Return what was noted of the days."""
        return days(self.journal)

    def elevation(self) -> float | None:
        """Return the elevation noted last, else that of the club's track, in m."""
        noted = self.days().elevation
        return self.knowledge.elevation if noted is None else noted

    def note_day(self, air: Air | None, fuel: Blend | None, engine: str = "", elevation: float | None = None) -> None:
        """Note today's air, and the fuel of an engine (of all, without a name); `elevation` in m.

        Raises `DiagnoseError` for what can't be.
        """
        if engine:
            self.engine(engine)
        note(self.journal, Day(self.clock(), air, fuel, elevation, engine))

    def conditions(self, engine: str) -> Conditions:
        """Return today's air as last noted, the fuel last noted for the engine, and its last head reading of today."""
        at = self.clock()
        heads = [head for outing in self.ledgers.outdoors(self.journal, engine) for head in outing.heads]
        today = [one for one in heads if same_day(one[0], at)]
        return self.days().conditions(engine, at, max(today)[1] if today else None)

    def explained(self, engine: str, now: Conditions | None = None) -> drift.Explained | None:
        """Return what air and fuel explain since the last good tune; None when there is none to compare with.

        `now` stands in for what is noted of today.
        """
        ledger = self.ledger(engine)
        moved = ledger.drift()
        if ledger.last_good is None or moved is None:
            return None
        now, at, noted = now or self.conditions(engine), self.clock(), self.days()
        heights = noted.height(ledger.last_good.at), noted.height(at)
        return drift.explain(moved, ledger.last_good, now, at, sought=ledger.sought(), heights=heights)

    def advice(self, engine: str, now: Conditions | None = None) -> drift.Advice | None:
        """Return what to do with the high needle for air and fuel alone; None when there is nothing to compare with."""
        now = now or self.conditions(engine)
        found = self.explained(engine, now)
        if found is None:
            return None
        return drift.advise(found, Span(*self.window(engine)), now.head)

    def going_back(self, engine: str, record: needles.Tune | None = None) -> back.GoingBack | None:
        """Return how to go back on this day and with this fuel: to `record`, else to the last good tune or baseline.

        None when there is nothing to go back to.
        """
        ledger = self.ledger(engine)
        there = record or ledger.record
        if there is None:
            return None
        return back.going_back(ledger, self.conditions(engine), record=there, gap=self.gap(engine))

    def gap(self, engine: str) -> float | None:
        """Return the gap at the idle stop by the engine's well card, in mm; None where it holds none."""
        card = self.card(engine)
        return card.idle_gap if card is not None else None

    def strike(self, engine: str) -> needles.LedgerEntry:
        """Strike the newest entry of an engine's ledger that no walk turned, and return it.

        A turn of a walk is taken back in the walk, which minds what follows from it. Raises `DiagnoseError` when there
        is nothing to strike.
        """
        for entry in reversed(self.ledger(engine).entries):
            if not of_a_walk(entry):
                self.write(engine, needles.Struck(self.clock(), entry.at, needles.kind(entry)))
                return entry
        raise DiagnoseError(f"nothing in the ledger of '{engine}' can be struck out")

    def card(self, engine: str) -> Card | None:
        """Return the engine's well card, if it has one."""
        return cards.card(self.journal, engine)

    def write_card(self, engine: str, card: Card) -> None:
        """Store a well card; from then on it counts. Raises `DiagnoseError` for a day or a fuel that can't be."""
        self.engine(engine)
        refuse(card.conditions.air, card.conditions.fuel)
        cards.write_card(self.journal, engine, card)

    def variant(self, engine: Engine) -> Variant:
        """Return what an engine is, with the window that its owner has set."""
        own = windows.window(self.journal, engine.name) if engine.name else None
        return self._with(engine.variant, own) if own else engine.variant

    def window(self, engine: str) -> warm.Window:
        """Return between which head temperatures its screws are turned."""
        scope = Scope(self.knowledge, self.variant(self.engine(engine)))
        return warm.Window(scope.degrees("head-floor"), scope.degrees("head-ceiling"))

    def offered_window(self, engine: str) -> warm.Offer:
        """Return the window that the engine's own heads at good tunes come to, or what is missing for one."""
        heads = warm.own_heads(self.ledger(engine).entries, self.card(engine))
        scope = Scope(self.knowledge, self.engine(engine).variant)
        return warm.offered(heads, {name: scope.degrees(name) for name in (*warm.ORDER, "warm-enough-to-look")})

    def write_window(self, engine: str, made: warm.Window | None) -> None:
        """Take over a window, None for the general one; raises `DiagnoseError` for one that reaches too high."""
        known = self.engine(engine)
        self._refuse_heat(self._with(known.variant, made) if made else known.variant)
        windows.write_window(self.journal, engine, made, self.clock())

    def _with(self, variant: Variant, own: warm.Window) -> Variant:
        edges = {"head-floor": own.floor, "head-ceiling": own.ceiling}
        told = {n: fahrenheit(at) if self.knowledge.facts[n].unit == "°F" else at for n, at in edges.items()}
        return msgspec.structs.replace(variant, own={**variant.own, **told})

    def _refuse_heat(self, variant: Variant) -> None:
        if not set(warm.ORDER) & variant.own.keys():
            return
        scope = Scope(self.knowledge, variant)
        if problem := warm.disorder({name: scope.degrees(name) for name in warm.ORDER}):
            raise DiagnoseError(problem)

    def slope(self, engine: str) -> Slope | None:
        """Return the engine's own slope from its logged good tunes; None when there is none."""
        from diagnose.tune.slope import learn, logged  # statistics would cost a first screen

        tunes = logged(self.ledger(engine).entries)
        return learn(tunes) if tunes else None


def of_a_walk(entry: needles.LedgerEntry) -> bool:
    """Say whether a walk moved the screws: then it is taken back there."""
    return isinstance(entry, needles.Turned | needles.WentBack) and bool(entry.outing)
