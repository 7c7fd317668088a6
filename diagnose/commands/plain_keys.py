"""What is typed for an answer in a plain walk: numbers, or letters where a number is what was read."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.commands import common
from diagnose.reason import events as ev
from diagnose.reason.view import Choice

RESERVED = {ev.CANT_TELL: "0", ev.SKIPPED: "0", ev.NO_TOOL: "9"}
LETTERS = "bdefghjklmnoprsxyz"
"""What answers where a number is asked for: there each number is what was read. The keys of the walk are left out."""
NUMBER = ("=", "-", ".", ",")
"""What a reading can begin with besides a figure."""


def by_number(choices: Sequence[Choice]) -> dict[str, Choice]:
    """Print the choices with their numbers, and return them by what is typed; 0 and 9 keep their meaning, if any."""
    keys: dict[str, Choice] = {}
    taken = {RESERVED[choice.id] for choice in choices if choice.id in RESERVED}
    for choice in choices:
        free = (str(number) for number in range(1, 100) if str(number) not in taken | keys.keys())
        key = RESERVED.get(choice.id) or next(free)
        keys[key] = choice
        common.say(f"{key}  {choice.say}{f' ({choice.means})' if choice.means else ''}")
    return keys


def chosen(keys: dict[str, Choice], typed: str, *, several: bool) -> list[str] | None:
    """Return the answers that were typed, none where Enter skips; None when it was something else."""
    numbers = typed.replace(",", " ").split() if several else [typed] if typed else []
    if any(number not in keys for number in numbers):
        return None
    return [keys[number].id for number in numbers]


def by_letter(choices: Sequence[Choice]) -> dict[str, Choice]:
    """Print the choices with letters, and return them by those: digits are typed as what was read."""
    keys = dict(zip(LETTERS, choices, strict=False))
    for letter, choice in keys.items():
        common.say(f"{letter}  {choice.say}{f' ({choice.means})' if choice.means else ''}")
    return keys


def is_reading(typed: str) -> bool:
    """Say whether this begins as a number does, where one is asked for."""
    return typed[:1] in NUMBER or typed[:1].isnumeric()
