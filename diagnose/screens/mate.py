"""The code that lets a mate's phone in at this walk: as a picture where it fits, and always to be typed."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.pages.mate import HEADING, mate_page
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.rendered import rendered
from diagnose.workshop.mate import Invited

AROUND = 5
"""Rows of the window that the picture can't have."""
BESIDE, BELOW = 34, 11
"""Columns that the text wants beside the picture, and rows that it wants above it."""
LIGHT_ON_DARK = "#ffffff on #000000"
"""The picture's own colours: a camera wants them on a dark terminal and on a light one."""


class Mate(PageScreen[bool]):
    """Shows how a mate comes in; comes to True when nobody is to be let in any more."""

    heading = HEADING
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("m", "end", "end this"),
        Binding("escape", "leave", "back: it goes on"),
    ]

    def __init__(self, at: AtHand, invited: Invited) -> None:
        super().__init__(at)
        self.invited = invited

    def body(self) -> ComposeResult:
        """Lay out the text, and the picture."""
        with Container(id="way-in"):
            with VerticalScroll(id="text"):
                yield Static(id="told", classes="block")
            yield Static(Content.styled("\n".join(self.invited.picture), LIGHT_ON_DARK), id="picture")

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one("#text").focus()

    def on_resize(self) -> None:
        """Place the picture where it fits whole: a part of it is worth nothing."""
        rows, columns = len(self.invited.picture), len(self.invited.picture[0])
        free, wide = self.size.height - AROUND, self.size.width
        beside = free >= rows and wide >= columns + BESIDE
        self.query_one("#picture").display = beside or (free >= rows + BELOW and wide >= columns)
        self.query_one("#way-in").set_class(beside, "-beside")
        told = mate_page(self.invited)
        self.query_one("#told", Static).update(rendered(told, wide - 6 - (columns + 2 if beside else 0)))

    def action_end(self) -> None:
        """Let nobody in any more."""
        self.dismiss(True)
