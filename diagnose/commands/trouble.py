"""Something is wrong, at a plain prompt: it asks which, one line each, and tells that one alone."""

from __future__ import annotations

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.commands.prompt import Left, drop_typed_ahead, typed_line
from diagnose.graph.model import Knowledge, Variant
from diagnose.pages.hazards import WHICH, urgent
from diagnose.pages.parts import Heading


def which_is_wrong(known: Knowledge, engine: Variant | None = None) -> None:
    """Ask which, and say what to do now. Raises `Left`."""
    pages = urgent(known, engine)
    show((Heading(WHICH),))
    for number, name in enumerate(pages, 1):
        common.say(f"{number}  {known.cautions[name].name}")
    common.say("Type a number, or Enter to go back.")
    drop_typed_ahead()
    while typed := typed_line():
        if typed == "q":
            raise Left
        if typed.isascii() and typed.isdecimal() and 1 <= int(typed) <= len(pages):
            show([*pages.values()][int(typed) - 1])
            return
        common.say(f"Type a number from 1 to {len(pages)}, or Enter to go back.")
