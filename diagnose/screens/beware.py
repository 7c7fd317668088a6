"""The cautions that come before a question: read once in full, before anything can be answered."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.graph.say import say
from diagnose.reason.view import Choice
from diagnose.screens.messages import Read
from diagnose.screens.page import Page
from diagnose.screens.widgets.cautions import in_full
from diagnose.screens.widgets.choices import ENTER, Choices
from diagnose.screens.widgets.text import hung, lines

STOP = "Is it running now? Stop it."


class Beware(Page[None]):
    """Shows cautions in full; for what can run away, stopping it comes first."""

    def __init__(self, cautions: tuple[str, ...], *, stop_first: bool = False) -> None:
        super().__init__()
        self.cautions = cautions
        self.stop_first = stop_first
        self.heading = STOP if stop_first else "Before you go on"

    def body(self) -> ComposeResult:
        """Lay out the text, and the one answer."""
        with VerticalScroll(id="text"):
            yield Static(id="cautions", classes="block")
        said = "it stands still, and I have read this" if self.stop_first else "I have read this"
        yield Choices([Choice("read", said)], sign=ENTER, id="choices")

    def on_mount(self) -> None:
        """Let one key do: one that answers nothing else, so that pressed twice it does no harm."""
        self.query_one(Choices).focus()
        self.query_one(Choices).highlighted = 0

    def on_resize(self) -> None:
        """Break the lines anew."""
        known, width = self.session.knowledge, self.size.width - 6
        shown: list[Content] = []
        if self.stop_first:
            urgent = next((known.cautions[name] for name in self.cautions if known.cautions[name].now), None)
            steps = urgent.now if urgent else ()
            shown += [hung(f"{n}. ", say(step, known), width) for n, step in enumerate(steps, 1)]
            shown.append(Content(""))
        shown += in_full(self.cautions, known, width)
        self.query_one("#cautions", Static).update(lines(shown))

    def on_choices_chosen(self) -> None:
        """Go on."""
        self.post_message(Read(self.cautions))
