"""The well card: what is asked for it, and what it holds."""

from __future__ import annotations

from typing import NamedTuple

from msgspec.structs import replace

from diagnose.graph.model import Knowledge
from diagnose.graph.say import say
from diagnose.graph.wording import both, capital
from diagnose.pages.conditions import day as noted
from diagnose.pages.dates import day
from diagnose.pages.head_reading import COMES_IN
from diagnose.pages.history import SKIP
from diagnose.pages.parts import AnswerPart, CautionPart, Gap, Line, Page, Paragraph
from diagnose.pages.stand import settings
from diagnose.tune.well import UNITS, Card, Squeeze, WellMeasure, doubts

GO, NO = "go", "no"

CAUTIONS = ("hot-metal", "spinning-parts", "run-away", "fuel-is-poison")
"""Those of an engine that is hot, spins and runs."""

LONG = 120
"""Seconds from which a time is said in minutes."""

INTRO = (
    "Do this while it runs well. Each question may be skipped. From then on its own figures take the place of the "
    "general ones."
)


class WellQuestion(NamedTuple):
    """One question of the card; without a measure it is the squeeze, which is felt."""

    ask: str
    how: tuple[str, ...]
    measure: WellMeasure | None = None
    example: str = ""


QUESTIONS = (
    WellQuestion(
        "How wide is the gap of the barrel at rest?",
        (
            "Engine off, radio on, the trigger at rest.",
            "Look down the carburettor. Find the drill shank that just fits into the gap.",
        ),
        "idle gap",
        "1 mm",
    ),
    WellQuestion(
        "How does the squeeze feel?",
        (
            "Engine off and cold, the igniter away from it.",
            "Turn it over by hand, slowly, and feel how it resists at the top.",
        ),
    ),
    WellQuestion(
        "How long does it hold an idle, and still clear at once?",
        (
            "Warm, on the stand. Let it idle, and count the seconds.",
            "Then one short blip: it must clear at once. Never full throttle on the stand.",
        ),
        "idle hold",
        "20 s",
    ),
    WellQuestion(
        "How long until it dies when the line is pinched?",
        (
            "Warm, idling on the stand. Pinch the fuel line close to the carburettor, and count until it dies.",
            "It starves the engine of oil for a moment: do it once, or twice at the most.",
        ),
        "pinch",
        "3 s",
    ),
    WellQuestion(
        "How hot is the head when it comes in?",
        (
            "Read it right after a fast lap, engine stopped.",
            "Always the same thermometer and the same spot. Don't touch the head.",
        ),
        "head",
        COMES_IN,
    ),
    WellQuestion(
        "How long does a full tank last?",
        ("From full until you come in for fuel, driven as you race.",),
        "tank run",
        "8:30",
    ),
)
SQUEEZES: dict[Squeeze, str] = {
    "firm": "firm: it resists hard, and springs back",
    "fair": "fair: it resists, and gives way slowly",
    "soft": "soft: it turns over with little to feel",
}


class CardPage(NamedTuple):
    """What is put at once: how far it is, a question, what is said to it, and what may be chosen."""

    above: str
    ask: str
    told: Page
    answers: tuple[AnswerPart, ...]


def last(card: Card) -> CardPage:
    """Show the card that there is, and ask whether another is made."""
    answers = AnswerPart(GO, "note a new card"), AnswerPart(NO, "leave it")
    return CardPage(f"noted {day(card.at)}", "Its own normal, when it ran well", held(card), answers)


def begin(known: Knowledge) -> CardPage:
    """Say what there is to read before a card is made."""
    return CardPage(
        "about three minutes", "Before you begin", before(known), (AnswerPart(GO, "I have read this: begin"),)
    )


def question(number: int, by_keys: str) -> CardPage:
    """Ask a question of the card, from 0; `by_keys` says how to skip one that is answered by a number."""
    found = QUESTIONS[number]
    felt = () if found.measure else tuple(AnswerPart(squeeze, said) for squeeze, said in SQUEEZES.items())
    count = f"question {number + 1} of {len(QUESTIONS)} · you may skip it{by_keys if found.measure else ''}"
    return CardPage(count, found.ask, tuple(Line(one) for one in found.how), (*felt, SKIP))


def check(card: Card) -> CardPage:
    """Show the card as it was answered, and ask whether it is right."""
    answers = AnswerPart(GO, "yes, keep this card"), AnswerPart(NO, "no, ask me again")
    return CardPage("that is all", "Is this the card?", made(card), answers)


def before(known: Knowledge) -> Page:
    """Say what to beware of, and what the card is for."""
    hazards = (known.cautions[name] for name in CAUTIONS if name in known.cautions)
    cautions = (part for one in hazards for part in (CautionPart(one.name, say(one.say, known), one.level), Gap()))
    return (*cautions, Paragraph(INTRO))


def made(card: Card) -> Page:
    """Show the card as it was answered, and what of it is doubtful."""
    shown: Page = held(card) or (Paragraph("Everything was skipped."),)
    if not card.settings:
        shown = (*shown, Line("Screws: none is counted in the ledger.", tone="quiet"))
    doubtful = tuple(Line(one, "!", "warning") for one in doubts(card))
    return (*shown, Gap(), *doubtful) if doubtful else shown


def held(card: Card) -> Page:
    """Say what a well card holds; what was left out is not said."""
    readings = ((measure, card.value(measure)) for measure in UNITS)
    said = [f"{capital(measure)}: {_read(measure, value)}." for measure, value in readings if value is not None]
    said += [f"Squeeze: {card.squeeze}."] if card.squeeze else []
    said += [f"Screws: {settings(card.settings)}."] if card.settings else []
    return (*(Line(one) for one in said), *noted(replace(card.conditions, head=None)))


def _read(measure: WellMeasure, value: float) -> str:
    """Say a reading of the well card: temperatures in both units, long times in minutes."""
    if UNITS[measure] == "°C":
        return both(value)
    if UNITS[measure] == "s" and value >= LONG:
        minutes, seconds = divmod(round(value), 60)
        return f"{minutes} min {seconds} s" if seconds else f"{minutes} min"
    return f"{round(value, 1):g} {UNITS[measure]}"
