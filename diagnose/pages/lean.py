"""What stands first while an engine is known to be lean today."""

from __future__ import annotations

from diagnose.pages.parts import Page, Paragraph
from diagnose.reason.view import View


def not_yet(view: View) -> Page:
    """Say that it must not be started as it stands, and how far it goes back before that."""
    return (Paragraph(f"Do not start it yet: {view.lean}.", "urgent"),) if view.lean else ()
