"""How a list ends: what it leaves out, and the three things that can be done now, each with its risk."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diagnose.graph.wording import capital, minutes
from diagnose.pages.parts import Line, Page, Paragraph
from diagnose.reason.last_word import WORDS, RaceOrNot
from diagnose.reason.view import OwedLine, View

CHOSEN, OTHER = "→", "·"
RACE = "race as it is"
RACE_AS_IT_IS = capital(RACE)
STAY_OUT = "Stay out: this start is lost, and what is wrong is still there until somebody finds it."


def line(look: OwedLine) -> str:
    """Return a look in a line: its name, and the state that is wanted."""
    return in_a_line(look.name, look.wanted)


def in_a_line(name: str, wanted: str) -> str:
    """Return a step in a line: its name, and the state that is wanted."""
    return f"{capital(name)}: {wanted}" if wanted else capital(name)


def left_out(view: View) -> Page:
    """Say how many of the looks are listed, and name those that do not fit."""
    if not view.left_out:
        return ()
    there, out = len(view.owed), len(view.left_out)
    names = ", ".join(look.name for look in view.left_out)
    left = minutes(sum(look.takes for look in view.left_out))
    return (Paragraph(f"{there} of {there + out}, {out} left: {names} ({left})."),)


def completion(view: View, *, brief: bool = False) -> Page:
    """Return what can be done now, the three alike in length, with a mark at what the program would choose."""
    marks = {word: CHOSEN if word == view.last_word else OTHER for word in WORDS}
    return tuple(
        Line(said, marks[word], "strong" if word == view.last_word else "")
        for word, said in (in_brief(view) if brief else options(view))
    )


def options(view: View) -> Iterator[tuple[RaceOrNot, str]]:
    """Yield each of the three with its risk."""
    yield "race", f"{RACE_AS_IT_IS}: {_raced((*view.owed, *view.left_out))}"
    yield "mend now", f"Mend now: {_mended(view.mend)}"
    yield "stay out", STAY_OUT


def in_brief(view: View) -> Iterator[tuple[RaceOrNot, str]]:
    """Yield the same in a few words, for where there is little room."""
    owed = len(view.owed) + len(view.left_out)
    yield "race", f"Race as it is: {owed or 'no'} looks not made"
    yield "mend now", f"Mend now: {'nothing found yet' if view.mend is None else f'{minutes(view.mend)} in haste'}"
    yield "stay out", "Stay out: this start is lost"


def _raced(owed: Sequence[OwedLine]) -> str:
    if not owed:
        return "all that is owed was looked at, and a look can miss what stops it."
    made = "one look is not made" if len(owed) == 1 else f"{len(owed)} looks are not made"
    return f"{made}, and each could show what stops or ruins it."


def _mended(takes: float | None) -> str:
    if takes is None:
        return "nothing is found to put right, and a guess in haste can harm it."
    return f"it takes {minutes(takes)}, and what is put right in haste may not hold."
