"""One car on one page: its settings, the tunes it ran well with, what was wrong and mended, what is open, and notes."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import minutes
from diagnose.pages import stand
from diagnose.pages.dates import date_and_clock, day
from diagnose.pages.parts import Gap, Heading, Line, Page, Paragraph, Timed
from diagnose.workshop.came_to import CarOuting
from diagnose.workshop.car import KnownCar

NOTHING = "Nothing is known of it yet but its kind."
NO_NOTES = "Nothing was noted."


def car_page(car: KnownCar, known: Knowledge, record: str) -> Page:
    """Return the page; `record` says by which key or command a setting is written down."""
    engine = car.engine
    mended = [one for one in car.outings if one.outcome == "cured"]
    found = [(one, fault) for one in car.outings for fault in one.found if not _mended_since(car, one, fault)]
    left = [one for one in car.outings if one.outcome == "open"]
    gap = car.card.idle_gap if car.card is not None else None
    return (
        Heading(f"{engine.name}, {engine.variant.says()}"),
        *((Paragraph(engine.notes),) if engine.notes else ()),
        *stand.stand(car.ledger, engine.variant.needles, record),
        *((Line(f"Idle gap: {gap:g} mm when it ran well."),) if gap is not None else ()),
        *stand.kept_tunes(car.ledger),
        *_listed("what was wrong, and what cured it", [_cured(one, known) for one in reversed(mended)]),
        *_listed(
            "found, and not put right",
            [
                f"{day(one.ended)}, {known.symptoms[one.symptom].name}: {known.faults[fault].name}"
                for one, fault in found
            ],
        ),
        *_listed("not finished", [f"{date_and_clock(one.begun)}, {known.symptoms[one.symptom].name}" for one in left]),
        *_owed(left, known),
        *_listed("notes", [f"{date_and_clock(one.at)}: {one.text}" for one in reversed(car.notes)] or [NO_NOTES]),
    )


def _cured(one: CarOuting, known: Knowledge) -> str:
    by = [*(known.faults[fault].name for fault in one.mended), *one.turned] or [one.because]
    return (
        f"{day(one.ended)}, {known.symptoms[one.symptom].name}: {', '.join(by)}. It took {minutes(round(one.minutes))}."
    )


def _mended_since(car: KnownCar, before: CarOuting, fault: str) -> bool:
    return any(one.ended > before.ended and fault in one.mended for one in car.outings)


def _owed(left: list[CarOuting], known: Knowledge) -> Page:
    """Say what the walk that was left last still owes before a needle, with a box for each look."""
    if not left or not left[-1].owed:
        return ()
    looks = [known.checks[name] for name in left[-1].owed if name in known.checks]
    return (Heading("owed before a needle"), *(Timed(look.name, minutes(look.minutes)) for look in looks))


def _listed(heading: str, lines: list[str]) -> Page:
    return (Gap(), Heading(heading), *map(Line, lines)) if lines else ()
