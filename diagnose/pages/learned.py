"""What a club's outings say of its faults: how many count, whether they help yet, and what they change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import exp

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import outings, percent
from diagnose.pages.parts import Gap, Heading, Line, Page, Paragraph, Table
from diagnose.reason.learned import STRENGTH
from diagnose.workshop.club import ClubOutings, Weighing

HEAD = ("symptom", "outings", "helps", "minutes before", "after")
FAULTS = ("fault", "outings", "before", "after")
NOT_YET = "not enough yet"
SHOWN = 0.005
"""A share that moves by less is not listed."""

WHAT_COUNTS = (
    "Only an outing that one mend has cured counts, and once. "
    f"The files' weights count like {STRENGTH:.0f} outings of each symptom. "
    "What is owed before a needle stays owed, and every lock stays."
)


def summary(found: ClubOutings, known: Knowledge) -> Page:
    """Say what the outings come to, symptom by symptom."""
    said = f"The journal holds {outings(found.outings)}, and {_count(found.confirmed)}."
    others = f" Other clubs add {outings(found.shared)}." if found.shared else ""
    rows = tuple(_row(one, known) for one in found.symptoms)
    return (
        Paragraph(said + others),
        Paragraph(WHAT_COUNTS, "quiet"),
        *((Gap(), Table((HEAD, *rows), head=True)) if rows else ()),
        Gap(),
        Paragraph(_verdict(found)),
        Paragraph(_in_use(found)),
    )


def _count(many: int) -> str:
    return f"{many} of them {'counts' if many == 1 else 'count'}"


def _row(one: Weighing, known: Knowledge) -> tuple[str, ...]:
    helps = "yes" if one.helps else NOT_YET
    name = known.symptoms[one.symptom].name
    return name, str(one.outings), helps, f"{one.minutes_before:.1f}", f"{one.minutes_after:.1f}"


def _verdict(found: ClubOutings) -> str:
    """Say whether it helps: each outing was foretold from those before it."""
    helped = sum(one.helps for one in found.symptoms)
    if not helped:
        return "Not enough yet: the files alone foretell what was wrong as well, or better."
    return (
        f"On {_symptoms(helped)} the outings before it foretell what was wrong better than the files alone. "
        "Only those are taken over."
    )


def _symptoms(many: int) -> str:
    return f"{many} symptom{'' if many == 1 else 's'}"


def _in_use(found: ClubOutings) -> str:
    if found.in_use is None:
        return "Nothing is in use: the files' weights count."
    used = {symptom: found.in_use.outings(symptom) for symptom in found.in_use.counts}
    again = {one.symptom: one.outings for one in found.symptoms if one.helps}
    said = f"In use: {_on(used)}, for every walk that begins from now on."
    return said if again == used else f"{said} Learning again would take over {_on(again) if again else 'nothing'}."


def _on(counts: Mapping[str, int]) -> str:
    return f"{outings(sum(counts.values()))} on {_symptoms(len(counts))}"


def detail(one: Weighing, known: Knowledge) -> Page:
    """Say what the outings change on one symptom: the shares, the order of looks, and the minutes."""
    name = known.symptoms[one.symptom].name
    if not one.outings:
        return (Paragraph(f"{name}: no outing of yours counts here yet, so the files' weights stand."),)
    same = one.looks_before == one.looks_after
    after: Page = () if same else (Gap(), Heading("Looks, after"), *_looks(one.looks_after, known))
    return (
        Heading(f"{name}: {outings(one.outings)}"),
        Paragraph(_score(one)),
        Gap(),
        Table((FAULTS, *_moved(one, known)), head=True),
        Gap(),
        Heading("Looks, before and after" if same else "Looks, before"),
        *_looks(one.looks_before, known),
        *after,
        Gap(),
        Paragraph(
            f"Looking till something shows would take {one.minutes_before:.1f} minutes before and "
            f"{one.minutes_after:.1f} after, if it is as the outings say."
        ),
    )


def _score(one: Weighing) -> str:
    """Say how well the outings are foretold; over 1, the files did worse."""
    if not one.helps:
        return "Not enough yet: with the outings before it each one is foretold no better than by the files alone."
    times = f"{exp(one.score / one.outings):.2f}"
    return f"It helps: what was found had {times} times the chance, in the mean, that the files alone give it."


def _moved(one: Weighing, known: Knowledge) -> Iterator[tuple[str, ...]]:
    for moved in one.faults:
        if moved.outings or abs(moved.after - moved.before) >= SHOWN:
            name = known.faults[moved.fault].name
            yield name, str(moved.outings), percent(moved.before), percent(moved.after)


def _looks(looks: tuple[str, ...], known: Knowledge) -> Iterator[Line]:
    for number, look in enumerate(looks, 1):
        yield Line(known.checks[look].name, f"{number}.")


def taken(found: ClubOutings) -> Page:
    """Say what was taken over."""
    helped = sum(one.helps for one in found.symptoms)
    if not helped:
        return (Paragraph("Nothing was taken over."),)
    return (Paragraph(f"Taken over on {_symptoms(helped)}. A walk that has begun goes on as it was."),)


def forgotten(*, were: bool) -> Page:
    """Say that the files' weights count again."""
    if not were:
        return (Paragraph("Nothing was in use: the files' weights count as they did."),)
    return (Paragraph("The files' weights count again. The outings are all kept, and can be taken over again."),)


def shared(many: int, to: str) -> Page:
    """Say what was written for another club."""
    return (Paragraph(f"Saved to {to}: {outings(many)}, as counts. No names, no dates and no notes are in it."),)
