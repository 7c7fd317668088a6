"""One simulated engine, as a value: what is wrong with it, where its screws stand, and what hands do to it.

Everything that is drawn at random comes from the engine's own seed, so that the same seed is the same engine.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from itertools import count
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Check, Fault, Knowledge, Screw, Variant
from diagnose.graph.model.parts import SCREWS
from diagnose.practice import check_answers, symptoms
from diagnose.practice import faults as table
from diagnose.practice.flow import right
from diagnose.practice.measurable import Seen, renewed, seen
from diagnose.practice.parts import PITCH, SOUND, Parts, Screws, Weather, attribute
from diagnose.practice.person import USUAL, Person
from diagnose.practice.symptoms import Circumstances
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend

HEAD_SPREAD = 2.0
"""°C by which two readings of the same head differ: assumed."""
CALM = 0.5
"""How far calm laps bring a head from its heat on the stand to that of fast laps: assumed."""
NOTED = 0.5
"""The share of records whose day was noted: assumed."""
SKILL = 0.5
"""Hours by which an owner's tune misses what is right, at most: assumed."""
DETUNED = 6.0
"""Hours that a needle of a detuned engine may be off its record, either way."""
LEAN = 1.0
"""Hours leaner than right from which an engine is in danger."""
NEEDLES: dict[int, tuple[Screw, ...]] = {
    2: ("high needle", "low needle"),
    3: ("high needle", "low needle", "mid needle"),
}
DRAWS = 500
"""Engines drawn in vain, before the knowledge is held to have nothing that one could show."""
TRIES = 60
"""A fault too mild to show is drawn again so often, before another fault is taken."""


class MadeWrong(Struct, frozen=True):
    """One thing that is wrong: which fault, which of its modes, how badly (0 to 1)."""

    fault: str
    mode: int
    severity: float


class SimEngine(Struct, frozen=True):
    """A simulated engine."""

    seed: str
    knowledge: Knowledge
    """Whose faults it can have, and whose checks show something of it."""
    variant: Variant
    parts: Parts
    screws: Screws
    day: Weather
    tuned: Screws
    """Where the owner had it when it last ran well: the record, if it is written down."""
    recorded: bool
    troubles: tuple[MadeWrong, ...] = ()
    stored: bool = False
    complaint: str = ""
    """The symptom that its owner reports."""
    then: Weather | None = None
    """The day of the record, where somebody noted it."""
    alike: tuple[MadeWrong, ...] = ()
    """The troubles that are still there and only act like a fault of `parts`: their own mend alone helps."""

    @property
    def state(self) -> Circumstances:
        """What decides which symptoms there are."""
        return Circumstances(self.whole(self.parts), self.screws, self.day, self.variant, self.stored)

    def whole(self, parts: Parts) -> Parts:
        """Return parts with what only acts like a fault of theirs."""
        for one in self.alike:
            parts = table.laid_on(parts, self.knowledge.simulated_faults[one.fault], one.mode, one.severity)
        return parts

    def before(self) -> SimEngine:
        """Return the sound engine that it was, its screws where the owner had them."""
        return replace(self, parts=SOUND, screws=self.tuned, troubles=(), alike=())

    def there(self) -> tuple[str, ...]:
        """Return the hypotheses that are still there: faults, and of those that take several forms the form."""
        found = []
        for trouble in filter(self.still_wrong, self.troubles):
            forms = self.knowledge.simulated_faults[trouble.fault].forms
            found.append(f"{trouble.fault}.{forms[trouble.mode]}" if forms else trouble.fault)
        return tuple(found)

    def seen(self, complaint: str = "") -> Seen:
        """Return what a look is given; `complaint` is the symptom that a spare part is tried against."""
        record = self.tuned if self.recorded else None
        alike = tuple(one.fault for one in self.alike)
        told = complaint or self.complaint
        return seen(self.state, record, told, self.knowledge, self.parts, self.whole, alike, self.there)

    def see(
        self, name: str, check: Check, visit: int, complaint: str = "", person: Person = USUAL
    ) -> str | float | None:
        """Return what a person sees at the `visit`-th look: the same for the same engine, state, visit and person."""
        if visit and person.same_slip and Random(f"{self.seed} {name} {visit} again").random() < person.same_slip:
            visit = 0
        rng = Random(f"{self.seed} {name} {visit}")
        return check_answers.see(name, check, self.seen(complaint), rng, person.noise)

    def looked(self, check: str) -> SimEngine:
        """Return the engine after a look: a part that was swapped for it stays in."""
        asked, made = self.knowledge.checks[check], self
        look = check_answers.row(check, asked, self.knowledge)
        if look is not None:
            return replace(self, parts=renewed(self.parts, look.fits)) if look.fits else self
        for fault in (answer.mends for answer in asked.answers.values() if answer.mends):
            made = made.mended(fault, self.knowledge.faults[fault])
        return made

    def mended(self, name: str, fault: Fault) -> SimEngine:
        """Return the engine after the mend of a fault, whether or not that was what was wrong."""
        row = self.knowledge.simulated_faults.get(name)
        if row is None:
            return self
        if fault.acts_like is not None:
            return replace(self, alike=tuple(one for one in self.alike if one.fault != name))
        if fault.screw is not None:
            return replace(self, screws=table.set_again(self.screws, row, self.gone_back(table.displaced(row)).screws))
        return replace(self, parts=table.mended(self.parts, row))

    def turned(self, moves: Mapping[Screw, float]) -> SimEngine:
        """Return the engine with screws turned by signed hours: richer (or in) is positive."""
        screws = self.screws
        for screw, hours in moves.items():
            screws = screws.turned(screw, hours)
        return replace(self, screws=screws)

    def gone_back(self, screws: Collection[str] = SCREWS) -> SimEngine:
        """Return the engine with some screws, or all, back on the record, on the rich side of it as the day asks."""
        home = table.gone_back(self.tuned, self.then, self.day)
        return replace(self, screws=table.only(home, self.screws, screws))

    def strength(self, symptom: str) -> float:
        """Return how strongly a symptom shows; from 1 on a person notices."""
        return symptoms.strengths(self.state).get(symptom, 0.0)

    def head(self, visit: int) -> float | None:
        """Return the °C that is shown of the warmed head at the `visit`-th reading; None if it won't run.

        What will not warm up on the stand is driven a few calm laps.
        """
        found = self.seen()
        if found.stage < 5:
            return None
        stand, race = found.running.stand, found.running.race
        spread = Random(f"{self.seed} head {visit}").gauss(0, HEAD_SPREAD)
        cool = stand + 0.7 * found.parts.reads < self.knowledge.number("head-floor", self.variant)
        warmed = stand + CALM * max(race - stand, 0.0) if cool else stand
        return round(warmed + 0.7 * found.parts.reads + spread, 1)

    def head_after_laps(self, visit: int) -> float | None:
        """Return the °C that is shown of the head after fast laps, at the `visit`-th reading; None if it won't run."""
        found = self.seen()
        if found.stage < 5:
            return None
        spread = Random(f"{self.seed} laps {visit}").gauss(0, HEAD_SPREAD)
        return round(found.running.race + found.parts.reads + spread, 1)

    def still_wrong(self, trouble: MadeWrong) -> bool:
        """Say whether a fault is still there.

        A part is when it is not sound. A needle is when it stands over an hour leaner than is right today, or when it
        alone would make a sound engine show something: a shade rich that nobody hears is not wrong.
        """
        if self.knowledge.faults[trouble.fault].acts_like is not None:
            return trouble in self.alike
        mode = self.knowledge.simulated_faults[trouble.fault].modes[trouble.mode]
        if "primed" in mode or "level" in mode:
            return self.parts.primed < 1 or self.parts.level < 0.1
        if any(getattr(self.parts, one) != getattr(SOUND, one) for one in map(attribute, mode.keys() - set(SCREWS))):
            return True
        lean = self.leaner_than_right()
        if any(lean.get(screw, 0.0) > LEAN for screw in mode):
            return True
        alone = {table.FIELD[part]: getattr(self.screws, table.FIELD[part]) for part in mode if part in SCREWS}
        return bool(alone) and bool(
            symptoms.shown(Circumstances(SOUND, replace(self.tuned, **alone), self.day, self.variant))
        )

    def off_record(self, screw: str) -> float:
        """Return the hours that a screw stands richer (or further in) than when it last ran well."""
        off = float(getattr(self.screws, table.FIELD[screw]) - getattr(self.tuned, table.FIELD[screw]))
        return off * 12 / PITCH if screw == "idle stop" else off

    def leaner_than_right(self) -> dict[str, float]:
        """Return the hours that the high and the low needle stand leaner than a sound engine needs today."""
        best = right(self.day, self.variant.needles)
        return {"high needle": best.high - self.screws.high, "low needle": best.low - self.screws.low}

    def lean_needles(self) -> list[str]:
        """Return the needles that stand over an hour leaner than is right today."""
        return [screw for screw, hours in self.leaner_than_right().items() if hours > LEAN]

    def dangerously_lean(self) -> bool:
        """Say whether a needle stands over an hour leaner than is right today."""
        return bool(self.lean_needles())


def _day(rng: Random) -> Weather:
    """Draw a day: 5 to 38 °C, 940 to 1030 hPa at the track, 20 to 95 % humidity, one of the usual blends."""
    air = Air(round(rng.uniform(5, 38), 1), round(rng.uniform(94_000, 103_000)), round(rng.uniform(0.2, 0.95), 2))
    return Weather(air, Blend(0.20, 0.10))


def _tuned(rng: Random, day: Weather, needles: int) -> Screws:
    """Draw where the owner left the screws on an earlier day: right for that day, within an owner's skill."""
    best = right(day, needles)
    off = [rng.uniform(-SKILL, SKILL) for _ in range(2)]
    return replace(best, high=best.high + off[0], low=best.low + off[1], mid=24.0, gap=round(rng.uniform(0.9, 1.1), 2))


def _variant(rng: Random) -> Variant:
    """Draw an engine: three of four are run in, all else is even."""
    return Variant(rng.choice((2, 3)), rng.choice(("box", "pull", "electric")), rng.random() < 0.75)


def sound_engine(seed: str, knowledge: Knowledge) -> SimEngine:
    """Return an engine with nothing wrong, tuned on a day a little different from today, that shows nothing today."""
    for attempt in count():
        rng = Random(f"{seed} sound {attempt}")
        variant, day = _variant(rng), _day(rng)
        then = Air(
            day.air.temperature + rng.uniform(-8, 8), day.air.pressure + rng.uniform(-800, 800), day.air.humidity
        )
        tuned = _tuned(rng, Weather(then), variant.needles)
        recorded, stored = rng.random() < 0.5, rng.random() < 0.08
        noted = Weather(then) if Random(f"{seed} noted").random() < NOTED else None
        engine = SimEngine(seed, knowledge, variant, SOUND, tuned, day, tuned, recorded, stored=stored, then=noted)
        if not symptoms.shown(engine.state):  # an owner who says that it runs well has one that does
            return engine
    raise AssertionError("every seed has a sound engine")


def with_trouble(engine: SimEngine, trouble: MadeWrong) -> SimEngine:
    """Return the engine with one more thing wrong."""
    if engine.knowledge.faults[trouble.fault].acts_like is not None:
        return replace(engine, troubles=(*engine.troubles, trouble), alike=(*engine.alike, trouble))
    row = engine.knowledge.simulated_faults[trouble.fault]
    parts, screws = table.broken(engine.parts, engine.screws, row, trouble.mode, trouble.severity)
    return replace(engine, parts=parts, screws=screws, troubles=(*engine.troubles, trouble))


def random_engine(seed: str, knowledge: Knowledge, faults: int = 1) -> SimEngine:
    """Draw an engine with so many things wrong, each of which shows by itself, and what its owner reports of it.

    How often a fault is drawn follows the `often` of its row; a fault that is too mild to show is drawn again. Raises
    `DiagnoseError` when the knowledge has nothing that an engine could show.
    """
    rng = Random(f"{seed} trouble")
    base = sound_engine(seed, knowledge)
    known = frozenset(knowledge.symptoms) - {symptoms.FIRST_START}
    rows = knowledge.simulated_faults
    names = [n for n in rows if n in knowledge.faults and _may_be(knowledge.faults[n], base.variant)]
    weights = [rows[name].often for name in names]
    for _ in range(DRAWS if names else 0):
        engine, taken = base, set[str]()
        for _ in range(DRAWS):
            trouble = showing(base, rng, rng.choices(names, weights)[0], known)
            if trouble is not None and trouble.fault not in taken:
                taken.add(trouble.fault)
                engine = with_trouble(engine, trouble)
            if len(engine.troubles) == faults:
                break
        complaint = symptoms.reported(engine.state, known, rng)
        if complaint is not None and len(engine.troubles) == faults:
            return replace(engine, complaint=complaint)
    raise DiagnoseError(
        "no engine can be drawn: no fault of this knowledge shows a symptom of it on a simulated engine"
    )


def _may_be(fault: Fault, variant: Variant) -> bool:
    """Say whether this engine can have a fault that somebody complains of: not one that only a first start asks for."""
    return fault.only.fits(variant) and set(fault.explains) != {symptoms.FIRST_START}


def drawn_trouble(engine: SimEngine, fault: str, rng: Random, bad: float | None = None) -> MadeWrong:
    """Draw how a fault is there: in which mode, and how badly if that is not said."""
    row, known = engine.knowledge.simulated_faults[fault], engine.knowledge.faults[fault].forms
    if known.keys() >= set(row.forms) and row.forms:
        shares = [known[form].share / row.forms.count(form) for form in row.forms]
        mode = rng.choices(range(len(row.modes)), shares)[0]
    else:
        mode = rng.randrange(len(row.modes))
    return MadeWrong(fault, mode, round(rng.random() if bad is None else bad, 3))


def showing(base: SimEngine, rng: Random, fault: str, known: frozenset[str]) -> MadeWrong | None:
    """Draw how a fault is there, so that it shows by itself; None when it never does on this engine."""
    for _ in range(TRIES):
        trouble = drawn_trouble(base, fault, rng)
        if symptoms.shown(with_trouble(base, trouble).state).keys() & known:
            return trouble
    return None


def detuned_engine(seed: str, knowledge: Knowledge, *, recorded: bool) -> SimEngine:
    """Draw a sound engine whose needles somebody has turned, up to six hours either way, so that it shows.

    Raises `DiagnoseError` when the knowledge has no symptom of it.
    """
    rng = Random(f"{seed} detuned")
    base = sound_engine(seed, knowledge)
    known = frozenset(knowledge.symptoms) - {symptoms.FIRST_START, symptoms.DOOR}
    for _ in range(DRAWS):
        screws = base.tuned
        for screw in NEEDLES[base.variant.needles]:
            screws = screws.turned(screw, rng.uniform(-DETUNED, DETUNED))
        engine = replace(base, screws=screws, recorded=recorded)
        complaint = symptoms.reported(engine.state, known, rng)
        if complaint is not None:
            return replace(engine, complaint=complaint)
    raise DiagnoseError("no engine can be drawn: a needle that is off shows no symptom of this knowledge")
