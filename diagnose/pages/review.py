"""What a change to the knowledge does to walks, for those who say yes or no to it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain
from typing import Any

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import capital, minutes
from diagnose.measure.review import EntryChange, Review, Start, StartChange, WalkChange, WalkResult
from diagnose.pages.parts import Heading, Line, Page, Paragraph, Tone, grouped

MOST = 12
"""Changes of one kind that are told one by one."""
LONG = 60
"""Characters of a value that is told."""


def review_page(found: Review, old: Knowledge, new: Knowledge) -> Page:
    """Return the page: what was changed, and then what it does, what matters most first."""
    every = [*found.cases, *found.faults]
    both = [one for one in every if one.before is not None and one.after is not None]
    ends = [one for one in both if _end(one.before) != _end(one.after)]
    needles = [one for one in both if _needle(one.before) != _needle(one.after)]
    ways = sorted((one for one in both if one not in ends), key=_moved, reverse=True)

    def walk(one: WalkChange, say: Callable[[WalkResult], str]) -> str:
        return f"{_about(one, old, new)}: {' → '.join(say(way) for way in (one.before, one.after) if way)}"

    return grouped(
        (Paragraph(_sum(found, ends, needles), "strong"),),
        _section("What was changed", [_entry(one) for one in found.entries]),
        _section("No longer looked for", found.fewer, "urgent"),
        _section("A different end", [walk(one, _ended) for one in ends], "warning"),
        _section("Needles", [walk(one, _turned) for one in needles], "warning"),
        _section("Owed when a walk begins", list(chain.from_iterable(_start(one, old, new) for one in found.starts))),
        _section("A different order or time, the largest first", [f"{walk(one, _took)}{_order(one)}" for one in ways]),
        _section("New walks", [_about(one, old, new) for one in every if one.before is None]),
        _section("Walks that are gone", [_about(one, old, new) for one in every if one.after is None]),
        (Paragraph(_reach(found), "quiet"),),
    )


def alarming(found: Review) -> bool:
    """Say whether less is looked for, a walk ends otherwise, or a needle is turned that was not, or earlier."""
    pairs = [(one.before, one.after) for one in (*found.cases, *found.faults)]
    other = ((_end(was) != _end(now) or _sooner(was, now)) for was, now in pairs if was is not None and now is not None)
    return bool(found.fewer) or any(other)


def _sooner(was: WalkResult, now: WalkResult) -> bool:
    """Say whether other screws are turned, or the first one after fewer looks."""
    return was.turns != now.turns or (now.before_needle or 0) < (was.before_needle or 0)


def _sum(found: Review, ends: Sequence[WalkChange], needles: Sequence[WalkChange]) -> str:
    if not found.entries:
        return "Nothing was changed."
    how = [f"{sum(one.how == kind for one in found.entries)} {kind}" for kind in ("new", "gone", "replaced", "changed")]
    told = ", ".join(one for one in how if not one.startswith("0 "))
    walks = len(found.cases) + len(found.faults)
    return (
        f"Entries: {told}. Walks that differ: {walks}. With a different end: {len(ends)}. "
        f"With a different needle step: {len(needles)}. Faults no longer looked for: {len(found.fewer)}."
    )


def _reach(found: Review) -> str:
    if found.walked == found.of:
        return f"All {found.of} walks were made again: each worked case, and each fault of each complaint."
    return (
        f"{found.walked} of {found.of} walks were made again: worked cases, and each fault of a complaint. "
        "The change can't reach the others."
    )


def _section(heading: str, said: Sequence[str], tone: Tone = "") -> Page:
    if not said:
        return ()
    more = (Line(f"and {len(said) - MOST} more", ""),) if len(said) > MOST else ()
    return (Heading(f"{heading} ({len(said)})"), *(Line(capital(one), "·", tone) for one in said[:MOST]), *more)


def _about(one: WalkChange, old: Knowledge, new: Knowledge) -> str:
    """Name a walk: a case by its name, a fault's by complaint and fault."""
    known = new if one.symptom in new.symptoms and (not one.fault or one.about in new.faults) else old
    if not one.fault:
        return f"case {one.about}"
    return f"{known.symptoms[one.symptom].name}, {known.faults[one.about].name}"


def _end(way: WalkResult | None) -> tuple[Any, ...]:
    """Return how a walk ended, and what was mended in it, in whatever order."""
    return (way.verdict, *sorted(way.mended)) if way else ()


def _needle(way: WalkResult | None) -> tuple[Any, ...]:
    return (way.turns, way.before_needle) if way else ()


def _ended(way: WalkResult) -> str:
    mended = ", ".join(way.mended)
    return f"{way.verdict}, {mended} mended" if mended else way.verdict


def _turned(way: WalkResult) -> str:
    if not way.turns:
        return "no screw is turned"
    return f"{', '.join(way.turns)} after {way.before_needle} looks"


def _took(way: WalkResult) -> str:
    return f"{minutes(way.minutes)}, {len(way.looks)} looks"


def _moved(one: WalkChange) -> float:
    return abs(one.after.minutes - one.before.minutes) if one.before and one.after else 0.0


def _order(one: WalkChange) -> str:
    """Say where two walks part: the first look that is another."""
    if one.before is None or one.after is None or one.before.looks == one.after.looks:
        return ""
    number, was, now = _part(one.before.looks, one.after.looks)
    return f"; look {number} was {was or 'none'} and is now {now or 'none'}"


def _part(before: Sequence[str], after: Sequence[str]) -> tuple[int, str, str]:
    same = 0
    while same < min(len(before), len(after)) and before[same] == after[same]:
        same += 1
    return same + 1, "".join(before[same : same + 1]), "".join(after[same : same + 1])


def _start(one: StartChange, old: Knowledge, new: Knowledge) -> Iterator[str]:
    known = new if one.symptom in new.symptoms else old
    name = known.symptoms[one.symptom].name
    if one.before is None or one.after is None:
        yield f"{name}: {'new' if one.before is None else 'gone'}"
        return
    said = []
    was, now = minutes(one.before.minutes), minutes(one.after.minutes)
    if one.before.minutes != one.after.minutes:
        said.append(f"{was} → {now}" if was != now else f"{now}, and less than half a minute's difference")
    for title, names in (
        ("added:", _without(one.after.owed, one.before.owed)),
        ("gone:", _without(one.before.owed, one.after.owed)),
    ):
        if names:
            said.append(f"{title} {', '.join(names)}")
    if not said or len(said) == 1:
        number, before, after = _part(one.before.owed, one.after.owed)
        if before or after:
            said.append(f"look {number} was {before or 'none'} and is now {after or 'none'}")
    said += _locked(one.before, one.after, old, new)
    yield f"{name}: {'; '.join(said)}"


def _locked(before: Start, after: Start, old: Knowledge, new: Knowledge) -> Iterator[str]:
    """Say what the needles wait for that they did not, and the other way round."""
    if more := [new.faults[fault].name for fault in _without(after.unlooked, before.unlooked)]:
        yield f"the needles also wait until these are looked for: {', '.join(more)}"
    if fewer := [old.faults[fault].name for fault in _without(before.unlooked, after.unlooked)]:
        yield f"the needles no longer wait until these are looked for: {', '.join(fewer)}"
    if more := _without(after.locks, before.locks):
        yield f"the needles are locked for: {'; '.join(more)}"
    if fewer := _without(before.locks, after.locks):
        yield f"the needles are no longer locked for: {'; '.join(fewer)}"


def _without(names: Iterable[str], others: Iterable[str]) -> list[str]:
    left = set(others)
    return [name for name in names if name not in left]


def _entry(one: EntryChange) -> str:
    lines = [f"{' '.join(line.where)}: {_value(line.before)} → {_value(line.after)}" for line in one.lines]
    kind = one.kind if one.kind == "always" else one.kind.replace("_", " ").removesuffix("s")
    return f"{kind} {one.name} ({one.how}){': ' if lines else ''}{'; '.join(lines)}"


def _value(value: Any) -> str:
    said = _plain(value)
    return said if len(said) <= LONG else f"{said[: LONG - 1]}…"


def _plain(value: Any) -> str:
    """Return a value as an author would write it."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_plain, value))}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key}: {_plain(part)}' for key, part in value.items())}}}"
    return str(value)
