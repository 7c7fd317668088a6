"""The one sheet of a class: who skipped a guard, who turned too early, what nobody found, and what to practise next.

It names no points: those are each learner's own. It has the hidden fault on it, so it is for afterwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from diagnose.graph.model import Check, Fault, Knowledge
from diagnose.graph.say import say
from diagnose.graph.wording import capital, minutes
from diagnose.pages.dates import date_and_clock
from diagnose.pages.parts import Gap, Heading, Line, Page, Paragraph, Table, grouped
from diagnose.pages.stand import were_off
from diagnose.pages.way import effect, next_line
from diagnose.practice.group import GroupSheet, SeatRow
from diagnose.workshop.class_sheet import ClassCameTo

NOBODY_YET = "Nobody has sat down yet."
REOPEN = "To open a debrief again:"
STILL, NOT_BEGUN = "still at it", "not begun"


def title(known: Knowledge, found: GroupSheet) -> str:
    """Return what the sheet is called."""
    return f"The class: {known.symptoms[found.begun.symptom].name}"


def class_sheet(known: Knowledge, came_to: ClassCameTo, reopen: Callable[[str], str]) -> Page:
    """Say what a class came to; `reopen` says how a debrief is opened again, for a nickname."""
    found = came_to.sheet
    if not found.rows:
        return (*_engine(known, found, came_to.at), Gap(), Paragraph(NOBODY_YET))
    after = (Line(told, f"{', '.join(names)}:") for told, names in _alike(known, came_to).items())
    again = (Line(reopen(row.nickname), f"{row.nickname}:") for row in found.ended)
    groups: tuple[Page, ...] = (
        _engine(known, found, came_to.at),
        (Heading("how each came out"), _table(found)),
        (Heading("guards that were skipped"), *_guards(known, found.rows)),
        (Heading("screws turned too early"), *_early(found.rows)),
        (Heading("what was found"), *_found(known, found)),
        (Heading("expected, and seen"), *_expected(known, found.rows)),
        (Heading("the rule of each, in own words"), *_rules(found.rows)),
        (Heading("what to practise next"), *after),
        effect(came_to.effect),
        (Heading(REOPEN), *again),
    )
    return grouped(*(group for group in groups if len(group) > 1))


def _alike(known: Knowledge, came_to: ClassCameTo) -> dict[str, list[str]]:
    """Return what comes next with the nicknames of those for whom it does."""
    found: dict[str, list[str]] = {}
    for name, made in came_to.after.items():
        found.setdefault(next_line(known, made), []).append(name)
    return found


def rows(known: Knowledge, found: GroupSheet) -> tuple[tuple[str, ...], ...]:
    """Return a row of cells for each learner, the names of the columns first: for a spreadsheet."""
    head, *told = _table(found).rows
    more = ("guards skipped", "turned early", "found", "by luck", "not found", "looks", "expected", "as expected")
    return (
        (*head, *more),
        *(
            (
                *cells,
                _names(known.checks, row.skipped),
                str(len(row.early)),
                _names(known.faults, row.earned),
                _names(known.faults, row.lucky),
                _names(known.faults, row.left),
                *map(str, (row.looks, row.predicted, row.as_expected)),
            )
            for cells, row in zip(told, found.rows, strict=True)
        ),
    )


def _names(known: Mapping[str, Check] | Mapping[str, Fault], ids: Iterable[str]) -> str:
    return ", ".join(known[one].name for one in ids)


def _engine(known: Knowledge, found: GroupSheet, at: float) -> Page:
    faults = ", ".join(f"{known.faults[one.fault].name} ({one.severity:.0%})" for one in found.begun.troubles)
    program = f"The program takes {minutes(found.program_minutes)}"
    handed = "" if found.program_cured else ", and then hands it over"
    return (
        Heading("the engine"),
        Line(f"{date_and_clock(at)}. {capital(known.symptoms[found.begun.symptom].name)}.", ""),
        Line(f"Hidden, and how badly it was there: {faults}.", ""),
        *were_off(found.begun.turned),
        Line(f"{program}{handed}. Who knows it beforehand takes {minutes(found.best_minutes)}, by the rules.", ""),
    )


def _table(found: GroupSheet) -> Table:
    head = ("learner", "came out", "min", "program", "best", "steps", "risks", "hints", "new case")
    program, best = f"{found.program_minutes:.0f}", f"{found.best_minutes:.0f}"
    rows = (
        (
            row.nickname,
            row.ended or (STILL if row.steps else NOT_BEGUN),
            f"{row.minutes:.0f}",
            program,
            best,
            str(row.steps),
            str(row.hazards),
            str(row.hints),
            _case(row),
        )
        for row in found.rows
    )
    return Table((head, *rows), head=True)


def _case(row: SeatRow) -> str:
    return "" if row.case is None else "right" if row.case else "wrong"


def _guards(known: Knowledge, rows: Sequence[SeatRow]) -> Page:
    told = tuple(
        Line(f"{', '.join(known.checks[guard].name for guard in row.skipped)}.", f"{row.nickname}:")
        for row in rows
        if row.skipped
    )
    return told or (Line("Nobody ran it before the guards were seen to.", "✓"),)


def _early(rows: Sequence[SeatRow]) -> Page:
    told = tuple(
        Line(f"step {turn.number}, {turn.did}. {capital(turn.because)}.", f"{row.nickname}:")
        for row in rows
        for turn in row.early
    )
    return told or (Line("Nobody turned a screw before its time.", "✓"),)


def _found(known: Knowledge, found: GroupSheet) -> Page:
    if not found.ended:
        return (Line("Nobody has come to an end yet.", ""),)
    told = []
    for fault in found.faults:
        name = known.faults[fault].name
        if fault in found.nobody:
            so_far = "" if len(found.ended) == len(found.rows) else " so far"
            told.append(Line(f"Nobody put this right{so_far}: {name}.", "!"))
            continue
        seen = [row.nickname for row in found.rows if fault in row.earned]
        luck = [row.nickname for row in found.rows if fault in row.lucky]
        left = [row.nickname for row in found.ended if fault in row.left]
        who = (("put right by looking", seen), ("put right by luck", luck), ("left as it was", left))
        by = "; ".join(f"{how}: {', '.join(names)}" for how, names in who if names)
        told.append(Line(f"{name}; {by}.", "✓"))
    vain = [f"{row.nickname} {row.in_vain}" for row in found.rows if row.in_vain]
    return (*told, *([Line(f"Mended although it was sound: {', '.join(vain)}.", "!")] if vain else []))


def _expected(known: Knowledge, rows: Sequence[SeatRow]) -> Page:
    head = ("learner", "looks", "foretold", "came true", "explained", "fitting")
    counted = [
        (row.nickname, *map(str, (row.looks, row.predicted, row.as_expected, row.explained, row.fitting)))
        for row in rows
        if row.looks
    ]
    return (Table((head, *counted), head=True), *_surprises(known, rows)) if counted else ()


MOST_SURPRISES = 6


def _surprises(known: Knowledge, rows: Sequence[SeatRow]) -> Page:
    """Name the looks that most learners expected to come out otherwise."""
    who: dict[tuple[str, str, str], list[str]] = {}
    for row in rows:
        for missed in row.missed:
            who.setdefault((missed.check, missed.expected, missed.seen), []).append(row.nickname)
    worst = sorted(who.items(), key=lambda pair: (-len(pair[1]), pair[0]))[:MOST_SURPRISES]
    if not worst:
        return ()
    rows_of = (
        (known.checks[check].name, _answer(known, check, expected), _answer(known, check, seen), ", ".join(by))
        for (check, expected, seen), by in worst
    )
    return (Table((("look", "expected", "seen", "by"), *rows_of), head=True),)


def _answer(known: Knowledge, check: str, answer: str) -> str:
    return say(known.checks[check].answers[answer].say, known) if answer else "could not tell"


def _rules(rows: Sequence[SeatRow]) -> Page:
    return tuple(Line(row.rule, f"{row.nickname}:") for row in rows if row.rule)
