"""Where a node leads, and which way a turn counts: each is said once, and everything reads it there."""

from __future__ import annotations

from typing import Any, get_args

import msgspec
import pytest
from graph.small import OUT, adjust, ask, sweep

from diagnose.graph.model import Node, Variant, Way, exits, signed
from diagnose.graph.routes import END, onward

HEAT = {"node": "prepare", "prepare": "bring-to-heat", "then": "a", "too cool": "b", "too hot": "c", "won't run": "d"}

NODES: list[tuple[dict[str, Any], dict[str, str]]] = [
    (sweep("air", to="a"), {"then": "a"}),
    (ask("hold", fine="a", bad="b", cant_tell="c"), {"fine": "a", "bad": "b", "can't tell": "c"}),
    (
        {**adjust("high needle", "richer", "a"), "same": "b", "worse": "c"},
        {"better": "a", "same": "b", "worse": "c"},
    ),
    (HEAT, {"then": "a", "too cool": "b", "too hot": "c", "won't run": "d"}),
    ({"node": "prepare", "prepare": "bring-to-heat", "then": "a"}, {"then": "a"}),
    (OUT, {}),
]


@pytest.mark.parametrize(("written", "leads"), NODES)
def test_a_node_lists_every_way_out_by_the_key_that_says_so(written: dict[str, Any], leads: dict[str, str]) -> None:
    node = msgspec.convert({**written, "only": {"needles": 3}, "else": "other"}, Node)
    assert exits(node) == leads
    ends = {END} if written["node"] in ("adjust", "refer") else set()  # a turn may cure
    assert set(onward(node, Variant(needles=3))) == {*leads.values()} | ends
    assert set(onward(node, Variant(needles=2))) == {"other"}


def test_richer_and_in_count_up_and_leaner_and_out_count_down() -> None:
    ways = {way: signed(way, 0.5) for way in get_args(Way)}
    assert ways == {"richer": 0.5, "in": 0.5, "leaner": -0.5, "out": -0.5}
