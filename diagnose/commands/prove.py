"""``diagnose prove``: does the knowledge hold? Structure, rules and worked cases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.graph.problem import Problem
    from diagnose.graph.read import Read
    from diagnose.measure.slips import Shares
    from diagnose.measure.testability import Testability

HOLDS, DOES_NOT_HOLD = 0, 1


@click.command()
@click.argument("folders", nargs=-1, metavar="[DIR]...", type=click.Path(path_type=Path))
@click.option("--full", is_flag=True, help="Add how well faults are told apart, and which texts are hard to read.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option(
    "--explain", "rule", metavar="RULE", help="Print what a rule refuses, what holds, and why; prove nothing."
)
def prove(folders: tuple[Path, ...], full: bool, as_json: bool, rule: str | None) -> None:
    """Prove the knowledge: structure, rules and worked cases.

    Each DIR holds a club's own files and lies on the shipped knowledge.
    Problems are printed one a line, each with its rule at the end.
    Exit code 0 only when everything holds.

    \b
    Examples:
      diagnose prove
      diagnose prove club/ --full
      diagnose prove --explain guards-again
    """
    if rule is not None:
        _explain(rule, as_json=as_json)
        return
    from msgspec.structs import asdict

    from diagnose.graph.load import read_all
    from diagnose.graph.problem import KnowledgeError

    layers = (*common.overlays(), *folders)
    found: Read | None = None
    fewer: tuple[str, ...] = ()
    try:
        found = read_all(layers)
        problems = sorted(set(_unproven(found)))
        fewer = found.knowledge.fewer
    except KnowledgeError as error:
        problems = error.problems
    measured = full and found is not None and not problems
    figures = list(_figures(found)) if measured and found else []
    texts = [*_alike(found), *_texts(found)] if measured and found else []
    if as_json:
        told = [{**asdict(one), **shares._asdict()} for one, shares in figures]
        common.say_json({**_report(found, problems, fewer), "figures": told, "texts": texts})
    else:
        _print(found, problems, fewer, figures, texts)
    click.get_current_context().exit(DOES_NOT_HOLD if problems else HOLDS)


def _explain(name: str, *, as_json: bool) -> None:
    """Print the page of a rule; raises `DiagnoseError` for a name that is none."""
    from msgspec.structs import asdict

    from diagnose.graph.problem import did_you_mean
    from diagnose.graph.rules import page, rules

    known = rules()
    name = name.strip("()")
    if name not in known:
        hint = did_you_mean(name, known) or "; a problem ends in the name of its rule"
        raise DiagnoseError(f"there is no rule '{name}'{hint}")
    if as_json:
        common.say_json({"rule": name, **asdict(known[name])})
    else:
        common.say(page(name, known[name]).rstrip("\n"))


def _unproven(found: Read) -> Iterator[Problem]:
    """Yield what does not hold; the cases are run only on knowledge that is proven."""
    from diagnose.graph.prove import prove as proven

    problems = proven(found.knowledge, found.places)
    yield from problems or _cases(found)


def _cases(found: Read) -> Iterator[Problem]:
    """Run the worked cases, and yield what does not come out as they expect."""
    from diagnose.graph.failings import unlisted
    from diagnose.graph.problem import Place, Problem
    from diagnose.measure.coverage import uncovered
    from diagnose.reason.cases import check_expectation, inline_engine, run_case
    from diagnose.reason.scope import Scope

    for fault in uncovered(found.knowledge, found.cases.values()):
        where = found.places.get(("faults", fault), Place("knowledge", 1, 1))
        yield Problem(where, "fault-without-case", f"'{fault}' is the truth of no worked case")
    for fault in unlisted(found.knowledge):
        where = found.places.get(("faults", fault), Place("knowledge", 1, 1))
        yield Problem(where, "fault-without-part", f"no row of the table of parts stands for '{fault}'")
    scopes: dict[str, Scope] = {}
    for name, case in found.cases.items():
        top = found.places.get(("cases", name, "symptom"), Place(f"cases/{name}.yaml", 1, 1))
        if isinstance(case.engine, str):
            what = "a worked case of the knowledge describes its engine in place: {needles: 3, starter: box}"
            yield Problem(found.places.get(("cases", name, "engine"), top), "case-engine", what)
            continue
        try:
            engine = inline_engine(case.engine)
            key = repr(engine.variant)
            scope = scopes[key] = scopes.get(key) or Scope(found.knowledge, engine.variant)
            wrong = check_expectation(case, run_case(found.knowledge, case, engine.variant, engine, scope))
        except DiagnoseError as error:
            wrong = str(error).splitlines()
        for what in wrong:
            yield Problem(found.places.get(("cases", name, "expect"), top), "case", what)


def _figures(found: Read) -> Iterator[tuple[Testability, Shares]]:
    """Yield how each symptom's faults are told apart and mended, on an engine with every needle, run in."""
    from diagnose.graph.model import Variant
    from diagnose.measure import slips
    from diagnose.measure.testability import measure

    for symptom in found.knowledge.symptoms:
        figures = measure(found.knowledge, symptom, Variant())
        shares = slips.shares(found.knowledge, symptom, Variant())
        if figures is not None and shares is not None:
            yield figures, shares


def _texts(found: Read) -> Iterator[str]:
    """Yield what an author may want to shorten: long texts, and those that are hardest to read."""
    from diagnose.graph.texts import hardest, long_texts

    def at(path: tuple[str, ...]) -> str:
        while path not in found.places and path:
            path = path[:-1]
        return str(found.places.get(path, "knowledge"))

    for count, path in long_texts(found.knowledge):
        yield f"{at(path)}: {count} words without a break"
    hard = hardest(found.knowledge)
    if hard is None:
        yield "reading ease is not measured: the library 'readability' is not installed"
    for ease, path in hard or ():
        yield f"{at(path)}: among the hardest to read, reading ease {ease:g}"


def _alike(found: Read) -> Iterator[str]:
    """Yield the pairs of faults that no check tells apart although their mends differ."""
    from diagnose.measure.coverage import alike

    for pair in alike(found.knowledge):
        nearest = f"; '{pair.nearest}' comes nearest ({pair.distance:.0%})" if pair.nearest else ""
        yield f"no check tells '{pair.one}' from '{pair.other}'{nearest}"


def _unpractised(found: Read) -> Iterator[str]:
    """Yield what the practice bench can't show."""
    from diagnose.practice.seeing import missing

    return missing(found.knowledge)


def _counts(found: Read) -> dict[str, int]:
    known = found.knowledge
    counted = {"symptoms": len(known.symptoms), "checks": len(known.checks), "faults": len(known.faults)}
    return {**counted, "cases": len(found.cases)}


def _report(found: Read | None, problems: list[Problem], fewer: tuple[str, ...]) -> dict[str, object]:
    return {
        "holds": not problems,
        "problems": [{**p.place._asdict(), "rule": p.rule, "what": p.what} for p in problems],
        "counts": _counts(found) if found else {},
        "bare": list(found.knowledge.bare) if found else [],
        "fewer": fewer,
        "unpractised": list(_unpractised(found)) if found else [],
    }


def _print(
    found: Read | None,
    problems: list[Problem],
    fewer: tuple[str, ...],
    figures: list[tuple[Testability, Shares]],
    texts: list[str],
) -> None:
    for problem in problems:
        common.say(str(problem))
    for sentence in fewer:
        common.say(f"fewer: {sentence}")
    if found is None or problems:
        common.say(f"{len(problems)} problem{'s' if len(problems) > 1 else ''}")
        return
    for sentence in _unpractised(found):
        common.say(f"practice: {sentence}")
    for place in found.knowledge.bare:
        common.say(f"{place}: a number of your own, with no fact behind it")
    for line in texts:
        common.say(line)
    if figures:
        common.table([HEAD, *(_row(*one) for one in figures)])
    counted = ", ".join(f"{count} {kind}" for kind, count in _counts(found).items())
    common.say(f"everything holds: {counted}")


HEAD = ("symptom", "shown", "to one", "to two", "group", "min", "owed min", "right", "one slip", "or handed over")


def _row(figures: Testability, slips: Shares) -> tuple[str, ...]:
    shares = (figures.detected, figures.isolated_one, figures.isolated_two)
    sizes = (figures.group_size, figures.minutes, figures.owed_minutes)
    return (figures.symptom, *map(_percent, shares), *(f"{size:.1f}" for size in sizes), *map(_percent, slips))


def _percent(share: float) -> str:
    return f"{share:.0%}"
