"""A real browser that prints a sheet, where there is one, and a reader of what it printed."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import NamedTuple

from pypdf import PageObject, PdfReader

SIZES = {"A4": (210, 297), "letter": (216, 279)}
"""mm: ISO 216 and ANSI Y14.1, from memory."""
LEFT_OUT = "no browser here: what a sheet takes on paper was left out"
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--no-pdf-header-footer",
)


class Printed(NamedTuple):
    """What came out: the text of each page, and the smallest type on any, in points."""

    pages: tuple[str, ...]
    smallest: float


def printed(text: str, size: str, folder: Path) -> Printed | None:
    """Print a document on a size of paper; None, and a line that says so, where there is no browser."""
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
    if found is None:
        print(LEFT_OUT)
        return None
    page, pdf = folder / f"{size}.html", folder / f"{size}.pdf"
    sized = text.replace("@page {", f"@page {{ size: {size};")
    assert sized != text
    page.write_text(sized, "utf-8")
    told = [f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={pdf}", page.as_uri()]
    subprocess.run([found, *FLAGS, *told], check=True, capture_output=True, timeout=120)
    read = PdfReader(pdf)
    for one in read.pages:
        points = (float(one.mediabox.width), float(one.mediabox.height))
        assert all(abs(p - mm / 25.4 * 72) < 2 for p, mm in zip(points, SIZES[size], strict=True))
    return Printed(tuple(_text(one) for one in read.pages), min(_smallest(one) for one in read.pages))


def _text(page: PageObject) -> str:
    return " ".join(page.extract_text().split())


def _smallest(page: PageObject) -> float:
    """Return the smallest type on a page, in points: what a font's size comes to after both matrices."""
    found: list[float] = []

    def each(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            found.append(abs(size * tm[3] * cm[3]))

    page.extract_text(visitor_text=each)
    return min(found, default=float("inf"))
