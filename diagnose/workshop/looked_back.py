"""All that is known of one outing that is looked back at."""

from __future__ import annotations

from typing import NamedTuple

from diagnose.reason.walk import Walk
from diagnose.record.index import Row
from diagnose.record.notes import KeptNote, notes_of_outing
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Ledger
from diagnose.workshop.came_to import CarOuting
from diagnose.workshop.outings import Outings
from diagnose.workshop.replaying import Replayed, replayed


class LookedBack(NamedTuple):
    """One outing; `came_to` and `told` say what it was, or why it can't be shown."""

    row: Row
    came_to: CarOuting | None
    replayed: Replayed
    notes: tuple[KeptNote, ...]
    day: Conditions
    """The air and the fuel of the day on which it began."""
    ledger: Ledger | None
    """Of its engine, if it has one, for where the screws stood then."""
    told: str = ""

    @property
    def walk(self) -> Walk | None:
        """The walk as it stands now; None where it can't be shown."""
        return self.replayed.walks[-1] if self.came_to is not None else None


def looked_back(shop: Outings, outing: str) -> LookedBack:
    """Return an outing by its id; raises `DiagnoseError` for one that is not there."""
    row = shop.row_called(outing)
    notes = tuple(notes_of_outing(shop.journal, row.id))
    came_to = shop.came_to([row]).get(row.id)
    told = "" if came_to is not None else shop.why_not(row)
    steps = replayed(shop, row.id)
    began = steps.walks[0].started.at if steps.walks else row.last_at
    day = shop.days().conditions(row.engine, began)
    ledger = shop.ledger(row.engine) if row.engine in shop.engines() else None
    return LookedBack(row, came_to, steps, notes, day, ledger, told)
