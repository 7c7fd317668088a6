"""The debrief in words, the same on the screen and in plain lines; and belief over time, drawn in text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.graph.model import Knowledge
from diagnose.practice.debrief import Debrief, Told
from diagnose.practice.lesson import CURED
from diagnose.reason.belief import OTHER

SHADES = ((0.7, "█"), (0.35, "▓"), (0.1, "▒"), (0.02, "░"), (0.0, "·"))
"""How strongly a fault was believed in, by the words that the walk has for it."""
GONE = "✓"
"""Stands from the step on that put the fault right."""
LEGEND = "█ very likely  ▓ likely  ▒ possible  ░ unlikely  · hardly  ✓ put right"
ROWS = 5
"""Faults that are drawn."""
NAME = 26
"""Columns of their names."""


class Group(NamedTuple):
    """A heading, and what stands under it, a mark before each line."""

    heading: str
    lines: tuple[tuple[str, str], ...]


def summary(knowledge: Knowledge, found: Debrief) -> tuple[Group, ...]:
    """Return what it was, how long it took, the score, and the first waste."""

    def names(faults: Sequence[str]) -> str:
        return ", ".join(knowledge.faults[fault].name for fault in faults)

    was = [("", f"{names(found.faults)}.")]
    if found.earned:
        was.append(("✓ ", f"Put right after it was seen: {names(found.earned)}."))
    if found.lucky:
        was.append(("· ", f"Put right by luck: {names(found.lucky)}."))
    if found.left:
        was.append(("? ", f"Still there: {names(found.left)}."))
    if found.ended != CURED and not found.left:
        was.append(("", "It was not tried again, or was stopped before."))
    program = f"{found.program_minutes:.0f} min" + ("" if found.program_cured else ", and it handed over")
    took = (
        ("", f"You: {found.minutes:.0f} min."),
        ("", f"The program, from the start: {program}."),
        ("", f"A mechanic who knew it beforehand, and still keeps the rules: {found.best_minutes:.0f} min."),
    )
    points = tuple(("", f"{part.points:+.0f}  {part.what}") for part in found.score.parts)
    waste = found.first_waste
    first: tuple[tuple[str, str], ...] = (("✓ ", "No step was wasted."),)
    if waste is not None:
        first = (("! ", f"Step {waste.number}, {waste.did}."), ("", waste.remark))
        if waste.program:
            first += (("→ ", f"The program: {waste.program}. {waste.program_why}".rstrip()),)
    if not found.steps:
        first = (("", "Nothing was done."),)
    return (
        Group("what it was", tuple(was)),
        Group(f"score: {found.score.points} of 100", points or (("", "Nothing was found, and nothing was lost."),)),
        Group("minutes", took),
        Group("the first wasteful step", first),
    )


def step_lines(step: Told) -> tuple[tuple[str, str], ...]:
    """Return one step: what was done and seen, what the program would have done, and what there is to say of it."""
    mark = "!" if step.wasteful else "✓" if not step.program else "·"
    took = f" ({step.minutes:.1f} min)" if step.minutes else ""
    shown = [(f"{step.number:2} {mark} ", f"{step.did}{took}{f': {step.saw}' if step.saw else ''}")]
    if step.program:
        shown.append(("   → ", f"the program: {step.program}"))
    if step.remark:
        shown.append(("     ", step.remark))
    return tuple(shown)


def believed(found: Debrief) -> list[str]:
    """Return the faults that are drawn: what was wrong, and what was believed in most at any time."""
    most: dict[str, float] = {}
    for step in found.steps:
        for fault, share in step.belief.items():
            if fault != OTHER:
                most[fault] = max(most.get(fault, 0.0), share)
    rest = sorted((fault for fault in most if fault not in found.faults), key=lambda fault: (-most[fault], fault))
    return [*found.faults, *rest][: max(ROWS, len(found.faults))]


def picture(knowledge: Knowledge, found: Debrief, width: int) -> list[str]:
    """Return belief over time as text for `width` columns: a row for each fault, a column for each step.

    What was really wrong is marked with a star. Steps that do not fit are drawn in further blocks.
    """
    name_width = min(NAME, max(width - 12, 8))
    room = max(width - name_width - 3, 4)
    drawn: list[str] = []
    for start in range(0, len(found.steps), room):
        steps = found.steps[start : start + room]
        drawn.append(f"{'step'.ljust(name_width)}   {_ruler(steps)}")
        for fault in believed(found):
            star = "*" if fault in found.faults else " "
            name = knowledge.faults[fault].name
            short = name if len(name) <= name_width else name[: name_width - 1] + "…"
            gone = next((step.number for step in found.steps if fault in step.put_right), len(found.steps) + 1)
            row = "".join(GONE if step.number >= gone else _shade(step.belief.get(fault, 0.0)) for step in steps)
            drawn.append(f"{short.ljust(name_width)} {star} {row}")
    return drawn


def _ruler(steps: Sequence[Told]) -> str:
    """Return the numbers of steps above their columns, every fifth."""
    row = [" "] * len(steps)
    for column, step in enumerate(steps):
        said = str(step.number)
        if (step.number % 5 == 0 or step.number == 1) and column + len(said) <= len(row):
            row[column : column + len(said)] = said
    return "".join(row).rstrip()


def _shade(share: float) -> str:
    return next(sign for least, sign in SHADES if share >= least)
