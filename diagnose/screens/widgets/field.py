"""A line to type in that leaves the key for trouble alone: it works on every screen, whatever has the focus."""

from __future__ import annotations

from textual.widgets import Input

from diagnose.screens.widgets.keys import TROUBLE


class NumberField(Input):
    """An input on one row."""

    def __init__(self, id: str, hint: str = "", value: str = "") -> None:  # noqa: A002 - Textual's name
        super().__init__(value, placeholder=hint, id=id, compact=True)

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Take every key that types something but the one for trouble."""
        return key != TROUBLE.key and super().check_consume_key(key, character)
