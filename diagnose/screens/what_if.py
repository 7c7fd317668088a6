"""What if: for each answer, how likely it is, what it would come to, and the step that would follow."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.reason.explain import what_if
from diagnose.reason.view import Step
from diagnose.screens.page import Page
from diagnose.screens.widgets.text import hung, lines, percent


class WhatIf(Page[None]):
    """Shows what would follow each answer; nothing is answered here."""

    heading = "What if I answered ..."

    def __init__(self, step: Step) -> None:
        super().__init__()
        self.step = step

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one("#text").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        walk = self.session.walk
        if walk is None:
            return
        width = self.size.width - 6
        shown: list[Content] = [hung("", self.step.ask, width, "bold"), Content("")]
        for found in what_if(walk, self.step, self.session.clock()):
            chance = f" ({percent(found.chance)})" if found.chance else ""
            shown.append(hung("", f"{found.say}{chance}", width, "bold $primary"))
            then = ", ".join(f"{one.name} {percent(one.share)}" for one in found.suspects)
            shown += [hung("  it would then be: ", then or "nothing new", width), hung("  → ", found.next, width)]
            shown.append(Content(""))
        if len(shown) == 2:
            shown.append(hung("", "This step is something to do. It has no answers to compare.", width))
        self.query_one("#told", Static).update(lines(shown))
