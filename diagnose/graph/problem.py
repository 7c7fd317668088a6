"""A problem of the knowledge: where it is, what it is, and which rule says so."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import TYPE_CHECKING, NamedTuple

from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.graph.causes import AuthorsOwn


class Place(NamedTuple):
    """A place in a file; line and column count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


class Problem(NamedTuple):
    """One line for the author: ``file:line:column: what is wrong (rule)``."""

    place: Place
    rule: str
    what: str

    def __str__(self) -> str:
        return f"{self.place}: {self.what} ({self.rule})"


class KnowledgeError(DiagnoseError):
    """The knowledge does not load; `problems` holds everything that is wrong with it, in file order.

    `written` says which of the files and entries are the author's own.
    """

    def __init__(self, problems: Iterable[Problem], written: AuthorsOwn | None = None) -> None:
        from diagnose.graph.causes import AuthorsOwn, causes, counted, told  # it knows what a problem is

        self.problems = sorted(set(problems))
        self.causes = causes(self.problems, written or AuthorsOwn())
        self.count = counted(self.causes)
        super().__init__("\n".join(told(self.causes)))


def did_you_mean(name: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """Return ``; did you mean 'x'`` for the nearest of `known`, or nothing; at a `cutoff` of 1 only itself is near."""
    near = get_close_matches(name, list(known), n=1, cutoff=cutoff)
    return f"; did you mean '{near[0]}'" if near else ""
