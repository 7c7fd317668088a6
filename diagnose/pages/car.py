"""One car on one page: its settings, the tunes it ran well with, what was wrong and mended, what is open, and notes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import minutes
from diagnose.pages import stand
from diagnose.pages.completion import in_a_line, line
from diagnose.pages.dates import date_and_clock, day
from diagnose.pages.ledger import told
from diagnose.pages.outing import cured_by
from diagnose.pages.parts import SAVE, AnswerPart, Dials, Field, FormPage, Gap, Heading, Line, Page, Paragraph, Timed
from diagnose.reason.view import OwedLine
from diagnose.record.index import Row
from diagnose.record.notes import KeptNote
from diagnose.tune.well import Card
from diagnose.workshop.came_to import CarOuting
from diagnose.workshop.car import KnownCar
from diagnose.workshop.entries import CarEntry, as_typed
from diagnose.workshop.workshop import of_a_walk

HEADING = "The car's page"
NO_NOTES = "Nothing was noted."
NO_TUNES = "None yet. Mark the tune good when it runs well."
WELL = "well card"

NO_CAR = "There is no car yet: add an engine first."
WHICH_WALK = "Which walk?"
OWED = "owed before a needle"
NOTHING_OWED = "Nothing is owed in that walk."
TICK: Page = (Paragraph("What have you looked at? Each look is ticked by itself."),)
UNSHOWN = "walks that can't be shown"
WHY_NOT = "look back at it to see why"
ENDED = ("handed over", "stopped")
AS_WANTED, OPEN = "sound", "open"
BACK, RIGHT = "back", "right"
ENTRIES = "Undo, or put right"
NO_ENTRIES = "Nothing has been written down yet."
TAKEN_BACK = "Taken back."
PUT_RIGHT = "Put right."
NOTE = FormPage(
    "A note",
    (Heading("What did you see, or do? In your own words."), Field("note", "note", hint="new bell, 14 teeth")),
    (AnswerPart(SAVE, "keep it"), AnswerPart("no", "no note")),
)

PUT_IT_RIGHT = FormPage(
    "Put right",
    (Heading("How should it have been? Nothing is turned by this."), Field("entry", "entry")),
    (AnswerPart(SAVE, "keep it so"), AnswerPart("no", "leave it as it was")),
)


def car_page(car: KnownCar, known: Knowledge, record: str, to_tune: str = "", *, faces: bool = True) -> Page:
    """Return the page; `record` says by which key or command a setting is written down, `to_tune` how to go back.

    Without `faces` the screws are told in words.
    """
    engine = car.engine
    mended = [one for one in car.outings if one.outcome == "cured"]
    gap = car.card.idle_gap if car.card is not None else None
    settings = stand.stand(car.ledger, engine.variant.needles, record, gap)
    settings = settings[:-1] if settings[-1] == Gap() else settings
    return (
        Heading(f"{engine.name}, {engine.variant.says()}"),
        *((Paragraph(engine.notes),) if engine.notes else ()),
        *(settings if faces else _in_words(settings, stand.lines(car.ledger, engine.variant.needles))),
        Gap(),
        Heading(stand.TO_GO_BACK_TO),
        *(Line(one, f"{number:2}") for number, one in enumerate(stand.each_kept(car.ledger), 1)),
        *((Paragraph(to_tune, "quiet"),) if to_tune and car.ledger.kept else ()),
        *(() if car.ledger.kept else (Line(NO_TUNES),)),
        *_listed("what was wrong, and what cured it", [_cured(one, known) for one in reversed(mended)]),
        *_listed("found, and not put right", list(_found(car, known))),
        *_listed(
            "ended without a cure", [_uncured(one, known) for one in reversed(car.outings) if one.outcome in ENDED]
        ),
        *_listed("not finished", [walk_left(one, known) for one in reversed(car.left)]),
        *_listed(UNSHOWN, [_unshown(one, known) for one in reversed(car.unshown)]),
        *_owed(car, known),
        *_listed("notes", [_note(one, car, known) for one in reversed(car.notes)] or [NO_NOTES]),
    )


def _in_words(settings: Page, lines: Page) -> Page:
    """Return settings with lines in place of the faces."""
    return *lines, *(part for part in settings if not isinstance(part, Dials | Gap))


def walk_left(one: CarOuting, known: Knowledge) -> str:
    """Say which walk is open."""
    return f"{date_and_clock(one.begun)}, {known.symptoms[one.symptom].name}"


def walks_left(car: KnownCar, known: Knowledge) -> tuple[AnswerPart, ...]:
    """Return the open walks to choose from, the one written to last first."""
    return tuple(AnswerPart(one.id, walk_left(one, known)) for one in reversed(car.left))


def looks_owed(owed: Iterable[OwedLine]) -> tuple[AnswerPart, ...]:
    """Return what is owed now, to be ticked look by look."""
    return tuple(AnswerPart(one.check, f"{line(one)}, {minutes(one.minutes)}") for one in owed)


def untick(ticked: str) -> tuple[AnswerPart, ...]:
    """Return how the look that was `ticked` last, by its name, is owed again; nothing where none was."""
    return (AnswerPart(BACK, f"take the last tick back: {ticked}"),) if ticked else ()


def look_owed(one: OwedLine) -> tuple[AnswerPart, ...]:
    """Return what can be said of a look that is owed."""
    return AnswerPart(AS_WANTED, f"it is so: {one.wanted}"), AnswerPart(OPEN, "something else: show its answers")


def entry(one: CarEntry) -> str:
    """Say in a line what was written down, and when."""
    match one:
        case KeptNote():
            of = f" of the walk of {one.outing}" if one.outing else ""
            what = f"note{of}: {one.text}"
        case Card():
            what = WELL
        case _:
            what = " · ".join(filter(None, told(one)))
    return f"{date_and_clock(one.at)} {what}"


def what_to_do(one: CarEntry) -> tuple[AnswerPart, ...]:
    """Return what can be done with an entry: nothing here with what a walk did."""
    if not isinstance(one, KeptNote | Card) and of_a_walk(one):
        return (AnswerPart(OPEN, "open that walk"),)
    right = (AnswerPart(RIGHT, "put it right"),) if as_typed(one) else ()
    return (*right, AnswerPart(BACK, "take it back: it counts no more"))


def _found(car: KnownCar, known: Knowledge) -> Iterator[str]:
    """Yield a line for each walk of which something is still to be put right, the newest first.

    A look may point to several faults, of which not all need be there.
    """
    for one in reversed(car.outings):
        names = [known.faults[fault].name for fault in one.found if not _mended_since(car, one, fault)]
        if names:
            several = "one or more of these: " if len(names) > 1 else ""
            yield f"{day(one.ended)}, {known.symptoms[one.symptom].name}: {several}{'; '.join(names)}"


def _unshown(row: Row, known: Knowledge) -> str:
    """Say what the events alone tell of a walk: it is what was mended that people look for."""
    gist = row.told()
    symptoms = [known.symptoms[one].name if one in known.symptoms else one for one in gist.symptoms[-1:]]
    faults = [known.faults[one].name if one in known.faults else one for one in gist.faults]
    mended = [f"mended or put off: {'; '.join(faults)}"] if faults else []
    return f"{', '.join([day(row.last_at), *symptoms])}: {'; '.join([*mended, WHY_NOT])}"


def _uncured(one: CarOuting, known: Knowledge) -> str:
    return f"{day(one.ended)}, {known.symptoms[one.symptom].name}: {one.outcome}. It took {minutes(one.minutes)}."


def _note(one: KeptNote, car: KnownCar, known: Knowledge) -> str:
    """Say a note, and of which walk it is, if it is of one."""
    about = next((f", {known.symptoms[walk.symptom].name}" for walk in car.outings if walk.id == one.outing), "")
    return f"{date_and_clock(one.at)}{about}: {one.text}"


def _cured(one: CarOuting, known: Knowledge) -> str:
    by = "; ".join(cured_by(one, known) or [one.because])
    return f"{day(one.ended)}, {known.symptoms[one.symptom].name}: {by}. It took {minutes(one.minutes)}."


def _mended_since(car: KnownCar, before: CarOuting, fault: str) -> bool:
    return any(one.ended > before.ended and fault in one.mended for one in car.outings)


def _owed(car: KnownCar, known: Knowledge) -> Page:
    """Say what is owed in the walk that was written to last, with a box for each look."""
    if not car.owed:
        return ()
    last = car.left[-1]
    about = walk_left(last, known) if len(car.left) > 1 else known.symptoms[last.symptom].name
    heading = Heading(f"{OWED}: {about}")
    return Gap(), heading, *(Timed(in_a_line(one.name, one.wanted), minutes(one.minutes)) for one in car.owed)


def _listed(heading: str, lines: list[str]) -> Page:
    return (Gap(), Heading(heading), *map(Line, lines)) if lines else ()
