"""The rules of the simulated engine's files: every name exists, and every number is one that its part can have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from diagnose.graph.link import Book
from diagnose.graph.model import Fault, Knowledge, SimulatedCheck, SimulatedFault, Variant
from diagnose.graph.model.parts import MEASURES, SCREWS, ranges
from diagnose.graph.model.simulated import Further, Mode, Sign
from diagnose.graph.problem import Problem, did_you_mean

if TYPE_CHECKING:
    from diagnose.graph.routes import Proof  # with networkx, which reading does not need

MOST_HOURS = 36.0
"""Hours that a fault may put a screw off: three turns."""


def links(book: Book) -> Iterator[Problem]:
    """Yield each fault, check, answer and part that does not exist, and each number that a part can't have."""
    for name, fault in book.knowledge.simulated_faults.items():
        here = ("simulated_faults", name)
        yield from book.unknown("faults", name, *here)
        for number, mode in enumerate(fault.modes):
            yield from _mode(book, mode, *here, "modes", str(number))
        yield from _parts(book, fault.renews, *here, "renews")
        yield from _forms(book, name, fault)
    for name, check in book.knowledge.simulated_checks.items():
        yield from book.unknown("checks", name, "simulated_checks", name)
        yield from _check(book, name, check)
    for name in book.knowledge.faults:
        yield from _alike(book, name)
    yield from _exceptions(book)


def with_alike(knowledge: Knowledge) -> dict[str, SimulatedFault]:
    """Return the rows of the simulated faults, with one for each fault that says which other one it acts like.

    What is like a part of another fault's range has that part of it. Its forms are its own affair.
    """
    rows = knowledge.simulated_faults
    made = {}
    for name, fault in knowledge.faults.items():
        like, _, form = (fault.acts_like or "").partition(".")
        if like in rows:
            row = rows[like]
            modes = [mode for number, mode in enumerate(row.modes) if form in ("", *row.forms[number : number + 1])]
            made[name] = SimulatedFault(row.often, row.comes, tuple(_within(mode, *fault.how_badly) for mode in modes))
    return rows | made


def _within(mode: Mode, mild: float, bad: float) -> Mode:
    """Return the part of a mode's range that lies between two shares of it."""
    return {part: (low + mild * (high - low), low + bad * (high - low)) for part, (low, high) in mode.items()}


def _alike(book: Book, name: str) -> Iterator[Problem]:
    """See that what a fault acts like is another fault, of which the bench knows what it does to which part."""
    fault, rows, faults = book.knowledge.faults[name], book.knowledge.simulated_faults, book.knowledge.faults
    here = ("faults", name, "acts like")
    if fault.acts_like is None:
        if fault.how_badly != (0.0, 1.0):
            what = "'how badly:' says how far it acts like another fault: say which one, with 'acts like:'"
            yield book.problem("missing-field", what, "faults", name, "how badly")
        return
    yield from book.no_hypothesis(fault.acts_like, *here)
    like, _, form = fault.acts_like.partition(".")
    if fault.how_badly[0] > fault.how_badly[1]:
        what = "'how badly:' names the mildest first, and then the worst: 0.2, 0.8"
        yield book.problem("out-of-range", what, "faults", name, "how badly")
    elsewhere = ("faults", name) in book.replaced and ("simulated_faults", name) not in book.replaced
    why = ""
    if name in rows and not elsewhere:
        why = f"'{name}' has a row in simulated/faults.yaml too: keep the one or the other"
    elif name in (around := _around(faults, name)):
        if name != min(around):
            return  # told at the first of them
        others = [f"'{one}'" for one in around[1:]]
        what = ", and that one like ".join([*others, f"'{name}'"]) if others else "itself"
        why = f"'{name}' acts like {what}: name a fault that has a row in simulated/faults.yaml"
    elif like in faults and faults[like].acts_like is not None:
        why = f"'{like}' acts like '{faults[like].acts_like}' itself: name that one"
    elif like in faults and like not in rows:
        why = f"the practice bench can't show '{like}' either: name a fault that has a row in simulated/faults.yaml"
    elif like in rows and any(part in SCREWS for mode in rows[like].modes for part in mode):
        why = f"'{like}' is a screw that stands wrong, and each screw has one owner: name a fault of a part"
    elif like in rows and form in faults[like].forms and form not in rows[like].forms:
        why = f"the practice bench shows '{like}' in no form '{form}'{did_you_mean(form, rows[like].forms)}"
    if why:
        yield book.problem("does-not-fit", why, *here)


def _around(faults: Mapping[str, Fault], name: str) -> list[str]:
    """Return the faults of a circle in which each acts like the next, from one of them on; [] if there is none."""
    path: list[str] = []
    while name in faults and name not in path:
        path.append(name)
        name = (faults[name].acts_like or "").partition(".")[0]
    return path[path.index(name) :] if name in path else []


def _exceptions(book: Book) -> Iterator[Problem]:
    """Yield each fault and symptom that does not exist, where the simulated engine may differ."""
    for name, entry in book.knowledge.simulated_exceptions.items():
        for fault, symptoms in entry.of.items():
            here = ("simulated_exceptions", name, "of", fault)
            yield from book.unknown("faults", fault, *here)
            for number, symptom in enumerate(symptoms):
                yield from book.unknown("symptoms", symptom, *here, str(number))


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each check whose healthy answer is what the practice bench shows of something that is wrong."""
    known = proof.knowledge
    for name, row in known.simulated_checks.items():
        check = known.checks.get(name)
        if check is None:
            continue
        wrong = ""
        if any(sign.answer == check.healthy for sign in row.shows):
            wrong = "the practice bench shows it when something is wrong"
        elif row.fits and check.answers[check.healthy].mends:
            wrong = "it is the answer of a part that was swapped and cured it"
        elif row.reads is not None and known.band(check, row.reads.sound, Variant()) != check.healthy:
            wrong = f"a sound engine reads {row.reads.sound:g} there, which is another answer"
        if wrong:
            what = f"'{check.healthy}' is the healthy answer of '{name}', and {wrong}"
            yield proof.problem("healthy-shown", what, "checks", name, "answers", check.healthy)


def _forms(book: Book, name: str, row: SimulatedFault) -> Iterator[Problem]:
    """See that each mode is a form of the fault, where the row names any; what replaces the fault may have others."""
    here = ("simulated_faults", name, "forms")
    fault = book.knowledge.faults.get(name)
    elsewhere = ("faults", name) in book.replaced and here[:2] not in book.replaced
    if row.forms and len(row.forms) != len(row.modes):
        what = f"name one form for each mode: '{name}' has modes: {len(row.modes)}, forms: {len(row.forms)}"
        yield book.problem("does-not-fit", what, *here)
    for number, form in enumerate(row.forms):
        if fault is not None and form not in fault.forms and not elsewhere:
            what = f"'{name}' has no form '{form}'{did_you_mean(form, fault.forms)}"
            yield book.problem("unknown-name", what, *here, str(number))


def _mode(book: Book, mode: Mode, *path: str) -> Iterator[Problem]:
    limits = ranges() | dict.fromkeys(SCREWS, (-MOST_HOURS, MOST_HOURS))
    for part, values in mode.items():
        yield from _part(book, part, limits, *path, part)
        low, high = limits.get(part, values)
        for value in values:
            if part in limits and not low <= value <= high:
                what = f"'{part}' is {value:g}; it must be from {low:g} to {high:g}"
                yield book.problem("out-of-range", what, *path, part)


def _check(book: Book, name: str, check: SimulatedCheck) -> Iterator[Problem]:
    here = ("simulated_checks", name)
    asked = book.knowledge.checks.get(name)
    yield from _parts(book, check.fits, *here, "fits")
    if bool(check.shows) + bool(check.fits) + (check.reads is not None) > 1:
        yield book.problem("does-not-fit", "a look has one of 'shows:', 'reads:' and 'fits:'", *here)
    if check.fits and asked is not None and not any(answer.mends for answer in asked.answers.values()):
        what = f"no answer of '{name}' has 'mends:', so that fitting a fresh part shows nothing"
        yield book.problem("missing-field", what, *here, "fits")
    if check.reads is not None:
        yield from _part(book, check.reads.of, (*ranges(), *MEASURES), *here, "reads", "of")
        if asked is not None and asked.reading is None:
            yield book.problem("reading", f"'{name}' asks for no reading, so it has no 'reads:'", *here, "reads")
    elsewhere = ("checks", name) in book.replaced and here not in book.replaced  # the overlay's check, our look at it
    for number, answer in enumerate(check.unrecorded):
        if asked is not None and answer not in asked.answers and not elsewhere:
            what = f"'{name}' has no answer '{answer}'{did_you_mean(answer, asked.answers)}"
            yield book.problem("unknown-name", what, *here, "unrecorded", str(number))
    for number, sign in enumerate(check.shows):
        at = (*here, "shows", str(number))
        if asked is not None and sign.answer not in asked.answers and not elsewhere:
            what = f"'{name}' has no answer '{sign.answer}'{did_you_mean(sign.answer, asked.answers)}"
            yield book.problem("unknown-name", what, *at, "answer")
        if sign.symptom is not None:
            yield from book.unknown("symptoms", sign.symptom, *at, "symptom")
        yield from _limits(book, sign, *at)
        if sign.and_ is not None:
            yield from _limits(book, sign.and_, *at, "and")


def _limits(book: Book, sign: Sign | Further, *path: str) -> Iterator[Problem]:
    if not (sign.above or sign.below or (isinstance(sign, Sign) and sign.symptom)):
        yield book.problem("missing-field", "nothing shows this: give it 'above:' or 'below:' with a part", *path)
    for side, limits in (("above", sign.above), ("below", sign.below)):
        for part in limits:
            yield from _part(book, part, (*ranges(), *MEASURES), *path, side, part)


def _parts(book: Book, parts: Iterable[str], *path: str) -> Iterator[Problem]:
    for number, part in enumerate(parts):
        yield from _part(book, part, ranges(), *path, str(number))


def _part(book: Book, part: str, known: Iterable[str] | Mapping[str, object], *path: str) -> Iterator[Problem]:
    if part not in known:
        yield book.problem("unknown-name", f"the engine has no part '{part}'{did_you_mean(part, known)}", *path)
