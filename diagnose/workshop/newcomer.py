"""Who is led one thing at a time: who chose it, and who never had a walk or an engine and chose nothing yet."""

from __future__ import annotations

from diagnose.record.manner import first_day, write_first_day, write_lines
from diagnose.workshop.workshop import Workshop


def newcomer(shop: Workshop) -> bool:
    """Say whether nobody has walked here yet."""
    return not shop.ledgers.index.rows(shop.journal)


def led(shop: Workshop) -> bool:
    """Say whether first-day mode is on."""
    chosen = first_day(shop.journal)
    return newcomer(shop) and not shop.engines() if chosen is None else chosen


def lead(shop: Workshop, on: bool) -> None:
    """Choose first-day mode, or the whole bench, until something else is chosen."""
    write_first_day(shop.journal, on, shop.clock())


def tell_in_lines(shop: Workshop, on: bool) -> None:
    """Choose to read each step in a line, or its recipe, until something else is chosen."""
    write_lines(shop.journal, on, shop.clock())
