"""A page's parts as plain lines: for screen readers, pipes and terminals that can do no more."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.commands import common
from diagnose.graph.wording import percent
from diagnose.pages import parts


def show(page: Iterable[parts.Part]) -> None:
    """Print the parts, one below the other."""
    said = [line for part in page for line in spoken(part)]
    if said:
        common.say("\n".join(said).rstrip("\n"))


def spoken(part: parts.Part) -> list[str]:
    """Return a part as lines that can be read aloud: pictures are said in words."""
    match part:
        case parts.Gap():
            return [""]
        case parts.Heading() | parts.Paragraph():
            return [part.text]
        case parts.Line():
            return [f"{part.mark} {part.text}".strip()]
        case parts.HowTo():
            return [f"{part.number}. {part.text}" if part.number else f"- {part.text}"]
        case parts.CautionPart():
            return [f"{part.head}. {part.text}" if part.text else part.head]
        case parts.AnswerPart():
            return [f"{part.text}{f' ({part.means})' if part.means else ''}"]
        case parts.DrawingPart():
            return [f"Where: {part.words}"]
        case parts.Faces():
            return [f"- {line}" for line in part.words]
        case parts.Dials():
            return [f"{one.name}: {one.words}" for one in part.dials if one.words]
        case parts.Trend() | parts.Fit():
            return []
        case parts.Bar():
            return [f"- {part.text}: {part.likely}"]
        case parts.Tree():
            return [part.root, *(line for one in part.lines for line in spoken(one))]
        case parts.Timed():
            return [f"- {part.text}, {part.time}"]
        case parts.Term():
            return [f"{part.name}: {part.text}"]
        case parts.Beliefs():
            names = [f"{row.name}{' *' if row.wrong else ''}" for row in part.rows]
            shares = zip(*(row.shares for row in part.rows), strict=True)
            after = [(str(number), *map(percent, step)) for number, step in enumerate(shares, 1)]
            return common.columns([("step", *names), *after])
        case parts.Table():
            return common.columns(part.rows)
        case parts.Field():
            return [part.said] if part.said else []
        case parts.PickPart():
            return [part.text, *(f"- {answer.text}" for answer in part.answers)]
