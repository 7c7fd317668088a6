"""Rule 9, proven: what a step takes off is labelled, and nothing turns the engine with something open unsaid."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from shipped import load

from diagnose.graph import openings
from diagnose.graph.done import Deed, everything
from diagnose.graph.model import CLOSE, Knowledge
from diagnose.graph.routes import prepared

KNOWLEDGE = load()


def found(known: Knowledge) -> list[tuple[str, str]]:
    return [(problem.rule, problem.what) for problem in openings.problems(prepared(known, {}))]


def with_check(name: str, **changes: Any) -> Knowledge:
    check = msgspec.structs.replace(KNOWLEDGE.checks[name], **changes)
    return msgspec.structs.replace(KNOWLEDGE, checks={**KNOWLEDGE.checks, name: check})


def with_mend(name: str, **changes: Any) -> Knowledge:
    fault = KNOWLEDGE.faults[name]
    mend = msgspec.structs.replace(fault.mend, **changes)
    fault = msgspec.structs.replace(fault, mend=mend)
    return msgspec.structs.replace(KNOWLEDGE, faults={**KNOWLEDGE.faults, name: fault})


def test_the_shipped_knowledge_says_of_every_step_what_it_opens() -> None:
    assert found(KNOWLEDGE) == []
    assert sum(len(done.work.takes_off) for done in everything(KNOWLEDGE)) > 100


@pytest.mark.parametrize(
    ("mutant", "rule", "what"),
    [
        (with_check("plug-out", takes_off=()), "opening-unsaid", "made in the state 'plug out'"),
        (with_check("filter-by-eye", takes_off=()), "opening-unsaid", "Take the air filter off"),
        (with_check("hold-and-stream", takes_off=("line-clamp",)), "opening-unsaid", "takes off: [fuel-line]"),
        (with_check("hold-and-stream", takes_off=("fuel-line", "pressure-line")), "opening-unsaid", "[line-clamp]"),
        (with_check("plug-out", puts_back=("plug",)), "opening-unsaid", "its text puts nothing back"),
        (with_check("plug-out-versus-in", cranks=False), "cranks-unsaid", "Turn the engine with the starter"),
        (with_check("plug-out-versus-in", puts_back=(), may_be_open={}), "open-while-turning", "leaves 'plug' open"),
        (with_check("filter-by-eye", may_be_open={"plug": "Why not."}), "open-while-turning", "neither cranks nor"),
        (with_mend("flooded", cranks=False, may_be_open={}), "cranks-unsaid", "Then turn it with the starter"),
        (with_mend("air-filter-dirty", do=("Start it and look.",)), "mend-runs", "Start it and look."),
        (with_mend("air-filter-dirty", state="warm"), "mend-runs", "made with the engine running"),
    ],
)
def test_a_label_taken_away_is_noticed(mutant: Knowledge, rule: str, what: str) -> None:
    assert any(rule == one and what in said for one, said in found(mutant)), found(mutant)


@pytest.mark.parametrize("close", [None, {"state": "warm"}, {"cranks": True}, {"takes_off": ("plug",)}])
def test_without_a_way_to_close_up_the_proof_names_a_walk_that_runs_open(close: dict[str, Any] | None) -> None:
    preparations = dict(KNOWLEDGE.preparations)
    one = preparations.pop(CLOSE)
    if close is not None:
        preparations[CLOSE] = msgspec.structs.replace(one, **close)
    said = [
        what
        for rule, what in found(msgspec.structs.replace(KNOWLEDGE, preparations=preparations))
        if rule == "close-up-missing"
    ]
    assert len(said) == 1
    assert "the air filter is off, and" in said[0]
    assert "the engine: the program needs a preparation 'close-up'" in said[0]


def test_most_labels_are_seen_in_the_texts_alone() -> None:
    """Of all labels, those that a step leaves behind must not be lost without a word.

    A tank that is filled and a rag over the carburettor are told in other words: `test_labels_said` reads for those.
    """
    noticed = missed = 0
    for done in everything(KNOWLEDGE):
        for name in (one for one in done.work.takes_off if one not in ("tank-lid", "cover-rag")):
            left = tuple(other for other in done.work.takes_off if other != name)
            mutant = done._replace(work=msgspec.structs.replace(done.work, takes_off=left))
            noticed += bool(_said(mutant))
            missed += not _said(mutant)
    assert noticed > missed


def _said(done: Deed) -> list[openings.Breach]:
    return [*openings._labels(done, KNOWLEDGE), *openings._texts(done, KNOWLEDGE)]
