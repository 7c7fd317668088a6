"""The numbers of the knowledge: facts put in their place, probabilities that add up, bands that leave no gap."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

import msgspec

from diagnose.graph import hints
from diagnose.graph.link import Book
from diagnose.graph.model import Answer, Check, Fact, Fault, Variant, fault_of
from diagnose.graph.places import Path
from diagnose.graph.problem import Problem
from diagnose.graph.wording import celsius

FIELDS: dict[str, tuple[Path, ...]] = {
    "symptoms": (("retest", "minutes"),),
    "checks": (("minutes",), ("answers", "*", "up to")),
    "faults": (("mend", "minutes"),),
    "preparations": (("minutes",),),
    "rounds": (("minutes",),),
    "bench": (("into",), ("out",)),
    "engines": (("turns", "*"),),
}
"""Where a number may be the id of a fact; ``*`` stands for every key."""

NO_FACT = "; write a number, or the id of an entry in facts.yaml"

MOST_MINUTES = 24 * 60
"""No look and no job takes longer than a day."""

_EDGE = "up to"  # stays an id: an engine may have its own value of the fact

_TINY = 1e-9  # 0.7 + 0.2 + 0.1 is a little over one


def in_celsius(fact: Fact) -> Fact:
    """Return a temperature in °C, so that readings and edges have one unit; `say` gives both."""
    if fact.unit != "°F":
        return fact
    value = None if fact.value is None else celsius(fact.value)
    span = None if fact.range is None else (celsius(fact.range[0]), celsius(fact.range[1]))
    return msgspec.structs.replace(fact, unit="°C", value=value, range=span)


def put_in_place(kind: str, name: str, data: Any, book: Book, bare: list[str]) -> tuple[Any, list[Problem]]:
    """Return `data` with each fact's value in place of its id; `bare` gets the places of bare numbers."""
    problems: list[Problem] = []
    if isinstance(data, dict):
        for field in FIELDS.get(kind, ()):
            data = _put(data, field, (kind, name), book, problems, bare)
    return data, problems


def _put(
    data: dict[str, Any], field: Path, path: Path, book: Book, problems: list[Problem], bare: list[str]
) -> dict[str, Any]:
    """Return a copy of `data` with a number at `field`."""
    made = dict(data)
    for key in data if field[0] == "*" else field[:1]:
        part, here = data.get(key), (*path, key)
        if len(field) > 1:
            if isinstance(part, dict):
                made[key] = _put(part, field[1:], here, book, problems, bare)
        elif isinstance(part, str) and key != _EDGE:
            made[key], wrong = _value(part, here, book)
            problems += wrong
        elif isinstance(part, (int, float)) and not isinstance(part, bool):
            bare.append(str(book.at(here)))
        if key == "minutes" and isinstance(minutes := made.get(key), (int, float)) and not isinstance(minutes, bool):
            if minutes <= 0:
                problems.append(book.problem("minutes", "a job takes some minutes: more than none", *here))
            elif minutes > MOST_MINUTES:
                what = f"{minutes:.6g} minutes are longer than a day; at most {MOST_MINUTES}"
                problems.append(book.problem("minutes", what, *here))
    return made


def _value(ref: str, path: Path, book: Book) -> tuple[float, list[Problem]]:
    """Return a fact's value in minutes (or turns), or any number and what is wrong with the fact."""
    fact = book.knowledge.facts.get(ref)
    if fact is None:
        if ref[:1].isdigit() or ref[:1] in "-+.":
            what = f"'{ref[:20]}' is no number that can stand here{hints.number(ref) or '; write one like 2 or 0.5'}"
            return 1.0, [book.problem("wrong-type", what, *path)]
        wrong = book.unknown("facts", ref, *path)
        return 1.0, [
            one if "did you mean" in one.what else one._replace(what=f"unknown fact '{ref}'{NO_FACT}") for one in wrong
        ]
    unit = "turns" if "turns" in path else "min"
    if fact.unit != unit:
        return 1.0, [book.problem("wrong-unit", f"'{ref}' is in '{fact.unit}', not in '{unit}'", *path)]
    if fact.value is None:
        return 1.0, [book.problem("single-value", f"'{ref}' is a range; one number is needed here", *path)]
    return fact.value, []


def problems(book: Book) -> Iterator[Problem]:
    """Yield what is wrong with facts, probabilities and bands."""
    for name, fact in book.knowledge.facts.items():
        yield from _fact(book, fact, "facts", name)
    for name, check in book.knowledge.checks.items():
        yield from _answers(book, check.answers, "checks", name)
        yield from _bands(book, name, check)
    for name, fault in book.knowledge.faults.items():
        yield from _forms(book, name, fault)
    for name, question in book.knowledge.history.items():
        yield from _answers(book, question.answers, "history", name, several=question.several)


def _fact(book: Book, fact: Fact, *here: str) -> Iterator[Problem]:
    if (fact.value is None) == (fact.range is None):
        yield book.problem("fact-value", f"'{here[-1]}' needs a 'value:' or a 'range:', and not both", *here)
    if fact.range is not None and fact.range[0] >= fact.range[1]:
        yield book.problem("fact-value", "a range goes from the smaller number to the larger", *here, "range")
    if fact.provenance == "published" and fact.source is None:
        yield book.problem("fact-source", f"'{here[-1]}' is published; say where with 'source:'", *here, "provenance")


def _answers(book: Book, answers: Mapping[str, Answer], *here: str, several: bool = False) -> Iterator[Problem]:
    """See that one answer is healthy and takes what the others leave; of `several` each stands by itself."""
    healthy = [name for name, answer in answers.items() if answer.healthy]
    if len(healthy) != 1:
        which = ", ".join(f"'{name}'" for name in healthy) or "none"
        yield book.problem("one-healthy", f"exactly one answer is healthy: true; here {which}", *here, "answers")
    named: dict[str, Path] = {}
    for name, answer in answers.items():
        at = (*here, "answers", name)
        for fault in answer.given:
            yield from book.no_hypothesis(fault, *at, "if", fault)
            named[fault] = (*at, "if", fault)
        if answer.mends is not None:
            yield from book.unknown("faults", answer.mends, *at, "mends")
        if answer.healthy and (answer.given or answer.otherwise is not None):
            what = f"'{name}' is healthy: it takes what the others leave, so it has no 'if:' and no 'else:'"
            yield book.problem("healthy-takes-the-rest", what, *at)
        if not answer.healthy and answer.otherwise is None:
            what = f"'{name}' needs 'else:', its probability with any other fault"
            yield book.problem("no-else", what, *at)
    if several:
        return
    unhealthy = [answer for answer in answers.values() if not answer.healthy]
    for fault, path in named.items():
        whole = fault_of(fault)
        total = sum(answer.given.get(fault, answer.given.get(whole, answer.otherwise or 0.0)) for answer in unhealthy)
        if total > 1 + _TINY:
            what = f"with '{fault}' the unhealthy answers have {total:.3g} together ('else' counted); at most 1"
            yield book.problem("probability-sum", what, *path)
    total = sum(answer.otherwise or 0.0 for answer in unhealthy)
    if total > 1 + _TINY:
        yield book.problem("probability-sum", f"'else' comes to {total:.3g} together; at most 1", *here, "answers")


def _forms(book: Book, name: str, fault: Fault) -> Iterator[Problem]:
    """See that the shares of a fault's forms come to one."""
    total = sum(form.share for form in fault.forms.values())
    if fault.forms and abs(total - 1) > _TINY:
        what = f"the shares of the forms of '{name}' come to {total:.3g} together, not to 1"
        yield book.problem("form-shares", what, "faults", name, "forms")


def _bands(book: Book, name: str, check: Check) -> Iterator[Problem]:
    """See that a reading's answers are bands that ascend, and that there are no bands without a reading."""
    answers = list(check.answers.items())
    edges: list[tuple[str, float]] = []
    for number, (title, answer) in enumerate(answers):
        at = ("checks", name, "answers", title)
        wanted = check.reading is not None and number < len(answers) - 1
        if (answer.up_to is not None) != wanted:
            needs = "needs 'up to:'" if wanted else "has no 'up to:'"
            why = "with a 'reading:', each answer but the last" if check.reading else "without a 'reading:', an answer"
            yield book.problem("reading", f"'{title}': {why} {needs}", *at)
        elif answer.up_to is not None and check.reading is not None:
            wrong = list(_edge(book, answer.up_to, check.reading.unit, (*at, "up to")))
            yield from wrong
            if not wrong and (isinstance(answer.up_to, float) or answer.up_to in book.knowledge.facts):
                edges.append((title, book.knowledge.number(answer.up_to, Variant())))
    if check.reading is None:
        return
    bounds = [("least", check.reading.least), *edges, ("most", check.reading.most)]
    for (_, low), (title, high) in pairwise(bounds):
        if high <= low:
            path = ("reading", "most") if title == "most" else ("answers", title, "up to")
            yield book.problem("bands-ascend", f"bands go up: {high:.4g} comes after {low:.4g}", "checks", name, *path)


def _edge(book: Book, ref: float | str, unit: str, path: Path) -> Iterator[Problem]:
    """See that a band's edge is a number, or a fact with one value in the reading's unit."""
    if not isinstance(ref, str):
        return
    fact = book.knowledge.facts.get(ref)
    if fact is None:
        yield from book.unknown("facts", ref, *path)
    elif fact.value is None:
        yield book.problem("single-value", f"'{ref}' is a range; one number is needed here", *path)
    elif fact.unit != unit:
        yield book.problem("wrong-unit", f"'{ref}' is in '{fact.unit}', the reading in '{unit}'", *path)
