"""The mentor's page on which the engine of a class is set: what it does, and then all that is hidden, in one form."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse

from diagnose.graph.model import Knowledge, Screw
from diagnose.graph.wording import capital
from diagnose.pages import class_table, phone_class
from diagnose.pages.home import by_when
from diagnose.pages.practice_start import WHICH_FAULT, WHICH_SYMPTOM, hidden_by
from diagnose.phones import render
from diagnose.phones.entrance import now
from diagnose.phones.put import Tap
from diagnose.practice.class_set import LONGEST_STORY, ClassWish

MOST_BYTES = 4096
"""Of this form: the longest story of an owner, in any script."""
NOT_SET = 422
SCREWS: tuple[tuple[str, Screw], ...] = (
    ("high", "high needle"),
    ("mid", "mid needle"),
    ("low", "low needle"),
    ("idle", "idle stop"),
)
"""The fields of the form that say how far a screw is off."""


class Hidden(NamedTuple):
    """What a mentor chose, by the ids of the answers."""

    symptom: str
    fault: str = ""
    second: str = class_table.NO_SECOND.id
    bad: str = class_table.BAD[0].id
    high: str = class_table.RIGHT
    mid: str = class_table.RIGHT
    low: str = class_table.RIGHT
    idle: str = class_table.RIGHT
    """By how many hours each screw is off."""
    story: str = ""

    @property
    def off(self) -> dict[Screw, float]:
        """The screws that are off, in signed hours."""
        said = zip(SCREWS, (self.high, self.mid, self.low, self.idle), strict=True)
        return {screw: float(hours) for (_, screw), hours in said if hours != class_table.RIGHT}

    def wish(self, seed: str) -> ClassWish:
        """Return it as an engine that can be set. Raises `DiagnoseError`."""
        return class_table.wish(self.symptom, (self.fault, self.second), self.bad, seed, self.off, self.story)


def hidden(known: Knowledge, fields: Mapping[str, str]) -> Hidden:
    """Return what was chosen. Raises `HTTPException` for what is none of the answers."""
    found = Hidden(**{name: fields.get(name, "") for name in Hidden._fields})
    faults = {one.id for one in hidden_by(known, found.symptom)}
    offered = (
        (found.fault, faults),
        (found.second, {*faults, class_table.NO_SECOND.id}),
        (found.bad, {one.id for one in class_table.BAD}),
        *((found._asdict()[name], {one.id for one in class_table.off_amounts(screw)}) for name, screw in SCREWS),
    )
    if not all(one in answers for one, answers in offered):
        raise HTTPException(400)
    return found


def asked(request: Request, known: Knowledge, token: str, symptom: str) -> HTMLResponse:
    """Ask what it does; or, for a symptom, what is hidden."""
    if hidden_by(known, symptom):
        return _form(request, known, token, Hidden(symptom))
    listed = tuple(
        (when, tuple(Tap(f"?symptom={name}", one.name) for name, one in found if hidden_by(known, name)))
        for when, found in by_when(known)
    )
    return _page(request, heading=WHICH_SYMPTOM, listed=tuple(one for one in listed if one[1]), chosen=None)


def refused(request: Request, known: Knowledge, token: str, chosen: Hidden, told: str) -> HTMLResponse:
    """Say what can't be, with all that was chosen as it was."""
    return _form(request, known, token, chosen, told, NOT_SET)


def _form(
    request: Request, known: Knowledge, token: str, chosen: Hidden, told: str = "", status: int = 200
) -> HTMLResponse:
    faults = hidden_by(known, chosen.symptom)
    return _page(
        request,
        status,
        heading=known.symptoms[chosen.symptom].name,
        told=told,
        token=token,
        chosen=chosen,
        lists=(
            ("fault", WHICH_FAULT, faults),
            ("second", class_table.SECOND, (class_table.NO_SECOND, *faults)),
            *((name, capital(screw), class_table.off_amounts(screw)) for name, screw in SCREWS),
        ),
        picks=(("bad", class_table.WHICH_BAD, class_table.BAD),),
        longest=LONGEST_STORY,
    )


def _page(request: Request, status: int = 200, *, told: str = "", **values: object) -> HTMLResponse:
    shell = {"title": phone_class.MENTOR, "now": now(request), "live": "", "told": told}
    page = render.page("hiding.html", **shell, class_said=phone_class, table_said=class_table, **values)
    return HTMLResponse(page, status)
