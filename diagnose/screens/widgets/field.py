"""A line to type in that leaves the key for trouble alone: it works on every screen, whatever has the focus."""

from __future__ import annotations

from typing import ClassVar

from textual.widgets import Input

from diagnose.screens.widgets.keys import MORE, TROUBLE


class NumberField(Input):
    """An input on one row."""

    leaves: ClassVar[frozenset[str]] = frozenset({TROUBLE.key})
    """Keys that type nothing here: they do on each page what they always do."""

    def __init__(self, id: str, hint: str = "", value: str = "") -> None:  # noqa: A002 - Textual's name
        super().__init__(value, placeholder=hint, id=id, compact=True)

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Take every key that types something but the one for trouble."""
        return key not in self.leaves and super().check_consume_key(key, character)


class SearchField(NumberField):
    """An input that is sought by: nobody seeks a question mark or a plus."""

    leaves = frozenset({TROUBLE.key, MORE.key, "question_mark", "slash"})

    def __init__(self, hint: str) -> None:
        super().__init__("search", hint)
        self.select_on_focus = False  # what is typed next goes on with what stands there
