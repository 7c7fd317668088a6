"""Whether the knowledge holds: what is wrong with it, or what an author may want to know of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from diagnose.graph import texts
from diagnose.graph.causes import RootCause, counted, told
from diagnose.graph.model import Knowledge
from diagnose.graph.problem import Place
from diagnose.graph.read import FilesRead
from diagnose.measure.coverage import alike
from diagnose.measure.mutants import Mutant
from diagnose.measure.slips import Shares
from diagnose.measure.testability import Testability
from diagnose.pages.parts import Page, Paragraph, Table
from diagnose.practice.showable import missing

MOST_SHARE = 0.1
"""At most this share of the random changes that make a walk do something else may pass unnoticed."""

HEAD = ("symptom", "shown", "to one", "to two", "group", "min", "owed min", "right", "one slip", "or handed over")


def refused(
    found: Sequence[RootCause], fewer: Sequence[str], shorter: Callable[[str], str], known: Knowledge | None
) -> Page:
    """Say what does not hold, the causes first, with names of files as `shorter` has them.

    `known` is the knowledge, where it could be read whole.
    """
    lines = [line for one in told(found) for line in shorter(one).split("\n")]
    return _lines(*lines, *_fewer(fewer), *(_unpractised(known) if known else ()), counted(found))


def holds(
    found: FilesRead, counts: Mapping[str, int], improve: Sequence[str], figures: Sequence[tuple[Testability, Shares]]
) -> Page:
    """Say that everything holds, what is no longer looked for, and what else there is to know."""
    known = found.knowledge
    return (
        *_lines(*_fewer(known.fewer)),
        *_lines(*_unpractised(known)),
        *_lines(*(f"{place}: a number of your own, with no fact behind it" for place in known.bare)),
        *_lines(*improve),
        *((Table((HEAD, *(_row(*one) for one in figures)), head=True),) if figures else ()),
        *_lines(f"everything holds: {', '.join(f'{count} {kind}' for kind, count in counts.items())}"),
    )


def unnoticed_change(place: Place, mutant: Mutant) -> Page:
    """Say what was changed, where, and that neither the proof nor a worked case noticed."""
    return _lines(f"{place}: {mutant.what}, and nobody notices ({mutant.way})")


def changes(listed: int, passed: int, drawn: int, does: int, unnoticed: int) -> Page:
    """Say how many changes were made, and how many nobody noticed."""
    told = [f"{listed} changes that would disarm a rule: {passed} noticed by nobody"]
    if drawn:
        told.append(
            f"{drawn} at random: {does} make a walk do something else, and {unnoticed} of these "
            f"({unnoticed / max(does, 1):.0%}) nobody notices; at most {MOST_SHARE:.0%} should be"
        )
    return _lines(*told)


def not_told_apart(found: FilesRead) -> Iterator[str]:
    """Yield the faults that no check tells apart."""
    for pair in alike(found.knowledge):
        nearest = f"; '{pair.nearest}' comes nearest ({pair.distance:.0%})" if pair.nearest else ""
        yield f"no check tells '{pair.one}' from '{pair.other}'{nearest}"


def language(found: FilesRead) -> Iterator[str]:
    """Yield which texts are long, and which are read at over twelve years."""
    for count, path in texts.long_texts(found.knowledge):
        yield f"{_at(found, path)}: {count} words without a break"
    late = texts.read_late(found.knowledge)
    if late is None:
        yield "the reading age is not measured: the library 'readability' is not installed"
    for age, path in late or ():
        yield f"{_at(found, path)}: read at {age:g} years"


def _at(found: FilesRead, path: tuple[str, ...]) -> str:
    while path not in found.places and path:
        path = path[:-1]
    return str(found.places.get(path, "knowledge"))


def _fewer(fewer: Sequence[str]) -> Iterator[str]:
    return (f"fewer: {sentence}" for sentence in fewer)


def _unpractised(known: Knowledge) -> Iterator[str]:
    return (f"practice: {sentence}" for sentence in missing(known))


def _lines(*said: str) -> Page:
    return tuple(map(Paragraph, said))


def _row(figures: Testability, slips: Shares) -> tuple[str, ...]:
    shares = (figures.detected, figures.isolated_one, figures.isolated_two)
    sizes = (figures.group_size, figures.minutes, figures.owed_minutes)
    return (figures.symptom, *map(_percent, shares), *(f"{size:.1f}" for size in sizes), *map(_percent, slips))


def _percent(share: float) -> str:
    return f"{share:.0%}"
