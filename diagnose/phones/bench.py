"""What a phone of a class puts now: what can be done at the engine, one thing a page, and what follows the end."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.pages import class_table, phone_class
from diagnose.pages import debrief as after
from diagnose.pages import practice as pages
from diagnose.pages.parts import AnswerPart, Page, Paragraph
from diagnose.phones.classroom import Classroom, PhoneSeat
from diagnose.phones.put import Put, Sent, Tap
from diagnose.practice import explain, offers
from diagnose.practice import happenings as hp
from diagnose.practice.feedback import screws
from diagnose.practice.lesson import Practice
from diagnose.reason.events import SKIPPED
from diagnose.reason.view import Choice

HANDS = ("run", "laps", "try", "back")
"""What hands do without being asked more."""
LONGEST_RULE = 150
"""Signs of a rule that are typed on a phone: a form holds so much in any script."""
BACK = Tap("?", phone_class.BACK)
TO_WAY, TO_MARKS, TO_SHEET = "/class/debrief", "/class/marks", "/class/sheet"
TO_RULE, TO_CASE = "/class?at=rule", "/class?at=case"
"""What is looked at once the class has ended, in this order: the way, the rule, the case, and the marks last."""


def to_sit() -> Put:
    """Ask for a nickname."""
    asked = phone_class.NICKNAME
    form = Sent("sit", field=asked.text, hint=asked.hint, send=phone_class.SIT, longest=24)
    return Put(phone_class.CLASS, phone_class.SIT_TOLD, (form,))


def put(room: Classroom, seat: PhoneSeat, at: str = "") -> Put:
    """Return the page of a seat; `at` is what was opened there."""
    practice = seat.practice
    if room.waiting:
        return Put(phone_class.WAIT, phone_class.WAIT_TOLD, over=seat.nickname)
    if practice.ended:
        return _after(room, seat, at)
    if seat.hint:
        read = Sent("read", (AnswerPart("read", phone_class.READ),))
        return Put(phone_class.FROM_MENTOR, (Paragraph(seat.hint, "strong"),), (read,), over=seat.nickname)
    if explain.due(practice):
        choices = class_table.explanations(practice)
        return Put(class_table.WHAT_TELLS, pages.came_of(practice.lines[-1]), (Sent("tells", _answers(choices)),))
    what, _, rest = at.partition("/")
    found = OPENED[what](practice, rest) if what in OPENED else None
    return found if found is not None else _bench(seat)


def _answers(choices: Sequence[Choice]) -> tuple[AnswerPart, ...]:
    return tuple(AnswerPart(one.id, one.say) for one in choices)


def _bench(seat: PhoneSeat) -> Put:
    practice = seat.practice
    can = {one.id: one for one in pages.to_do(practice.knowledge)}
    opens = [Tap(f"?at={name}", can[name].text) for name in ("look", "mend", "turn")]
    hands = tuple(can[name] for name in HANDS if name != "back" or practice.begun.recorded)
    more = (Tap("?at=hint", can["hint"].text), Tap("?at=stop", can["stop"].text))
    return Put(
        pages.what_to_do(practice),
        pages.came_of(practice.lines[-1]) if practice.lines else owner(practice),
        (Sent("", tuple(opens)), Sent("do", hands), Sent("", more)),
        (Tap("?at=done", phone_class.SO_FAR), Tap("?at=story", phone_class.OWNER)),
        over=seat.nickname,
    )


def owner(practice: Practice) -> Page:
    """Say what the engine does, as its owner tells it."""
    return phone_class.engine(practice.knowledge, practice.begun)


def _areas(heading: str, name: str, areas: Sequence[str]) -> Put:
    taps = tuple(Tap(f"?at={name}/{number}", area) for number, area in enumerate(areas))
    return Put(heading, (), (Sent("", taps),), (BACK,))


def _nth(areas: Sequence[str], number: str) -> str | None:
    """Return the one with a number that was asked for; None where there is none."""
    there = number.isascii() and number.isdecimal() and len(number) < 4 and int(number) < len(areas)
    return areas[int(number)] if there else None


def _look(practice: Practice, rest: str) -> Put | None:
    looks = offers.looks(practice.scope)
    if not rest:
        return _areas(phone_class.WHICH_AREA, "look", list(looks))
    if (area := _nth(list(looks), rest)) is None:
        return None
    taps = tuple(Tap(f"?at=check/{name}", pages.look_name(practice, name)) for name in looks[area])
    return Put(pages.WHICH_LOOK, (), (Sent("", taps),), (Tap("?at=look", phone_class.BACK),), over=area)


def _check(practice: Practice, name: str) -> Put | None:
    if name not in practice.scope.checks:
        return None
    answers = (*_answers(pages.expected(practice, name)), pages.JUST_LOOK)
    heading = f"{pages.look_name(practice, name)}: {pages.EXPECT}"
    return Put(heading, pages.look(practice, name), (Sent("look", answers, about=name),), (BACK,))


def _mend(practice: Practice, rest: str) -> Put | None:
    mends = offers.mends(practice.scope)
    if not rest:
        return _areas(pages.WHICH_MEND, "mend", list(mends))
    if (area := _nth(list(mends), rest)) is None:
        return None
    taps = tuple(Tap(f"?at=part/{name}", pages.mend_name(practice, name)) for name in mends[area])
    return Put(pages.WHICH_MEND, (), (Sent("", taps),), (Tap("?at=mend", phone_class.BACK),), over=area)


def _part(practice: Practice, name: str) -> Put | None:
    if name not in practice.scope.faults or practice.scope.faults[name].turned:
        return None
    form = Sent("mend", (AnswerPart(name, phone_class.MEND_IT),), about=name)
    no = Tap("?at=mend", phone_class.DO_NOT)
    return Put(pages.mend_name(practice, name), pages.beware(practice, name), (form, Sent("", (no,))), (BACK,))


def _turn(practice: Practice, rest: str) -> Put | None:
    every = screws(practice.variant)
    if not rest:
        return _areas(pages.WHICH_TURN, "turn", every)
    if (screw := _nth(every, rest)) is None:
        return None
    said = [told for told, _ in offers.turns(every[int(rest)])]
    turns = tuple(AnswerPart(str(number), told) for number, told in enumerate(said))
    return Put(pages.WHICH_TURN, (), (Sent("turn", turns, about=screw),), (BACK,), over=screw)


def _hint(practice: Practice, rest: str) -> Put | None:
    areas = [one.id for one in pages.guesses(practice)]
    if not rest:
        asked = _areas(pages.WHERE_FIRST, "hint", areas)
        none = Tap(f"?at=hint/{SKIPPED}", pages.NO_IDEA.text)
        return Put(asked.heading, (), (*asked.forms, Sent("", (none,))), (BACK,))
    guess = SKIPPED if rest == SKIPPED else _nth(areas, rest)
    if guess is None:
        return None
    return Put(pages.WHICH_HINT, pages.BEFORE_HINT, (Sent("hint", _answers(pages.hints()), about=guess),), (BACK,))


def _stop(practice: Practice, rest: str) -> Put | None:
    yes, no = pages.OR_GO_ON
    return Put(pages.GIVE_UP, pages.BEFORE_END, (Sent("stop", (yes,)), Sent("", (Tap("?", no.text),))))


def _done(practice: Practice, rest: str) -> Put | None:
    return Put(phone_class.SO_FAR, pages.so_far(practice)[1:], (), (BACK,))


def _story(practice: Practice, rest: str) -> Put | None:
    return Put(phone_class.OWNER, owner(practice), (), (BACK,))


OPENED = {
    "look": _look,
    "check": _check,
    "mend": _mend,
    "part": _part,
    "turn": _turn,
    "hint": _hint,
    "stop": _stop,
    "done": _done,
    "story": _story,
}
"""What can be opened at the bench, by its name."""


def _after(room: Classroom, seat: PhoneSeat, at: str) -> Put:
    """Let the learner speak first; then lead through what there is to see once the class has ended, marks last."""
    practice = seat.practice
    what, _, rest = at.partition("/")
    steps = after.to_skip(practice)
    if practice.said(hp.Reflected) is None and len(steps) > 1:
        if what == "best" and rest in {one.id for one in after.best_looks(practice)}:
            return Put(after.SKIP, (), (Sent("reflect", _answers(steps), about=rest),))
        best = tuple(Tap(f"?at=best/{one.id}", one.say) for one in after.best_looks(practice))
        return Put(after.BEST, (), (Sent("", best),), over=practice.ended)
    if not room.ended:
        told = (*(pages.came_of(practice.lines[-1]) if practice.lines else ()), *phone_class.DONE_TOLD)
        return Put(phone_class.DONE, told, over=seat.nickname)
    unsaid = practice.said(hp.Ruled) is None
    if what == "rule" and unsaid:
        asked = after.RULE
        form = Sent("rule", field=asked.text, hint=asked.hint, send=phone_class.SEND, longest=LONGEST_RULE)
        return Put(after.RULE_TOLD, (), (form, Sent("", (Tap(TO_CASE, phone_class.LEAVE_OUT),))))
    if what == "case":
        return _case(room, seat)
    opens = (
        Tap(TO_WAY, phone_class.MY_WAY),
        *((Tap(TO_RULE, phone_class.MY_RULE),) if unsaid else ()),
        *((Tap(TO_CASE, phone_class.MY_CASE),) if practice.said(hp.NamedInCase) is None else ()),
        Tap(TO_MARKS, phone_class.MY_MARKS),
        Tap(TO_SHEET, phone_class.THE_SHEET),
    )
    return Put(phone_class.HAS_ENDED, phone_class.ENDED_TOLD, (Sent("", opens),), over=seat.nickname)


def _case(room: Classroom, seat: PhoneSeat) -> Put:
    """Ask what is wrong in a new case; say whether that was right."""
    named, on = seat.practice.said(hp.NamedInCase), Sent("", (Tap(TO_MARKS, phone_class.ON),))
    if named is not None:
        return Put(phone_class.MY_CASE, after.case_named(room.knowledge, named), (on,))
    case = room.new_case(seat)
    if case is None:
        return Put(after.NO_CASE, (), (on,))
    leave = Sent("", (Tap(TO_MARKS, phone_class.LEAVE_OUT),))
    return Put(after.NEW_CASE, after.new_case(case), (Sent("case", _answers(after.case_choices(case))), leave))
