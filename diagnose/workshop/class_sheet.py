"""What the one sheet of a class is made of: what each did, what each practises next, what practice has done."""

from __future__ import annotations

from typing import NamedTuple

from diagnose.graph.model import Knowledge
from diagnose.practice.effect import Effect, effect
from diagnose.practice.group import GroupSheet, group_sheet
from diagnose.practice.way import NextEngine
from diagnose.record.journal import Journal
from diagnose.workshop import classes
from diagnose.workshop.classes import PracticeClass
from diagnose.workshop.learners import results
from diagnose.workshop.progress import all_pairs, next_for


class ClassCameTo(NamedTuple):
    """All that one sheet says."""

    sheet: GroupSheet
    at: float
    """When the class was set, in seconds since the epoch."""
    after: dict[str, NextEngine | None]
    """What each practises next, by nickname."""
    effect: Effect
    """What practice has done for those who sit there, over all that they practised."""


def came_to(journal: Journal, known: Knowledge, of: PracticeClass) -> ClassCameTo:
    """Return what a class came to. Raises `DiagnoseError` when it can't be folded any more."""
    there = [(seat.nickname, classes.practice(known, seat)) for seat in classes.seats(journal, of)]
    names = [name for name, _ in there]
    found = [one for name in names for one in results(journal, name)]
    return ClassCameTo(
        group_sheet(known, of.begun, there),
        of.at,
        {name: next_for(journal, known, name, of.id) for name in names},
        effect(all_pairs(known, found)),
    )
