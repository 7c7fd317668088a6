"""``diagnose prove``: does the knowledge hold? Structure, rules and worked cases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.graph.causes import RootCause
    from diagnose.graph.problem import Problem
    from diagnose.graph.read import FilesRead
    from diagnose.measure.slips import Shares
    from diagnose.measure.testability import Testability

HOLDS, DOES_NOT_HOLD = 0, 1


@click.command()
@click.argument("folders", nargs=-1, metavar="[DIR]...", type=click.Path(path_type=Path))
@click.option("--full", is_flag=True, help="Add how well faults are told apart.")
@click.option("--language", "words", is_flag=True, help="Add which texts are long, or read at over twelve years.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option(
    "--explain", "rule", metavar="RULE", help="Print what a rule refuses, what holds, and why; prove nothing."
)
@click.option(
    "--mutants",
    "drawn",
    type=click.IntRange(0, 10_000),
    is_flag=False,
    flag_value=0,
    metavar="[N]",
    help="Print which changes to the knowledge nobody notices.",
)
def prove(
    folders: tuple[Path, ...], full: bool, words: bool, as_json: bool, rule: str | None, drawn: int | None
) -> None:
    """Prove the knowledge: structure, rules and worked cases.

    Each DIR holds a club's own files and lies on the shipped knowledge.
    Problems are printed one a line. Exit code 0 when everything holds.

    \b
    Examples:
      diagnose prove
      diagnose prove club/ --full
      diagnose prove --explain guards-again
      diagnose prove --mutants 300
    """
    if rule is not None:
        _explain(rule, as_json=as_json)
        return
    from msgspec.structs import asdict

    from diagnose.graph.causes import causes
    from diagnose.graph.load import read_all
    from diagnose.graph.problem import KnowledgeError
    from diagnose.pages.proof import holds, language, not_told_apart, refused

    layers = common.overlays(*folders)
    found: FilesRead | None = None
    fewer: tuple[str, ...] = ()
    try:
        found = read_all(layers)
        problems = sorted(set(_unproven(found)))
        wrong = causes(problems, found.written)
        fewer = found.knowledge.fewer
    except KnowledgeError as error:
        problems, wrong = error.problems, error.causes
    if drawn is not None and found is not None and not problems:
        from diagnose.commands.mutants import report

        click.get_current_context().exit(DOES_NOT_HOLD if report(found, drawn, as_json=as_json) else HOLDS)
    sound = found if not problems else None
    figures = list(_figures(sound)) if full and sound else []
    texts = [*(not_told_apart(sound) if full and sound else ()), *(language(sound) if words and sound else ())]
    if as_json:
        told = [{**asdict(one), **shares._asdict()} for one, shares in figures]
        common.say_json({**_report(found, wrong, fewer), "figures": told, "texts": texts})
    elif found is None or problems:
        show(refused(wrong, fewer, common.shorter, found.knowledge if found else None))
    else:
        show(holds(found, _counts(found), texts, figures))
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


def _unproven(found: FilesRead) -> Iterator[Problem]:
    """Yield what does not hold; the cases are run only on knowledge that is proven."""
    from diagnose.graph.prove import prove as proven
    from diagnose.measure import worked

    problems = proven(found.knowledge, found.places)
    from diagnose.graph.failings import without_row

    yield from without_row(found)
    yield from problems or worked.problems(found)


def _figures(found: FilesRead) -> Iterator[tuple[Testability, Shares]]:
    """Yield how each symptom's faults are told apart and mended, on an engine with every needle, run in."""
    from diagnose.graph.model import Variant
    from diagnose.measure import slips
    from diagnose.measure.testability import measure

    for symptom in found.knowledge.symptoms:
        figures = measure(found.knowledge, symptom, Variant())
        shares = slips.shares(found.knowledge, symptom, Variant())
        if figures is not None and shares is not None:
            yield figures, shares


def _unpractised(found: FilesRead) -> Iterator[str]:
    """Yield what the practice bench can't show."""
    from diagnose.practice.showable import missing

    return missing(found.knowledge)


def _counts(found: FilesRead) -> dict[str, int]:
    known = found.knowledge
    counted = {"symptoms": len(known.symptoms), "checks": len(known.checks), "faults": len(known.faults)}
    return {**counted, "cases": len(found.cases)}


def _report(found: FilesRead | None, wrong: tuple[RootCause, ...], fewer: tuple[str, ...]) -> dict[str, object]:
    def told(one: Problem) -> dict[str, object]:
        return {**one.place._asdict(), "rule": one.rule, "what": one.what}

    return {
        "holds": not wrong,
        "problems": [{**told(one.problem), "follows": list(map(told, one.follows))} for one in wrong],
        "counts": _counts(found) if found else {},
        "bare": list(found.knowledge.bare) if found else [],
        "fewer": fewer,
        "unpractised": list(_unpractised(found)) if found else [],
    }
