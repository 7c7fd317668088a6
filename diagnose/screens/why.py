"""Why this step: the numbers behind it. Weights are judgement, and the page says so."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.graph.say import say
from diagnose.reason.explain import why
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk
from diagnose.screens.page import Page
from diagnose.screens.widgets.text import bar, hung, lines, percent

JUDGED = "These numbers are worked out from the judgement of people who know such engines. They are no measurement."


class Why(Page[None]):
    """Shows what the step is good for, and the belief in percent."""

    def __init__(self, step: Step) -> None:
        super().__init__()
        self.step = step
        self.heading = f"Why: {step.title}"

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one("#text").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        if (walk := self.session.walk) is not None:
            told = lines(self._told(walk, self.size.width - 6))
            self.query_one("#told", Static).update(told)

    def _told(self, walk: Walk, width: int) -> list[Content]:
        view = walk.view(self.session.clock())
        shown = [hung("", self.step.why, width, "bold"), Content("")]
        if self.step.kind in ("ask", "recheck"):
            found = why(walk, self.step.id)
            shown += [
                hung("", say(walk.scope.checks[self.step.id].why, walk.knowledge, walk.variant), width),
                hung("", found.sentence, width),
                Content(""),
            ]
            if found.suspects:
                shown.append(Content.styled("what it can show", "bold $primary"))
            for name, chance, belief in found.suspects:
                shown.append(
                    hung("· ", f"{name}: belief {percent(belief)}, shown {percent(chance)} of the time", width)
                )
            if found.unlocks:
                unlocked = ", ".join(found.unlocks)
                shown += [Content(""), hung("If it is well, these are looked for: ", unlocked, width)]
            shown.append(Content(""))
        shown.append(Content.styled("what it could be", "bold $primary"))
        for suspect in view.suspects:
            share = f"{percent(suspect.share):>4} {bar(suspect.share, 20)} "
            shown.append(hung("", share + suspect.name, width))
        shown.append(Content(""))
        shown.extend(hung(f"! rule {lock.rule}: ", lock.because, width) for lock in view.locks)
        return [*shown, Content(""), hung("", JUDGED, width, "$secondary")]
