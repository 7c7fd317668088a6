"""What a form says, as an event of the walk: what it does is named by the form, and checked against the walk."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.graph.wording import clean
from diagnose.pages import phone, rather, seen, stuck
from diagnose.pages.ready import YES
from diagnose.phones.shown import named
from diagnose.phones.visit import Visit
from diagnose.reason import events as ev
from diagnose.reason import rather as other
from diagnose.reason.decide import SOMEBODY_ELSE
from diagnose.reason.easier import easier
from diagnose.reason.explain import ALSO
from diagnose.reason.steps import LOST, NOT_NOW
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk
from diagnose.tune.quantity import read
from diagnose.tune.typed import on_the_bench
from diagnose.workshop.once import TooLate, record_at
from diagnose.workshop.session import AWAY, reading_unit

LONGEST_NOTE = 200
HOME = "home"
"""What is looked at once a walk waits for something."""


class FormSent(NamedTuple):
    """A form that was sent: `made_of` is of how many events it was made."""

    made_of: int
    do: str
    about: str
    said: tuple[str, ...]
    typed: str = ""
    sure: bool = True

    @property
    def first(self) -> str:
        """The answer; raises `DiagnoseError` where there is none."""
        if not self.said:
            raise DiagnoseError("no answer was chosen: choose one")
        return self.said[0]


def filled(fields: Sequence[tuple[str, str]]) -> FormSent:
    """Return what was sent. Raises `ValueError` for a count that is none."""
    by_name: Mapping[str, str] = dict(fields)
    count = by_name.get("n", "")
    if not (count.isascii() and count.isdecimal() and len(count) <= 4):
        raise ValueError(count)
    said = tuple(value for name, value in fields if name == "say")
    return FormSent(
        int(count),
        by_name.get("do", ""),
        by_name.get("about", ""),
        said,
        by_name.get("typed", ""),
        "doubt" not in by_name,
    )


def take(visit: Visit, form: FormSent, *, led: bool) -> str:
    """Do what a form says, and return what is looked at then, "" for the question.

    Raises `TooLate`, and `DiagnoseError` for what is no answer; nothing was stored then.
    """
    if form.do in QUIET:
        if form.made_of != visit.count:
            raise TooLate(phone.NEW_QUESTION_FIRST)
        return QUIET[form.do](visit, form)
    if form.do not in EVENTS:
        raise DiagnoseError("this form says nothing that is known here")
    _in_turn(visit, form, led=led)
    before = visit.walk.symptom
    stored = record_at(visit.session, form.made_of, partial(EVENTS[form.do][1], form))
    return _then(visit, form, before) if stored else ""


def _in_turn(visit: Visit, form: FormSent, *, led: bool) -> None:
    """Refuse an answer to what is not asked now; one that is of an earlier question is compared with what came."""
    if form.made_of != visit.count:
        return
    due = visit.session.due(visit.session.step(), led=led)
    wanted = EVENTS[form.do][0]
    if due == "step" and wanted == "step" and form.about:
        _ask_again(visit, form)
    if due != wanted and not (wanted == "any" and due not in ("since",)):
        raise TooLate(AWAY if due == "since" else phone.NEW_QUESTION_FIRST)


def _ask_again(visit: Visit, form: FormSent) -> None:
    """Put the look again that the form is about, where a restart has forgotten that it was chosen."""
    step = visit.session.step()
    kind, _, rest = form.about.partition("/")
    if (step is not None and named(step) == form.about) or kind != "ask":
        return
    visit.session.saw(rest.removesuffix("/before"))


def _step(form: FormSent, walk: Walk, at: float) -> Step:
    """Return the step that the form is about, as the walk puts it."""
    own = walk.step(at)
    if own is not None and named(own) == form.about:
        return own
    kind, _, rest = form.about.partition("/")
    if kind != "ask" or rest.removesuffix("/before") not in walk.scope.checks:
        raise TooLate(phone.NEW_QUESTION_FIRST)
    return walk.ask(rest.removesuffix("/before"), before=rest.endswith("/before"))


def _answered(form: FormSent, walk: Walk, at: float) -> ev.Event:
    step = _step(form, walk, at)
    if form.first not in {one.id for one in step.choices}:
        raise DiagnoseError("that is no answer to this question: choose one of those below")
    return walk.choose(step, form.first, at, form.sure or step.kind not in ("ask", "recheck"))


def _measured(form: FormSent, walk: Walk, at: float) -> ev.Event:
    step = _step(form, walk, at)
    unit = reading_unit(step)
    if not unit:
        raise DiagnoseError("this question asks for no number")
    return walk.measure(step, on_the_bench(form.typed.strip(), unit), at)


def _ticked(form: FormSent, walk: Walk, at: float) -> ev.Event:
    step = _step(form, walk, at)
    if step.kind != "ask" or step.reading is not None:
        raise DiagnoseError("this question can't be ticked: answer it")
    return ev.Answered(at, step.id, walk.scope.checks[step.id].healthy)


def _untold(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return walk.choose(_step(form, walk, at), ev.CANT_TELL, at)


def _nearest(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return _answered(form._replace(sure=False), walk, at)


def _needs(form: FormSent, walk: Walk, at: float) -> ev.Event:
    """Leave it here, or go on without it."""
    step = _step(form, walk, at)
    if form.first == stuck.PARK:
        return ev.Parked(at, step.id, stuck.needs(step))
    offered = {one.id for one in step.choices}
    put_off = next((one for one in (ev.NO_TOOL, NOT_NOW, "won't run") if one in offered), "")
    if form.first != stuck.ON_WITHOUT or not put_off:
        raise DiagnoseError("this step can't be left out: it waits for you")
    return walk.choose(step, put_off, at)


def _person(form: FormSent, walk: Walk, at: float) -> ev.Event:
    if walk.state.lost < LOST:  # it is offered only after looks that could not be told
        raise TooLate(phone.NEW_QUESTION_FIRST)
    if form.first == stuck.PARK:
        step = _step(form, walk, at)
        return ev.Parked(at, step.id, stuck.needs(step))
    if form.first != stuck.END:
        raise DiagnoseError("that is none of these: choose one of them")
    return ev.HandedOver(at, SOMEBODY_ELSE)


def _told(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return walk.tell(form.about, form.said, at)


def _since(form: FormSent, walk: Walk, at: float) -> ev.Event:
    if form.first not in ev.Incident.__args__ or form.first == "another day":  # type: ignore[attr-defined]
        raise DiagnoseError("that is none of these: choose one of them")
    return ev.Happened(at, form.first)  # type: ignore[arg-type]  # it is one of them


def _head(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return ev.HeadRead(at, on_the_bench(form.typed.strip(), "°C"))


def _no_head(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return ev.HeadRead(at)


def _back(form: FormSent, walk: Walk, at: float) -> ev.Event:
    number = form.first
    if number not in {str(line.number) for line in walk.view(at).trail if line.can_take_back}:
        raise DiagnoseError("that can't be taken back")
    return ev.Retracted(at, int(number))


def _noted(form: FormSent, walk: Walk, at: float) -> ev.Event:
    text = clean(" ".join(form.first.removeprefix(seen.NOTE).split()))
    if not text or len(text) > LONGEST_NOTE:
        raise DiagnoseError(f"a note has from 1 to {LONGEST_NOTE} letters")
    return ev.Noted(at, text)


def _also(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return ev.Told(at, ev.ALSO, form.first.removeprefix(ALSO))


def _redirected(form: FormSent, walk: Walk, at: float) -> ev.Event:
    if form.first not in other.rather(walk.scope, walk.state, walk.symptom, just_now=True):
        raise DiagnoseError("that is none of these: choose one of them")
    return ev.Redirected(at, form.first)


def _deadline(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return ev.Deadline(at, read(form.typed.strip(), "min"))


def _no_deadline(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return ev.Deadline(at)


def _ended(form: FormSent, walk: Walk, at: float) -> ev.Event:
    return ev.Ended(at)


def _reopened(form: FormSent, walk: Walk, at: float) -> ev.Event:
    event = walk.reopen(at)
    if event is None:
        raise DiagnoseError("this walk can't be opened again")
    return event


EVENTS: dict[str, tuple[str, Callable[[FormSent, Walk, float], ev.Event]]] = {
    "step": ("step", _answered),
    "measure": ("step", _measured),
    "tick": ("step", _ticked),
    "untold": ("step", _untold),
    "nearest": ("step", _nearest),
    "needs": ("step", _needs),
    "person": ("step", _person),
    "rather": ("step", _redirected),
    "tell": ("history", _told),
    "since": ("since", _since),
    "head": ("head", _head),
    "no head": ("head", _no_head),
    "back": ("any", _back),
    "note": ("any", _noted),
    "also": ("any", _also),
    "deadline": ("any", _deadline),
    "no deadline": ("any", _no_deadline),
    "end": ("any", _ended),
    "reopen": ("end", _reopened),
}
"""What a form can do: what must be due for it, and the event that it makes."""


def _then(visit: Visit, form: FormSent, before: str) -> str:
    """Return what follows right after an answer: that somebody else should look, or that it is another symptom."""
    walk, event = visit.walk, visit.walk.events[-1]
    if isinstance(event, ev.Parked):
        return HOME
    if form.do in ("untold", "needs") and isinstance(event, ev.Answered):
        _easier(visit, event.check)
    if form.do == "note":
        visit.tell(seen.NOTED)
    if not isinstance(event, ev.Answered) or walk.verdict() is not None:
        return ""
    if event.answer == ev.CANT_TELL and walk.state.lost == LOST:
        return "person"
    if other.rather(walk.scope, walk.state, walk.symptom, just_now=True):
        return "rather"
    if before != walk.symptom:
        visit.tell(rather.led_on(walk))
    return ""


def _easier(visit: Visit, check: str) -> None:
    """Put an easier look in place of one that could not be made, where there is one."""
    walk, session = visit.walk, visit.session
    if walk.verdict() is None and walk.state.lost < LOST and check in walk.state.unanswered:
        look = easier(walk, check)
        if look and session.may_open(look):
            session.ask(look)
            visit.tell(stuck.easier(look, session.knowledge))


def _read(visit: Visit, form: FormSent) -> str:
    visit.session.has_read(visit.session.new_cautions(visit.session.step()))
    return ""


def _ready(visit: Visit, form: FormSent) -> str:
    if form.about != visit.session.unready:
        raise TooLate(phone.NEW_QUESTION_FIRST)
    visit.refused = "" if form.first == YES else form.about
    if form.first == YES:
        visit.session.has_readied(form.about)
    return ""


def _saw(visit: Visit, form: FormSent) -> str:
    """Put a look that was made unasked."""
    visit.session.saw(form.first)
    return ""


def _own(visit: Visit, form: FormSent) -> str:
    visit.session.asked, visit.session.before = "", False
    return ""


QUIET: dict[str, Callable[[Visit, FormSent], str]] = {"read": _read, "ready": _ready, "saw": _saw, "own": _own}
"""What a form can do that is no event: it is kept for this visitor alone."""
