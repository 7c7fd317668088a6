"""The words of the trade, explained."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.say import say, terms_in
from diagnose.pages.parts import Page, Paragraph, Term
from diagnose.reason.view import Step


def words_page(known: Knowledge, first: Sequence[str] = (), sought: str = "", fitting: Sequence[str] = ()) -> Page:
    """Return all words, the step's `first`; of what is `sought` those fitting, and those that have it in them."""
    names = list(dict.fromkeys((*first, *sorted(known.words))))
    terms = {name: Term(_named(known, name, first), say(known.words[name].say, known)) for name in names}
    if sought.strip():
        having = [name for name in names if sought.casefold() in f"{terms[name].name} {terms[name].text}".casefold()]
        names = list(dict.fromkeys((*fitting, *having)))
    return tuple(terms[name] for name in names) or (Paragraph("No word has that in it."),)


def step_words(known: Knowledge, step: Step, others: str, engine: Variant | None = None) -> Page:
    """Return the words that a step uses; `others` says where all of them are."""
    found = terms_in(step.text(), known.words)
    return tuple(Term(_named(known, name), say(known.words[name].say, known, engine)) for name in found) or (
        Paragraph(f"This step uses no word that needs explaining. All of them: {others}"),
    )


def _named(known: Knowledge, name: str, first: Iterable[str] = ()) -> str:
    """Return a word with what else it is called, and whether the step uses it."""
    also = f" (also: {', '.join(known.words[name].also)})" if known.words[name].also else ""
    return f"{name}{also}{', in this step' if name in first else ''}"
