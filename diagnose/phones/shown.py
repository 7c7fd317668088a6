"""Which page a walk puts to a phone: what is due, as `Session.due` says, or what was tapped beside it."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from diagnose.graph.wording import capital
from diagnose.pages import head_after, phone, rather, seen, since, stuck, take_back
from diagnose.pages.beside import beside
from diagnose.pages.end import HEADINGS, end_page
from diagnose.pages.first_day import CANT, DONE, FirstDayPage, first_day_page, portions, unclear_page
from diagnose.pages.hazards import before_page, hazards_page, heading
from diagnose.pages.history import GO_ON_WITH_TICKED, history_page
from diagnose.pages.history import HEADING as HISTORY
from diagnose.pages.parts import AnswerPart, Line, Page, Paragraph, answers
from diagnose.pages.ready import HEADING as READY
from diagnose.pages.ready import ready_page
from diagnose.pages.round import SOUND, round_page
from diagnose.pages.step import EXAMPLES, count, step_page
from diagnose.pages.time import ASKS, time_page
from diagnose.pages.what_if import HEADING as WHAT_IF
from diagnose.pages.what_if import what_if_page
from diagnose.pages.why import why_page
from diagnose.pages.words import step_words
from diagnose.phones.put import Put, Sent, Tap
from diagnose.phones.visit import Visit
from diagnose.reason import rather as other
from diagnose.reason.events import CANT_TELL
from diagnose.reason.explain import ALSO
from diagnose.reason.steps import LOST, NOT_NOW
from diagnose.reason.view import Step
from diagnose.workshop.session import reading_unit

AT = "?at="
TO_STEP = Tap("?", phone.TO_STEP)
LOOKS = ("ask", "recheck")


def named(step: Step) -> str:
    """Return how a form names its step."""
    return f"{step.kind}/{step.id}{'/before' if step.before else ''}"


def due(visit: Visit, *, led: bool) -> str:
    """Return what is put to this visitor now."""
    return visit.session.due(visit.session.step(), led=led)


def put(visit: Visit, *, led: bool, at: str = "", part: int = 1, words: str = "") -> Put:
    """Return the page that is due; or the one that is looked at beside it, `at` a step."""
    session, step = visit.session, visit.session.step()
    match session.due(step, led=led):
        case "cautions":
            stop = session.stop_first
            told = before_page(session.new_cautions(step), session.knowledge, visit.walk.variant, stop_first=stop)
            return Put(heading(stop_first=stop), told.text, (Sent("read", (told.answer,)),))
        case "since":
            return Put(since.HEADING, since.since_page(visit.walk), (Sent("since", since.ANSWERS),))
        case "history":
            return _history(visit)
        case "ready":
            asked = ready_page(session.unready, refused=visit.refused == session.unready)
            form = Sent("ready", asked.answers, session.unready)
            return Put(READY, asked.text, (form,), steps=True)
        case "head":
            field = Sent("head", field=head_after.UNIT, hint=EXAMPLES["°C"], number=True, send=phone.SEND)
            return Put(head_after.HEADING, head_after.ASKED, (field, Sent("no head", head_after.ANSWERS)))
        case "step" if step is not None:
            beside_it = BESIDE.get(at)
            return beside_it(visit, step, words) if beside_it else _in_time(visit, step, led=led, part=part, whole=at)
        case _:
            return _end(visit)


def _history(visit: Visit) -> Put:
    names = visit.session.untold()
    page = history_page(visit.walk, names)
    heading = page.asked.text
    ticked = GO_ON_WITH_TICKED if page.alone else ""
    return Put(
        heading, (), (Sent("tell", page.answers, names[0], ticked),), over=f"{HISTORY} {capital(page.which.text)}"
    )


def _in_time(visit: Visit, step: Step, *, led: bool, part: int, whole: str) -> Put:
    """Return the step itself, with the minutes that there are."""
    found, view = _step(visit, step, led=led, part=part, whole=whole), visit.view
    if view.deadline is None:
        return found
    over = " · ".join(one for one in (found.over, phone.to_go(view.deadline, view.last_word)) if one)
    return replace(found, over=over)


def _step(visit: Visit, step: Step, *, led: bool, part: int, whole: str) -> Put:
    """Return the step itself: in portions for who is led, on its list for who ticks, and else all of it."""
    view = visit.view
    if step.kind == "refer" and not led:
        page = step_page(view, step, visit.session.knowledge, visit.walk.variant)
        return _asking(visit, step, page.text, page.answers, step.title)
    if not led:
        listed = round_page(visit.walk, view, step) if whole != "look" else None
        if listed is not None:
            tick = AnswerPart(SOUND, listed.answers[0].text)
            form = Sent("tick", (tick, Tap(f"{AT}look", listed.answers[1].text)), named(step))
            return Put(listed.heading, listed.lines, (form,), _more(step), steps=True)
        told = step_page(view, step, visit.session.knowledge, visit.walk.variant)
        lead = tuple(one for one in told.asked if isinstance(one, Paragraph) and one.tone == "lead")
        return _asking(visit, step, (*_note(visit), *lead, *told.text, *told.hazards), told.answers, count(view, step))
    found = portions(step, visit.session.knowledge)
    number = min(max(part, 1), len(found))
    portion = found[number - 1]
    warn = visit.warning(view, step) if number == 1 else ""
    note = visit.note if number == 1 else ""
    shown = first_day_page(visit.walk, view, step, portion, visit.terms(view, step, portion), warn, note)
    if portion.last:
        return _asking(visit, step, shown.text, shown.answers, shown.heading)
    go_on = Sent("", (Tap(f"?part={number + 1}", DONE.text), Tap(f"{AT}stuck", CANT.text)))
    return Put(step.title, _without(shown, step.title), (go_on,), _more(step), over=shown.heading, steps=True)


def _without(page: FirstDayPage, said: str) -> Page:
    return tuple(one for one in page.text if not (isinstance(one, Paragraph) and one.text == said))


def _note(visit: Visit) -> Page:
    return (Paragraph(visit.note, "quiet"),) if visit.note else ()


def _asking(visit: Visit, step: Step, text: Page, offered: tuple[AnswerPart, ...], over: str) -> Put:
    """Return a page that stands at the question of a step."""
    heading = step.ask if step.kind != "refer" else step.title
    shown = tuple(one for one in text if not (isinstance(one, Paragraph) and one.text == heading))
    unit, doubt = reading_unit(step), step.kind in LOOKS
    stuck_at = {CANT_TELL} if step.kind != "refer" else set()
    put_off = {NOT_NOW} if step.kind == "mend" else set()
    given = tuple(
        Tap(f"{AT}{'stuck' if one.id in stuck_at else 'needs'}", one.text, one.means)
        if one.id in stuck_at | put_off
        else one
        for one in offered
    )
    read = Sent(
        "measure", (), named(step), field=unit, hint=EXAMPLES.get(unit, EXAMPLES[""]), number=True, send=phone.SEND
    )
    forms = (*((read,) if unit else ()), Sent("step", given, named(step), doubt=doubt))
    own = (Sent("own", (AnswerPart("own", phone.OWN_STEP),)),) if visit.session.asked else ()
    return Put(heading, shown, (*forms, *own), _more(step), over=over, steps=True)


def _more(step: Step) -> tuple[Tap, ...]:
    looks = (Tap(f"{AT}whatif", phone.WHAT_IF),) if step.kind in LOOKS else ()
    return (
        Tap(f"{AT}why", phone.WHY),
        Tap(f"{AT}unclear", phone.UNCLEAR),
        *looks,
        Tap(f"{AT}sofar", phone.SO_FAR),
        Tap(f"{AT}saw", phone.SAW),
        Tap(f"{AT}time", phone.TIME),
        Tap(f"{AT}hazards", phone.HAZARDS),
    )


def _end(visit: Visit) -> Put:
    view = visit.view
    assert view.verdict is not None
    told = end_page(view, view.verdict, visit.session.knowledge, visit.session.owed_at_end())
    forms = (Sent("reopen", (phone.GO_ON_AGAIN,)),) if visit.walk.reopen(visit.session.clock()) is not None else ()
    return Put(HEADINGS[view.verdict.outcome].removeprefix("· "), told, forms, home=True)


Beside = Callable[[Visit, Step, str], Put]


def _read(heading: str, text: Page) -> Put:
    return Put(heading, text, more=(TO_STEP,))


def _why(visit: Visit, step: Step, _: str) -> Put:
    return _read(phone.WHY, why_page(visit.walk, visit.view, step))


def _what_if(visit: Visit, step: Step, _: str) -> Put:
    return _read(WHAT_IF, what_if_page(visit.walk, step, visit.session.clock()))


def _so_far(visit: Visit, step: Step, _: str) -> Put:
    return _read(phone.SO_FAR, beside(visit.view, step))


def _hazards(visit: Visit, step: Step, _: str) -> Put:
    return _read(phone.HAZARDS, hazards_page(visit.session.knowledge, visit.walk.variant, step.cautions))


def _unclear(visit: Visit, step: Step, _: str) -> Put:
    return _read(step.title, unclear_page(visit.walk, step))


def _stuck(visit: Visit, step: Step, _: str) -> Put:
    """Ask what is in the way; who can't know what is only remembered says so at once."""
    check = visit.walk.scope.checks.get(step.id)
    told = (Paragraph(step.ask, "strong"),)
    if check is not None and check.remembered and step.kind in LOOKS:
        form = Sent("untold", (AnswerPart(CANT_TELL, CANT.text),), named(step))
        return Put(stuck.HEADING, (*told, Paragraph(stuck.UNKNOWN)), (form,), (TO_STEP,))
    ways = {stuck.UNCLEAR: "unclear", stuck.UNSURE: "nearest", stuck.LACKING: "needs", stuck.LATER: "needs"}
    offered = tuple(
        Tap(f"{AT}{ways[one.id]}", one.text) if one.id in ways else Tap("?", one.text) if one.id == stuck.KEEP else one
        for one in stuck.which(step)
    )
    return Put(stuck.HEADING, told, (Sent("untold", offered, named(step)),))


def _nearest(visit: Visit, step: Step, _: str) -> Put:
    known = visit.walk.scope.checks[step.id].answers if step.kind in LOOKS else {}
    found = answers(tuple(one for one in step.choices if one.id in known))
    told = (Paragraph(step.ask, "strong"), Paragraph(stuck.HALF))
    none = Sent("untold", (stuck.NEAREST,), named(step))
    return Put(stuck.ASKED_MOST, told, (Sent("nearest", found, named(step)), none), (TO_STEP,))


def _needs(visit: Visit, step: Step, _: str) -> Put:
    offered = tuple(Tap("?", one.text) if one.id == stuck.BACK else one for one in stuck.AFTER_NEEDS)
    return Put(stuck.PARKED, stuck.needs_page(step), (Sent("needs", offered, named(step)),))


def _saw(visit: Visit, step: Step, words: str) -> Put:
    """List what can be said unasked, or what a few words find."""
    from diagnose.graph.seek import seeker  # with what compares words, wanted here alone

    find = seeker(visit.session.knowledge, "looks").find
    asks = Tap(f"{AT}saw", phone.SAW_ASKED)  # the field is a form of its own, which changes nothing
    if words.strip():
        found = seen.found(visit.walk, words[:60], lambda typed: [one.id for one in find(typed, most=40)])
        kept = tuple(one for one in found if not one.id.startswith(seen.NOTE))
        note = Sent("note", (AnswerPart(f"{seen.NOTE}{words.strip()[:60]}", found[-1].text),))
        return Put(seen.HEADING, (), (*_seen(kept), note), (asks, TO_STEP))
    listed = [one for one in seen.listed(visit.walk) if isinstance(one, AnswerPart)]
    near = {check for check, _ in visit.walk.askable()}
    first = tuple(one for one in listed if one.id in near or one.id.startswith(ALSO))
    search = Sent("search", field=phone.SAW_ASKED, send=phone.SEARCH_FOR)
    return Put(seen.HEADING, (), (search, *_seen(first)), (TO_STEP,))


def _seen(found: tuple[AnswerPart, ...]) -> tuple[Sent, ...]:
    also = tuple(one for one in found if one.id.startswith(ALSO))
    return Sent("saw", tuple(one for one in found if one not in also)), Sent("also", also)


def _back(visit: Visit, step: Step, _: str) -> Put:
    trail = [line for line in reversed(visit.view.trail) if line.can_take_back]
    if not trail:
        return _read(take_back.HEADING, (Paragraph(take_back.NOTHING),))
    offered = tuple(AnswerPart(str(line.number), line.what) for line in trail)
    return Put(take_back.HEADING, (Paragraph(take_back.BY_HAND, "quiet"),), (Sent("back", offered),), (TO_STEP,))


def _time(visit: Visit, step: Step, _: str) -> Put:
    """Ask for the minutes, and list what finds most in them."""
    page = time_page(visit.view, visit.session.clock())
    looks = tuple(Line(one.text, "·") for one in page.looks)
    asked = Sent("deadline", field=ASKS.strip(": "), hint="8 min", send=phone.SEND)
    none = () if visit.view.deadline is None else (Sent("no deadline", (phone.NO_DEADLINE,)),)
    return Put(phone.TIME, (*page.told, *looks, *page.word), (asked, *none), (TO_STEP,))


def _stop(visit: Visit, step: Step, _: str) -> Put:
    return Put(phone.STOP_HEADING, phone.STOP_PAGE, (Sent("end", (phone.STOP_YES, Tap("?", phone.STOP_NO))),))


def _words(visit: Visit, step: Step, _: str) -> Put:
    return _read(phone.WORDS, step_words(visit.session.knowledge, step, phone.UNCLEAR, visit.walk.variant))


def _person(visit: Visit, step: Step, _: str) -> Put:
    """Name a person, after looks that could not be told."""
    if visit.walk.state.lost < LOST:
        return put(visit, led=True)
    ways = {stuck.ON: Tap("?", next(one.text for one in stuck.PERSON if one.id == stuck.ON))}
    offered = tuple(ways.get(one.id, one) for one in stuck.PERSON)
    return Put(stuck.SOMEBODY, stuck.person_page(visit.view), (Sent("person", offered, named(step)),))


def _rather(visit: Visit, step: Step, _: str) -> Put:
    """Offer the symptoms that the answer fits better, while that is still so."""
    names = other.rather(visit.walk.scope, visit.walk.state, visit.walk.symptom, just_now=True)
    if not names:
        return put(visit, led=True)
    offered = tuple(
        Tap("?", one.text, one.means) if one.id == rather.STAY else one
        for one in rather.answers(visit.session.knowledge, names)
    )
    return Put(rather.HEADING, rather.rather_page(visit.walk), (Sent("rather", offered),))


BESIDE: dict[str, Beside] = {
    "why": _why,
    "whatif": _what_if,
    "sofar": _so_far,
    "hazards": _hazards,
    "unclear": _unclear,
    "words": _words,
    "stuck": _stuck,
    "nearest": _nearest,
    "needs": _needs,
    "saw": _saw,
    "back": _back,
    "time": _time,
    "stop": _stop,
    "person": _person,
    "rather": _rather,
}
"""What can be looked at beside a step, by what its address says."""
