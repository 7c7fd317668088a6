"""What a form of a class says, as an event of a practice: each is checked against the practice it was made from."""

from __future__ import annotations

from collections.abc import Callable

from diagnose.errors import DiagnoseError
from diagnose.phones.form import FormSent
from diagnose.practice import happenings as hp
from diagnose.practice import offers
from diagnose.practice.feedback import screws
from diagnose.practice.lesson import Practice
from diagnose.practice.new_case import NewCase
from diagnose.reason.events import SKIPPED

NONE_OF_THESE = "that is none of these: choose one of them"
AT_ONCE: dict[str, hp.PracticeEvent] = {
    "run": hp.Ran(),
    "laps": hp.Ran(laps=True),
    "try": hp.Tried(),
    "back": hp.SetBack(),
}


def event(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    """Return the event that a form makes. Raises `DiagnoseError` for what is none."""
    if form.do not in DEEDS:
        raise DiagnoseError("this form says nothing that is known here")
    return DEEDS[form.do](form, practice)


def _looked(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    return hp.Looked(form.about, "" if form.first == SKIPPED else form.first)


def _mended(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    return hp.MendedPart(form.first)


def _turned(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    screw = next((one for one in screws(practice.variant) if one == form.about), None)
    turns = offers.turns(screw) if screw is not None else []
    if form.first not in map(str, range(len(turns))):
        raise DiagnoseError(NONE_OF_THESE)
    return turns[int(form.first)][1]


def _done(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    if form.first not in AT_ONCE:
        raise DiagnoseError(NONE_OF_THESE)
    return AT_ONCE[form.first]


def _hinted(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    return hp.Hinted(_number(form.first), "" if form.about == SKIPPED else form.about)


def _told(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    return hp.MadeOfIt(form.first)


def _stopped(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    return hp.GaveUp()


def _reflected(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    return hp.Reflected(_number(form.about), _number(form.first))


def _ruled(form: FormSent, practice: Practice) -> hp.PracticeEvent:
    rule = " ".join(form.typed.split())
    if not rule.isprintable():
        raise DiagnoseError("the rule holds characters that can't be shown: use letters, digits and spaces")
    return hp.Ruled(rule)


def named(form: FormSent, case: NewCase | None) -> hp.PracticeEvent:
    """Return what was named in a new case; what is right there is never taken from a form."""
    if case is None or form.first not in case.offered:
        raise DiagnoseError(NONE_OF_THESE)
    return hp.NamedInCase(form.first, case.right)


def _number(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) < 4):
        raise DiagnoseError(NONE_OF_THESE)
    return int(text)


DEEDS: dict[str, Callable[[FormSent, Practice], hp.PracticeEvent]] = {
    "look": _looked,
    "mend": _mended,
    "turn": _turned,
    "do": _done,
    "hint": _hinted,
    "tells": _told,
    "stop": _stopped,
    "reflect": _reflected,
    "rule": _ruled,
}
"""What a form can do."""
