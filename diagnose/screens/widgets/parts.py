"""The parts of the bench that are text: what was done so far, what it could be, what is owed."""

from __future__ import annotations

from textual.content import Content

from diagnose.graph.wording import clean, minutes
from diagnose.reason.view import Step, View
from diagnose.screens.widgets.text import bar, hung, lines, plain

MARKS = {"ok": "✓"}
HEADING = "bold $primary"


def so_far(view: View, step: Step | None, width: int) -> Content:
    """Return the trail as a tree below its symptom, the step at hand last."""
    told = [
        (MARKS.get(line.mark, line.mark), line.what + (", from before" if line.carried else "")) for line in view.trail
    ]
    if step is not None:
        told.append(("?", step.title))
    shown = [plain("so far", HEADING), hung("", view.symptom_name, width)]
    for number, (mark, what) in enumerate(told, 1):
        last = number == len(told)
        now = last and step is not None
        branch, then = ("└", None) if last else ("├", "│   ")
        shown.append(hung(f"{branch} {mark} ", what, width, "bold" if now else "", then))
    return lines(shown)


def could_be(view: View, width: int, most: int = 6) -> Content:
    """Return the likeliest suspects in words, each with a bar."""
    shown = [plain("what it could be", HEADING)]
    for suspect in view.suspects[:most]:
        shown.append(hung("", suspect.name, width))
        shown.append(Content.assemble(("  " + bar(suspect.share), "$primary"), (f" {suspect.word}", "$secondary")))
    if not view.suspects:
        shown.append(plain("nothing yet", "$secondary"))
    return lines(shown)


def owed(view: View, width: int, *, locks: bool = True) -> Content:
    """Return what is owed before a needle may be turned, and (with `locks`) whether one may be."""
    shown = [plain("owed before a needle", HEADING)]
    for line in view.owed:
        time = minutes(line.minutes)
        name = clean(line.name)
        room = width - len(time) - 3
        if len(name) > room:
            name = name[: room - 1] + "…"
        shown.append(Content(f"· {name.ljust(room)} {time}"))
    if not view.owed:
        shown.append(plain("nothing", "$secondary"))
    if not locks:
        return lines(shown)
    state = "locked" if view.locks else "open"
    shown.append(Content(""))
    shown.append(plain(f"needles: {state}", "bold"))
    if not view.owed:  # else the list above says why
        shown.extend(hung("", lock.because, width, "$secondary") for lock in view.locks)
    return lines(shown)
