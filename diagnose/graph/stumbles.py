"""Where YAML's parser stumbles, in words that an author can mend it by."""

from __future__ import annotations

import re

import yaml

from diagnose.graph.problem import Place, Problem

DEPTH = 20
"""A file nests no deeper than this."""

_FRIENDLY = {
    "mapping values are not allowed in this context": "a second ': ' in one text; put the text in quotes",
    "found character that cannot start any token": "a text can't start with this sign; put the text in quotes",
    "found unexpected end of stream": "a quote is opened and never closed",
    "found unknown escape character": "a backslash in double quotes; use single quotes",
    "did not find expected key": "this line doesn't fit the one above; look at its indent and its quotes",
    "did not find expected '-' indicator": "the list ends here without warning; look at the indent",
    "did not find expected ',' or ']'": "a '[' is not closed, or a comma is missing",
    "did not find expected ',' or '}'": "a '{' is not closed, or a comma is missing",
    "did not find expected node content": "a '{' or '[' is not closed",
    "did not find expected alphabetic or numeric character": "a text can't start with this sign; put it in quotes",
    "block sequence entries are not allowed in this context": "a text can't start with '- '; put the text in quotes",
    "could not find expected ':'": "a key is followed by ': ', a colon and a space; here they are missing",
}

_FROM_CONTEXT = frozenset(
    {
        *("found unexpected end of stream", "did not find expected ',' or ']'", "did not find expected ',' or '}'"),
        *("could not find expected ':'", "did not find expected alphabetic or numeric character"),
    }
)
"""Of these the place that matters is where the quote, the bracket, the key or the text began."""

SET_IN = "{} sets this line in, and a file of knowledge is set in by spaces; put two spaces in its place"
DEEPER = "this line is set in further than the one above; set both in alike, or put the text above in quotes"

_TOO_DEEP = "exceeded maximum nesting depth"  # the parser looks ahead, and may be first to say so
_FRIENDLY[_TOO_DEEP] = f"nested deeper than {DEPTH} levels"


def told(file: str, text: str, error: yaml.MarkedYAMLError) -> Problem:
    """Return what the parser stumbled over, at the place where the author mends it."""
    said = str(error.problem)
    mark = (error.context_mark if said in _FROM_CONTEXT else None) or error.problem_mark or error.context_mark
    place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file, 1, 1)
    place, what = _indent(text, place) or (place, _FRIENDLY.get(said, f"this is not YAML: {said}"))
    return Problem(place, "too-deep", what) if said == _TOO_DEEP else Problem(place, "syntax", what)


def _indent(text: str, place: Place) -> tuple[Place, str] | None:
    """Return where a line is set in wrongly, there or just above, and how: the parser stumbles over it later."""
    rows = text.split("\n")
    for line in range(min(place.line, len(rows)), max(place.line - 3, 0), -1):
        row = rows[line - 1]
        set_in = row[: len(row) - len(row.lstrip())]
        if wrong := next((sign for sign in set_in if sign not in " \r\n"), ""):
            called = "a tab" if wrong == "\t" else "a space of another kind"
            return Place(place.file, line, set_in.index(wrong) + 1), SET_IN.format(called)
    if place.line > len(rows):
        return None
    row, above = rows[place.line - 1], next((one for one in reversed(rows[: place.line - 1]) if one.strip()), "")
    begins, begins_above = (len(one) - len(one.lstrip()) for one in (row, above))
    if re.fullmatch(r" *[\w -]+", row[: place.column - 1]) and begins_above < begins and ": " in above:
        return Place(place.file, place.line, begins + 1), DEEPER
    return None
