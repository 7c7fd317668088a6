"""What the day and the fuel ask of the high needle, and how far it has drifted."""

from __future__ import annotations

from diagnose.graph.wording import amount, capital
from diagnose.pages.parts import Gap, Heading, Line, Page, Paragraph
from diagnose.pages.stand import way
from diagnose.tune.back import HALF
from diagnose.tune.drift import MUCH, Advice, Explained, spanned
from diagnose.tune.mixture import FEEDS, Feed, Span

FED: dict[Feed, str] = {"suction": "by suction", "pressurised": "pressurised by the exhaust"}
NOTHING_TO_COMPARE = (
    "There is no good tune to compare with: mark one good, with its day and its fuel. From then on this page says what "
    "the day asks of the high needle, and what is left unexplained."
)
NO_ENGINE = "No engine is chosen, so there is no tune to compare with."


def asks(found: Explained | None, advice: Advice | None, back: str) -> Page:
    """Say what air and fuel ask for, how far the needle has drifted, and what to do; `back` says how to go back."""
    if found is None or advice is None:
        return (Paragraph(NOTHING_TO_COMPARE, "quiet"),)
    return (
        Heading("what they ask of the high needle, against the last good tune"),
        *(Line(one) for one in (*asked(found), found.why)),
        Gap(),
        Heading("the drift"),
        *(Line(one) for one in drift(found)),
        Gap(),
        Heading("what to do"),
        Line(_advised(advice), "→", "strong"),
        *([Line(back, "→")] if advice.before_start else []),
        Gap(),
        Heading("what is assumed"),
        *(Line(one, tone="quiet") for one in found.assumptions),
    )


def asked(found: Explained) -> tuple[str, ...]:
    """Say what air and fuel ask of the high needle against the last good tune: by cause and by feed, then together."""
    change = found.shift
    asking = [cause.name for cause in change.causes if any(moved(*_of(found, feed, cause.name)) for feed in FEEDS)]
    said: list[str] = []
    for name in (*(cause.name for cause in change.causes), *([""] if len(asking) > 1 else [])):
        shifts = {feed: moved(*_of(found, feed, name)) or "as it was" for feed in FEEDS}
        title = capital(name) or "Together"
        if len(set(shifts.values())) == 1:
            said.append(f"{title}, however the tank is fed: {shifts[FEEDS[0]]}.")
        else:
            said += [f"{title}, {FED[feed]}: {shifts[feed]}." for feed in FEEDS]
    return (*said, *found.said[len(change.causes) :])


def _of(found: Explained, feed: Feed, name: str) -> tuple[Span, Span]:
    """Return the needle area, and the hours, that one cause asks for with one feed; both causes for no name."""
    return found.shift.area((feed,), name), found.shift.hours(found.at, (feed,), name)


def moved(area: Span, hours: Span) -> str:
    """Say a change of the needle's area, and the hours that it is worth; "" for nothing."""
    percent = Span(100 * (area.low - 1), 100 * (area.high - 1))
    said = [spanned(percent, " %", "more fuel", "less fuel"), spanned(hours, " hours", "richer", "leaner")]
    return ", ".join(filter(None, said))


def drift(found: Explained) -> tuple[str, ...]:
    """Say how far the high needle has drifted from the last good tune, and how much of that is left unexplained."""
    moved, left, owed = round(found.drift, 1), found.unexplained, round(found.owed, 1)
    said = ["The high needle stands where it stood at the last good tune."]
    if moved:
        said = [f"The high needle stands {_hours(moved)} than at the last good tune."]
    if left is None:
        said.append("How much of a drift is explained can't be told while the day or the fuel is not known.")
    elif abs(left) > MUCH:
        said.append(f"Left unexplained: {amount(abs(round(left, 1)))}. Over an hour: look for what is wrong.")
    elif round(left, 1):
        said.append(f"Left unexplained: {amount(abs(round(left, 1)))}. Under an hour tells nothing.")
    elif moved:
        said.append("Nothing of that is left unexplained.")
    if left is not None and abs(owed) >= HALF:
        said.append(f"It stands {_hours(-owed)} than air and fuel ask for at the least.")
    return tuple(said)


def _hours(richer: float) -> str:
    return f"{amount(abs(richer))} {way('high needle', richer)}"


def _advised(found: Advice) -> str:
    """Say what to do with the high needle, by how many hours, and why."""
    if found.way == "leave":
        return f"Leave the high needle. {found.said}"
    return f"High needle, {amount(found.hours)}: {found.said[:1].lower()}{found.said[1:]}"
