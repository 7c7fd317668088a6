"""A page as one HTML file: parts through a template that escapes every text, faces as SVG."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from diagnose import __version__
from diagnose.errors import DiagnoseError
from diagnose.graph.wording import capital, clean, one_line, percent
from diagnose.pages import parts
from diagnose.paper.hands import beside, hand, sweep

DEFER = "The maker's manual, your track's rules and the law where you are come before this sheet."


class Sheet(NamedTuple):
    """What one sheet of paper says; `made` is the day that it was made, and with what."""

    title: str
    page: parts.Page
    made: str
    columns: bool = False
    """What its headings open stands in two columns, so that much of it fits on one side."""


def made(day: str, digest: str) -> str:
    """Say when a sheet was made, and with what."""
    return f"Made on {day}, needles-last {__version__}, knowledge {digest[:8]}."


def html(sheet: Sheet) -> str:
    """Return a sheet as one HTML document that needs nothing else."""
    title = capital(one_line(sheet.title))
    found = templates().get_template("sheet.html")
    return found.render(title=title, parts=sheet.page, made=sheet.made, defer=DEFER, columns=sheet.columns)


def write(text: str, to: Path) -> None:
    """Write a document to a file that is not there yet; raises `DiagnoseError`, and leaves no half."""
    made = False
    try:
        with to.open("x", encoding="utf-8") as file:
            made = True
            file.write(text)
    except FileExistsError as error:
        what = "is a folder" if to.is_dir() else "exists already, and nothing is written over"
        raise DiagnoseError(f"{to} {what}: give another name") from error
    except OSError as error:
        if made:
            to.unlink(missing_ok=True)
        raise DiagnoseError(f"{to} can't be written: {error.strerror}") from error


@cache
def templates() -> Environment:
    """Return the templates, all of which escape every text."""
    made = Environment(
        autoescape=True, loader=PackageLoader("diagnose.paper"), undefined=StrictUndefined, trim_blocks=True
    )
    made.globals["beside"] = beside
    made.filters |= {"kind": lambda part: type(part).__name__, "clean": clean, "capital": capital, "percent": percent}
    made.globals |= {"hand": hand, "sweep": sweep, "drawn": _typed, "scrolls": ""}
    return made


def _typed(drawing: parts.DrawingPart) -> Markup:
    """Return a picture in text as text; who can't see it reads its words."""
    return Markup('<pre aria-hidden="true">{}</pre>').format(clean(drawing.picture))
