"""What is asked where screws are written down, as they stand or as one was turned."""

from __future__ import annotations

from collections.abc import Iterable
from typing import get_args

from diagnose.graph.model import Screw
from diagnose.graph.wording import amount
from diagnose.pages.engine import field
from diagnose.pages.parts import SAVE, AnswerPart, Field, FormPage, Heading, Page, Paragraph, PickPart
from diagnose.pages.turns import WRITE_DOWN
from diagnose.tune.back import HALF, QUARTER
from diagnose.tune.depth import CountedFrom
from diagnose.tune.needles import LARGEST_STEP, WAYS, TriedResult

KINDS: dict[CountedFrom, tuple[str, str]] = {
    "closed": ("hours out from gently closed", "38, or 3t 2h"),
    "flush": ("hours from where the head is flush", "2, or -2"),
    "caliper": ("mm from the body, with a caliper", "1.25, or -1.25"),
}
"""How a screw is counted, with an example."""
COUNT = (
    "Engine off and cool, the barrel on its idle stop. Turn a screw in until it just closes, and count. Never force "
    "it. Then set it where it was. You may leave a screw out. Below flush is written with a minus."
)
EMPTY = "Nothing has been typed. Write down one screw at the least."
ONE_SCREW = "An adjustment is one screw, an hour at the most. Going back to the record is a step of its own"
HOURS = (QUARTER, HALF, LARGEST_STEP)
RESULTS: tuple[TriedResult, ...] = get_args(TriedResult)
WHY: Page = (Heading("Why, if you like?"), Field("why", "reason"))
WHAT = ("where they stand now: nothing was turned", "the baseline: the settings to begin from")
ANSWERS = (AnswerPart(SAVE, "write this down"),)


def setting(screws: tuple[Screw, ...]) -> FormPage:
    """Ask where the screws stand."""
    asked = (
        Paragraph(COUNT),
        _pick("what", "What do you write down?", WHAT),
        _pick("kind", "How is it counted?", [said for said, _ in KINDS.values()]),
        Field("pitch", "thread, mm a turn", hint="0.5"),
        Heading("Where does each one stand?"),
        *(Field(field(screw), screw, hint=KINDS["closed"][1]) for screw in screws),
        _pick("air", "What does the low screw let in?", ("fuel: richer as it goes out", "air: richer as it goes in")),
        *WHY,
    )
    return FormPage(WRITE_DOWN, asked, ANSWERS)


def turned(screws: tuple[Screw, ...], back: str) -> FormPage:
    """Ask which screw was turned, and what came of it; `back` says how to go back instead."""
    asked = (
        Paragraph(f"{ONE_SCREW}: {back}"),
        _pick("screw", "Which screw?", screws),
        _pick("way", "Which way?", WAYS[False]),
        _pick("hours", "How far?", [amount(hours) for hours in HOURS]),
        _pick("result", "What came of it?", [result or "not tried yet" for result in RESULTS]),
        *WHY,
    )
    return FormPage("Which screw did you turn?", asked, ANSWERS)


def _pick(name: str, text: str, answers: Iterable[str]) -> PickPart:
    return PickPart(name, text, tuple(AnswerPart(said, said) for said in answers))
