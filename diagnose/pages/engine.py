"""An engine as it was recorded."""

from __future__ import annotations

from diagnose.pages.parts import Page, Paragraph
from diagnose.record.engines import Engine


def engine(found: Engine) -> Page:
    """Say the settings that it was recorded with, and its notes."""
    settings = (Paragraph(f"{screw}: {hours:g} hours out") for screw, hours in found.settings.items())
    return (*settings, Paragraph(found.notes))
