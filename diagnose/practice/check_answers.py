"""What a person sees of a simulated engine: a check's answer, from the physical state, with honest noise.

What is there is in `knowledge/simulated`, by the parts and by what is measured of them; it is shown or missed as often
as the look's trust grade says. Of a check with a row there only its answers are used, which is the healthy one, and
which one says that a fresh part cured it. Its probabilities are never read. A check without one, a club's own, is seen
by its own numbers: there is nothing else to go by. Each look errs by itself: that the same look errs twice in the same
way is not modelled.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from random import Random

from diagnose.graph.model import Check, Knowledge, SimulatedCheck, fault_of
from diagnose.graph.model.presumption import Presumption
from diagnose.graph.model.simulated import Further, Gauge, Sign, Stage, Trust
from diagnose.practice.measurable import SENSES, Seen
from diagnose.practice.symptom_strengths import SHOWS

TRUST: dict[Trust, tuple[float, float]] = {"H": (0.95, 0.02), "M": (0.85, 0.05), "L": (0.65, 0.10)}
"""How often a look shows what is there, and how often something although it is not (design §6, fixed beforehand)."""

STAGES: dict[Stage | None, int] = {None: 0, "turns": 1, "fires": 2, "catches": 3, "lives": 4, "runs": 5}
PRESUMED: dict[Presumption, Stage] = {
    "turns": "turns",
    "catches": "catches",
    "runs": "lives",
    "idles": "runs",
    "drives": "runs",
    "hot": "runs",
}
"""How far the engine must come for a look that has no row, by what it presumes."""


def row(name: str, check: Check, knowledge: Knowledge) -> SimulatedCheck | None:
    """Return what is there to be seen at a check; None when nothing simulated tells, as at one that was replaced."""
    found = knowledge.simulated_checks.get(name)
    signs = {sign.answer for sign in found.shows} if found is not None else set()
    return None if signs and not signs & check.answers.keys() else found


def truth(name: str, check: Check, seen: Seen) -> tuple[str, Trust] | None:
    """Return the answer that an eye which never errs would give, with its grade; None when nobody can look now."""
    look = row(name, check, seen.knowledge)
    if look is None:
        chances = _by_its_numbers(check, seen, seen.there())
        return (_likeliest(check, chances), "M") if chances else None
    if look.reads is not None or not _possible(look, seen):
        return None
    unrecorded = look.record and seen.record is None
    if look.fits and seen.cured_with(look.fits):
        cured = next((answer for answer, said in check.answers.items() if said.mends), check.healthy)
        return cured, look.trust
    for sign in look.shows:
        if unrecorded and sign.answer not in look.unrecorded:
            continue
        if sign.answer in check.answers and _there(sign, seen):
            return sign.answer, sign.trust or look.trust
    if named := _named(check, seen.alike):
        return _likeliest(check, _by_its_numbers(check, seen, named)), look.trust
    return None if unrecorded else (check.healthy, look.trust)


def see(name: str, check: Check, seen: Seen, rng: Random, noise: float = 1.0) -> str | float | None:
    """Return what a person sees: an answer's id, the number that a gauge shows, or None for "can't tell".

    With `noise` the look misses, or shows what is not there, so many times as often as its grade says.
    """
    look = row(name, check, seen.knowledge)
    if look is None:
        return _drawn(check, _by_its_numbers(check, seen, seen.there()), seen, rng, noise)
    if look.reads is not None:
        return _read(look.reads, _trust(look.trust, noise), seen, rng) if _possible(look, seen) else None
    found = truth(name, check, seen)
    if found is None:
        return None
    if (named := _named(check, seen.alike)) and not any(_there(sign, seen) for sign in look.shows):
        return _drawn(check, _by_its_numbers(check, seen, named), seen, rng, noise)
    answer, grade = found
    if answer != check.healthy:
        missed = None if look.record and seen.record is None else check.healthy  # the other screws have no mark
        return answer if rng.random() < _trust(grade, noise)[0] else missed
    if rng.random() < _trust(look.trust, noise)[1]:
        return rng.choice([one for one in check.answers if one != check.healthy])
    return answer


def _by_its_numbers(check: Check, seen: Seen, there: Iterable[str]) -> dict[str, float]:
    """Return how likely each answer is by the check's own numbers; nothing when nobody can look now.

    Of several hypotheses that are there, the one that it shows best counts.
    """
    needs = () if check.remembered else check.presumed
    if seen.stage < max((STAGES[PRESUMED[one]] for one in needs), default=0):
        return {}
    named: list[str] | list[None] = _named(check, there) or [None]
    spread = [seen.knowledge.chances(check, one) for one in named]
    return min(spread, key=lambda chances: chances[check.healthy])


def _named(check: Check, there: Iterable[str]) -> list[str]:
    """Return the hypotheses that some answer of the check names."""
    return [one for one in there if fault_of(one) in check.named()]


def _likeliest(check: Check, chances: Mapping[str, float]) -> str:
    return max(chances, key=lambda one: (chances[one], check.answers[one].healthy))


def _drawn(check: Check, chances: dict[str, float], seen: Seen, rng: Random, noise: float) -> str | float | None:
    """Draw an answer; `noise` makes any but the likeliest so many times as likely. A reading is amid its band."""
    if not chances:
        return None
    likeliest = _likeliest(check, chances)
    others = {one: noise * chance for one, chance in chances.items() if one != likeliest}
    answer = rng.choices([likeliest, *others], [max(1 - sum(others.values()), 0.0), *others.values()])[0]
    if check.reading is None:
        return answer
    low = check.reading.least
    for name, band in check.answers.items():
        high = check.reading.most if band.up_to is None else seen.knowledge.number(band.up_to, seen.state.variant)
        if name == answer:
            return round((low + high) / 2, 2)
        low = high
    return None


def _trust(grade: Trust, noise: float) -> tuple[float, float]:
    shown, mistaken = TRUST[grade]
    return 1 - noise * (1 - shown), noise * mistaken


def _possible(look: SimulatedCheck, seen: Seen) -> bool:
    """Say whether the look can be made: the engine runs as far as it must, and there is a record if it needs one."""
    return seen.stage >= STAGES[look.needs] and not (look.record and seen.record is None and not look.unrecorded)


def _there(sign: Sign, seen: Seen) -> bool:
    """Say whether what shows an answer is there."""
    there = _beyond(sign, seen)
    if sign.symptom in SHOWS:
        there = there or SHOWS[sign.symptom].strength(seen.running, seen.parts) >= 1
    return there and (sign.and_ is None or _beyond(sign.and_, seen))


def _beyond(sign: Sign | Further, seen: Seen) -> bool:
    """Say whether any of the limits is passed."""
    return any(SENSES[name](seen) > limit for name, limit in sign.above.items()) or any(
        SENSES[name](seen) < limit for name, limit in sign.below.items()
    )


def _read(gauge: Gauge, trust: tuple[float, float], seen: Seen, rng: Random) -> float:
    """Return a reading: the gauge spreads a little, and now and then the person reads it quite wrong."""
    shown, mistaken = trust
    value = SENSES[gauge.of](seen)
    off = abs(value - gauge.sound) > 0.2 * gauge.sound
    if off and rng.random() >= shown:
        value = gauge.sound
    elif not off and rng.random() < mistaken:
        value *= rng.choice((0.5, 1.7))
    return round(max(value + rng.gauss(0, gauge.spread), 0.0), 2)
