"""A club's own folder: what was written, and which one is in use."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from diagnose.pages.parts import Line, Page, Paragraph


def made(folder: Path, files: Collection[str]) -> Page:
    """Say what a new folder holds, and what to do with it."""
    return (
        Paragraph(f"{folder} holds {len(files)} files to begin from."),
        Line("Begin with club.yaml. The other files hold an example each, all of it behind a #."),
        Line(f"See whether it holds: diagnose prove {folder}"),
        Line(f"See a check, a fault or a symptom as the screen will: diagnose --knowledge {folder} preview ID"),
        Line(f"See what it changes in the walks: diagnose review {folder}"),
        Line(f"Take it with you from now on: diagnose club use {folder}"),
    )


def schemas_written(folder: Path) -> Page:
    """Say where the schemas are."""
    return (Paragraph(f"{folder} holds the schemas: an editor that knows JSON Schema checks each file as you type."),)


def in_use(folder: Path | None) -> Page:
    """Say which folder is in use."""
    if folder is None:
        return (Paragraph("No club's folder is in use: only what is shipped."),)
    return (Paragraph(f"{folder} is in use from now on, until you say: diagnose club use none"),)
