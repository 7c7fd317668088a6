"""The idle stop is told by its gap in mm as well, where the well card has one."""

from __future__ import annotations

from shipped import load

from diagnose.graph.model import Variant
from diagnose.pages.parts import Line
from diagnose.pages.stand import stand
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.tune.needles import Baseline, closed
from diagnose.tune.well import Card
from diagnose.workshop.workshop import Workshop

SAID = "a gap of 0.7 mm when it ran well"


def test_the_gap_of_the_well_card_stands_beside_the_idle_stop_and_in_going_back() -> None:
    with Journal.in_memory() as journal:
        shop = Workshop(load(), journal, lambda: 100.0)
        shop.add_engine(Engine("blue", Variant()))
        shop.write("blue", Baseline(50.0, {"idle stop": closed(24)}))
        for card, there in ((None, False), (Card(60.0, idle_gap=0.7), True)):
            if card is not None:
                shop.write_card("blue", card)
            back = shop.going_back("blue")
            assert back is not None
            assert any(SAID in line for line in back.how) == there
            page = stand(shop.ledger("blue"), 3, "", shop.gap("blue"))
            assert (Line(f"Idle stop: {SAID}.") in page) == there
