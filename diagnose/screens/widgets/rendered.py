"""A page's parts as text for the screen: wrapped to a width, marked, and safe whatever the data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual.content import Content

from diagnose.graph.wording import clean
from diagnose.pages import parts
from diagnose.pages.dates import day
from diagnose.screens.widgets import shades
from diagnose.screens.widgets.dials import BESIDE, faces_of
from diagnose.screens.widgets.face import faces
from diagnose.screens.widgets.text import bar, hung, lines, plain

HEADING = "bold $primary"
TONES = {
    "": "",
    "lead": "$primary",
    "strong": "bold",
    "quiet": "$secondary",
    "urgent": "bold $error",
    "warning": "bold $warning",
}
LEFT, RIGHT = 27, 33
"""Columns of the two parts beside a step, with their rule and padding."""
WIDE = 104
"""Columns of a screen from which on there is room beside the step."""
SPARE = 1
"""Columns right of a text that stay free: a picture may reach into them."""
NUMBERED = 5
"""Columns of a number with a mark behind it: further lines stand behind marks up to this."""


def room_for_text(width: int) -> int:
    """Return the columns that the text of a step has on a screen of `width`."""
    return width - (LEFT + RIGHT if width >= WIDE else 0) - 6


def rendered(page: Iterable[parts.Part], width: int) -> Content:
    """Return the parts, one below the other, for `width` columns. What is answered or typed has widgets of its own."""
    return lines([line for part in page for line in _part(part, width)])


def _part(part: parts.Part, width: int) -> Sequence[Content]:
    match part:
        case parts.Gap():
            return [Content("")]
        case parts.Heading():
            return [hung("", part.text, width, HEADING)]
        case parts.Paragraph():
            return [hung("", part.text, width, TONES[part.tone])]
        case parts.Line():
            mark = f"{part.mark} " if part.mark else ""
            further = " " * len(mark) if len(mark) <= NUMBERED else None
            return [hung(mark, part.text, width, TONES[part.tone], further)]
        case parts.HowTo():
            return [hung(f"{part.number}. " if part.number else "· ", part.text, width)]
        case parts.CautionPart():
            told = [hung("! ", part.head, width, "bold $warning")]
            return [*told, hung("  ", part.text, width)] if part.text else told
        case parts.AnswerPart():
            return [hung("· ", f"{part.text}: {part.means}" if part.means else part.text, width, TONES["quiet"])]
        case parts.DrawingPart():
            return [_drawing(part, width)]
        case parts.Faces():
            drawn = [plain(row, "$primary") for row in faces(part.turns, width)]
            return [*drawn, Content(""), *(hung("· ", line, width) for line in part.words)]
        case parts.Bar():
            share = Content.assemble(("  " + bar(part.share), "$primary"), (f" {part.likely}", TONES["quiet"]))
            return [hung("", part.text, width), share]
        case parts.Tree():
            return _tree(part, width)
        case parts.Timed():
            return [_timed(part, width)]
        case parts.Term():
            return [hung("", part.name, width, "bold"), hung("  ", part.text, width)]
        case parts.Dials():
            drawn = [plain(row, "$primary") for row in faces_of(part.dials, width)]
            return [*_in_words(part, width), *drawn, Content(""), hung("", part.legend, width, TONES["quiet"])]
        case parts.Trend() | parts.Fit():
            return _plotted(part, width)
        case parts.Beliefs():
            drawn = [plain(row) for row in shades.picture(part.rows, width)]
            return [*drawn, hung("", shades.LEGEND, width, TONES["quiet"])]
        case parts.Table():
            return _table(part, width)
        case parts.Field():
            return [hung("", part.said, width)] if part.said else []
        case parts.PickPart():
            return [hung("", part.text, width), *(line for answer in part.answers for line in _part(answer, width))]


def _in_words(dials: parts.Dials, width: int) -> list[Content]:
    """Return where the screws stand in words above their faces, where the faces have no room for words below them."""
    words = [hung(f"{one.name}: ", one.words, width) for one in dials.dials if one.words and width < BESIDE]
    return [*words, Content("")] if words else []


def _plotted(part: parts.Trend | parts.Fit, width: int) -> list[Content]:
    from diagnose.screens.widgets import plot  # no first screen waits for it

    if isinstance(part, parts.Trend):
        return [hung("", part.heading, width, HEADING), *map(plain, plot.drift(part.points, width, day))]
    fit = [plain(row) for row in plot.slope(part.tunes, part.line, width)]
    return [*fit, Content(""), hung("", part.legend, width, TONES["quiet"])] if fit else []


def _drawing(drawing: parts.DrawingPart, width: int) -> Content:
    """Return the picture, or the same in words where it does not fit."""
    picture = clean(drawing.picture).rstrip("\n")
    if max(map(len, picture.split("\n"))) > width + SPARE:
        return hung("", f"Where: {drawing.words}", width)
    return plain(picture, "$primary")


def _tree(tree: parts.Tree, width: int) -> list[Content]:
    """Return the root, and each line on its branch."""
    shown = [hung("", tree.root, width)]
    for number, line in enumerate(tree.lines, 1):
        branch, then = ("└", None) if number == len(tree.lines) else ("├", "│   ")
        shown.append(hung(f"{branch} {line.mark} ", line.text, width, TONES[line.tone], then))
    return shown


def _timed(timed: parts.Timed, width: int) -> Content:
    """Return one row: the time stands at its end, and a name that is too long for it is cut."""
    name, room = clean(timed.text), width - len(timed.time) - 3
    if len(name) > room:
        name = name[: room - 1] + "…"
    return Content(f"· {name.ljust(room)} {timed.time}")


def _table(table: parts.Table, width: int) -> list[Content]:
    """Return rows in columns; where they do not fit, each row under its first cell, with the names of its columns."""
    rows = [[clean(cell) for cell in row] for row in table.rows]
    if not rows:
        return []
    widths = [max(Content(cell).cell_length for cell in column) for column in zip(*rows, strict=True)]
    if sum(widths) + 2 * (len(widths) - 1) > width:
        return _stacked(rows, width, head=table.head)
    wide = [
        [cell + " " * (most - Content(cell).cell_length) for cell, most in zip(row, widths, strict=True)]
        for row in rows
    ]
    said = ["  ".join(row).rstrip() for row in wide]
    return [plain(row, HEADING if table.head and not number else "") for number, row in enumerate(said)]


def _stacked(rows: list[list[str]], width: int, *, head: bool) -> list[Content]:
    if not head:
        return [hung("" if not number else "  ", cell, width) for row in rows for number, cell in enumerate(row)]
    (_, *names), *told = rows
    lines: list[Content] = []
    for first, *cells in told:
        named = " · ".join(f"{name}: {cell}" for name, cell in zip(names, cells, strict=True) if cell)
        lines += [hung("", first, width, HEADING), hung("  ", named, width)]
    return lines
