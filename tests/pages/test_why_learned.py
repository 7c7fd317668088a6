"""Under *why* a walk says how many of the club's outings count in what it could be, and nothing where none do."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.graph.model import Variant
from diagnose.pages.parts import Page, Paragraph
from diagnose.pages.why import why_page
from diagnose.reason import events as ev
from diagnose.reason.learned import Counts, Learned
from diagnose.reason.play import play, usual
from diagnose.reason.walk import begin


def _why(counts: Counts | None) -> Page:
    known = load()
    learned = None if counts is None else Learned(counts)
    walk = begin(known, ev.Started(0.0, known.digest, "overheats", "", Variant(), learned=learned))
    for made in play(walk, lambda at, step: at.scope.checks[step.id].healthy if step.kind == "ask" else usual(step)):
        view, step = made.walk.view(0.0), made.walk.step(0.0)
        if view.suspects and step is not None and step.kind == "ask":
            return why_page(made.walk, view, step)
    raise AssertionError("no step has suspects")


@pytest.mark.parametrize(
    ("counts", "said"),
    [
        ({"overheats": {"fins-packed": 11, "no-airflow": 1}}, "12 outings of your club count in it as well"),
        ({"overheats": {"fins-packed": 1}}, "1 outing of your club counts in it as well"),
        ({"revs-hang": {"air-filter-torn": 4}}, ""),
        (None, ""),
    ],
)
def test_why_says_how_many_outings_count(counts: Counts | None, said: str) -> None:
    told = [part.text for part in _why(counts) if isinstance(part, Paragraph) and "of your club" in part.text]
    assert len(told) == bool(said)
    assert all(text.startswith(said) for text in told)
