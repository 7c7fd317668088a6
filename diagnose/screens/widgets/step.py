"""The text of a step: how to do it, where to look, which way to turn, what to beware of, why now."""

from __future__ import annotations

from textual.content import Content

from diagnose.graph.model import Knowledge
from diagnose.graph.say import say
from diagnose.graph.wording import capital, clean
from diagnose.reason.view import Step, View
from diagnose.screens.widgets.face import directions, faces
from diagnose.screens.widgets.hand_over import handed_over
from diagnose.screens.widgets.text import hung, lines, plain

QUIET = "$secondary"


def step_text(view: View, step: Step, knowledge: Knowledge, width: int, *, means: bool) -> Content:
    """Return what there is to read about a step, for `width` columns; `means` also says what each answer means."""
    if step.kind == "refer":
        return handed_over(step.ask, view, view.owed, width)
    shown: list[Content] = [hung("", step.why, width, "bold"), Content("")] if step.why_first else []
    if step.turns:
        shown += [plain(row, "$primary") for row in faces(step.turns, width)] + [Content("")]
        shown += [hung("· ", line, width) for line in directions(step.turns)]
    told = step.how[len(step.turns) :] if step.turns else step.how
    shown.extend(hung("· ", line, width) for line in told)
    if step.well:
        shown += [Content(""), hung("", f"{capital(step.well)}.", width, "bold")]
    if step.tools:
        shown += [Content(""), hung("", f"You need: {', '.join(step.tools)}", width)]
    if step.parts:
        shown.append(hung("", f"You may have to renew: {', '.join(step.parts)}", width))
    if step.where in knowledge.drawings:
        shown += [Content(""), _drawing(step.where, knowledge, width)]
    meant = [choice for choice in step.choices if means and choice.means]
    if meant:
        shown.append(Content(""))
        shown.extend(hung("· ", f"{choice.say}: {choice.means}", width, QUIET) for choice in meant)
    if step.misleads:
        shown += [Content(""), hung("", f"It can mislead: {step.misleads}", width, QUIET)]
    if step.why and not step.why_first:
        shown += [Content(""), hung("", f"Why now: {step.why}", width, QUIET)]
    for name in step.cautions:
        caution = knowledge.cautions[name]
        shown += [Content(""), hung("! ", f"{capital(caution.name)}. {say(caution.say, knowledge)}", width, QUIET)]
    return lines(shown)


def _drawing(name: str, knowledge: Knowledge, width: int) -> Content:
    """Return the picture, or the same in words where it does not fit."""
    drawing = knowledge.drawings[name]
    picture = clean(drawing.picture).rstrip("\n")
    if max(map(len, picture.split("\n"))) > width:
        return hung("", f"Where: {say(drawing.words, knowledge)}", width)
    return plain(picture, "$primary")
