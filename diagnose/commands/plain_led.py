"""The plain walk in first-day mode, and what the plain walk says right after an answer that leads on."""

from __future__ import annotations

from collections.abc import Callable

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.commands.prompt import drop_typed_ahead, typed_line
from diagnose.pages import rather as other
from diagnose.pages import stuck
from diagnose.pages.first_day import first_day_page, portions, terms
from diagnose.pages.parts import Gap, Heading, Paragraph
from diagnose.reason import events as ev
from diagnose.reason.rather import rather
from diagnose.reason.steps import LOST
from diagnose.reason.view import Step, View
from diagnose.reason.walk import Walk

SWITCH = "f9"
"""What is typed to change the mode, as on the screen."""


class PlainLed:
    """Tells a step a portion at a time. It keeps in mind which words of the trade it has explained."""

    def __init__(self) -> None:
        self.explained: set[str] = set()
        self.warned: set[str] = set()

    def tell(self, walk: Walk, view: View, step: Step, other: Callable[[str], bool]) -> bool:
        """Tell what the hands do, up to the question, and say True there; False when `other` has moved the walk."""
        told, number = portions(step, walk.knowledge), 0
        while True:
            portion = told[number]
            explain = terms(step, portion, walk.knowledge, self.explained)
            worst = walk.knowledge.worst_first(step.cautions)
            warn = next((name for name in worst if name not in self.warned), "") if not number else ""
            page = first_day_page(walk, view, step, portion, explain, warn)
            show((Gap(), Heading(page.heading), *page.text))
            self.explained.update(explain)
            self.warned.update([warn] if warn else [])
            if portion.last:
                return True
            common.say(f"Press Enter when it is done. Type b for back, 0 if you can't, {SWITCH} for all at once.")
            drop_typed_ahead()
            match typed_line():
                case "":
                    number += 1
                case "b":
                    number = max(number - 1, 0)
                case "0":
                    number = len(told) - 1
                case typed if other(typed):
                    return False


def leads_on(walk: Walk, view: View, event: ev.Event, before: str) -> tuple[str, ...]:
    """Say what follows from an answer: that somebody else should look, or that it is another symptom.

    Return the symptoms that it can be.
    """
    if not isinstance(event, ev.Answered) or walk.verdict() is not None:
        return ()
    if event.answer == ev.CANT_TELL and walk.state.lost == LOST:
        show((Gap(), Heading(stuck.SOMEBODY), *stuck.person_page(view)))
    elif names := rather(walk.scope, walk.state, walk.symptom, just_now=True):
        show((Gap(), Heading(other.HEADING), *other.rather_page(walk)))
        return names
    elif before != walk.symptom:
        show((Paragraph(other.led_on(walk)),))
    return ()
