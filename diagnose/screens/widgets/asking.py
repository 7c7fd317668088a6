"""The parts that ask, as widgets."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from textual.app import ComposeResult
from textual.widgets import Static

from diagnose.pages import parts
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.filled import Filled
from diagnose.screens.widgets.pick import Pick
from diagnose.screens.widgets.text import plain

NOTHING: Mapping[str, str] = {}
FIRST: Mapping[str, int] = {}


def asking(
    page: Iterable[parts.Part], typed: Mapping[str, str] = NOTHING, chosen: Mapping[str, int] = FIRST
) -> ComposeResult:
    """Make the widgets of what is asked, with what stands in each field and which answer is taken, by their ids."""
    for part in page:
        match part:
            case parts.Paragraph():
                yield Static(plain(part.text), classes="block")
            case parts.Heading():
                yield Static(plain(part.text), classes="ask")
            case parts.Field(text=""):
                yield NumberField(part.id, part.hint)
            case parts.Field():
                yield Filled(part.id, part.text, part.hint, typed.get(part.id, ""))
            case parts.PickPart():
                yield Static(plain(part.text), classes=f"ask {part.id}")
                yield pick(part, chosen.get(part.id, 0))


def pick(part: parts.PickPart, chosen: int) -> Pick:
    """Make the answers of a question; `chosen` counts from 0."""
    return Pick([answer.text for answer in part.answers], chosen, id=part.id)
