"""What a change does to walks: it is told whole, and of what is not walked again nothing changes."""

from __future__ import annotations

from itertools import islice

import pytest
from cli.broken_clubs import HOLDS
from graph.sound_files import SOUND

from diagnose.graph.load import read_all
from diagnose.graph.problem import KnowledgeError
from diagnose.graph.read import FilesRead, changed, read
from diagnose.measure import review as reviews
from diagnose.measure.drawn import drawn
from diagnose.measure.review import EntryChange, Review, Rewritten, WalkChange, WalkResult, review, walks
from diagnose.pages.parts import Heading, Line
from diagnose.pages.review import alarming, review_page

FOUND = read(SOUND)


@pytest.fixture(autouse=True)
def _one_core(monkeypatch: pytest.MonkeyPatch) -> None:
    """Walk here: the small knowledge is walked sooner than a process is begun."""
    monkeypatch.setattr(reviews.os, "cpu_count", lambda: 1)


def other(file: str, old: str, new: str) -> FilesRead:
    assert SOUND[file].count(old) == 1
    return read({**SOUND, file: SOUND[file].replace(old, new)})


def test_what_is_the_same_changes_nothing_and_nothing_is_walked() -> None:
    found = review(FOUND, FOUND)
    assert (found.entries, found.starts, found.cases, found.faults, found.fewer) == ((), (), (), (), ())
    assert found.walked == 0
    assert found.of == len(FOUND.cases) + sum(len(fault.explains) for fault in FOUND.knowledge.faults.values())


def test_a_text_is_told_and_no_walk_is_made_for_it() -> None:
    found = review(FOUND, other("faults/mechanical.yaml", "Exhaust pressure never reaches", "No pressure reaches"))
    assert [(one.kind, one.name, one.how) for one in found.entries] == [("faults", "pressure-line-off", "changed")]
    assert found.walked == 0


def test_a_weight_is_told_before_and_after() -> None:
    found = review(FOUND, other("faults/mechanical.yaml", "{revs-hang: 3}", "{revs-hang: 9}"))
    line = Rewritten(("explains", "revs-hang"), 3, 9)
    assert found.entries == (EntryChange("faults", "pressure-line-off", "changed", (line,)),)
    assert found.walked == found.of > 0


def test_a_mend_that_takes_longer_shows_in_the_walks_that_make_it_and_in_no_other() -> None:
    new = other("faults/mechanical.yaml", "minutes: 40", "minutes: 55")
    found = review(FOUND, new)
    assert [(one.about, one.symptom) for one in found.faults] == [("front-seal-leaks", "revs-hang")]
    (seal,) = found.faults
    assert seal.before is not None
    assert seal.after is not None
    assert seal.after.minutes - seal.before.minutes == pytest.approx(15)
    assert seal.after.looks == seal.before.looks


def test_a_fault_that_no_look_shows_any_more_is_told_and_so_is_its_other_end() -> None:
    gone = "      if: {front-seal-leaks: 0.9}\n"
    found = review(FOUND, other("checks/seals.yaml", gone, "      if: {front-seal-leaks: 0.1}\n"))
    assert found.fewer == ("revs hang: front seal leaks has no strip-down any more",)
    ends = {one.about: (one.before.verdict, one.after.verdict) for one in found.cases if one.before and one.after}
    assert ends["front-seal-leaks"] == ("cured", "handed over")


def test_new_and_gone_entries_and_their_walks_are_told() -> None:
    without = {name: text for name, text in SOUND.items() if name != "cases/front-seal-leaks.yaml"}
    assert len(without) == len(SOUND) - 1
    gone = review(FOUND, read(without))
    assert [(one.name, one.how) for one in gone.entries] == [("front-seal-leaks", "gone")]
    assert [(one.about, one.after) for one in gone.cases] == [("front-seal-leaks", None)]
    new = review(read(without), FOUND)
    assert [(one.name, one.how) for one in new.entries] == [("front-seal-leaks", "new")]
    assert [(one.about, one.before) for one in new.cases] == [("front-seal-leaks", None)]


def test_a_shipped_entry_that_another_takes_the_place_of_is_told_as_replaced() -> None:
    text = "format: 1\npressure-line-off:\n  keep the rest: true\n  explains: {revs-hang: 1}\n"
    found = review(FOUND, read(SOUND, [{"faults.yaml": text}]))
    assert [(one.name, one.how) for one in found.entries] == [("pressure-line-off", "replaced")]


def test_what_is_owed_at_the_start_is_told_in_minutes_and_in_order() -> None:
    found = review(FOUND, other("checks/fuel.yaml", "  minutes: 2\n", "  minutes: 9\n"))
    (start,) = found.starts
    assert start.before is not None
    assert start.after is not None
    assert start.after.minutes == start.before.minutes + 7
    assert start.before.locks == start.after.locks != ()


def test_the_needles_lock_is_told_by_what_they_wait_for_now_and_did_not() -> None:
    new = read(SOUND, [{name: text for name, text in HOLDS.items() if isinstance(text, str)}])
    found = review(FOUND, new)
    (start,) = found.starts
    assert start.before is not None
    assert start.after is not None
    assert {*start.after.unlooked} - {*start.before.unlooked} == {"dust-sock-clogged"}
    (told,) = [line for line in _told(found, new) if line.startswith("Revs hang: ")]
    assert "the needles also wait until these are looked for: dust sock clogged" in told
    assert "pressure line" not in told


def test_another_name_of_a_fault_changes_no_lock() -> None:
    text = "format: 1\npressure-line-off:\n  keep the rest: true\n  name: pressure line torn\n"
    new = read(SOUND, [{"faults.yaml": text}])
    found = review(FOUND, new)
    assert found.starts == ()
    assert not [line for line in _told(found, new) if "needles" in line]


def test_a_value_is_told_as_an_author_writes_it() -> None:
    new = other("checks/fuel.yaml", "  cautions: [fuel-is-poison]\n", "  cautions: [fuel-is-poison, hot-metal]\n")
    (told,) = [line for line in _told(review(FOUND, new), new) if "cautions" in line]
    assert told.endswith("cautions: [fuel-is-poison] → [fuel-is-poison, hot-metal]")


def test_two_mends_in_another_order_are_no_other_end() -> None:
    before, after = (WalkResult("cured", mended, (), 1.0, (), None) for mended in (("a", "b"), ("b", "a")))
    found = Review((), (), (), (WalkChange("x", "revs-hang", before, after),), (), 1, 1)
    assert not alarming(found)
    page = review_page(found, FOUND.knowledge, FOUND.knowledge)
    assert not [part for part in page if isinstance(part, Heading) and "end" in part.text]


def _told(found: Review, new: FilesRead) -> list[str]:
    """Return the lines of the page."""
    page = review_page(found, FOUND.knowledge, new.knowledge)
    return [part.text for part in page if isinstance(part, Line)]


@pytest.mark.slow
def test_no_walk_of_the_shipped_knowledge_changes_that_a_change_should_not_reach() -> None:
    whole = read_all()
    tried = 0
    for mutant in islice(drawn(whole, 60, 5), 60):
        try:
            new = changed(whole, *mutant.path[:2], mutant.entry)
        except KnowledgeError:
            continue
        reached = reviews._reached(whole, new, tuple(reviews._entries(whole, new)))
        spared = sorted(whole.knowledge.symptoms.keys() - reached)
        if not spared:
            continue
        some = frozenset(spared[tried % len(spared) :][:1])
        assert walks(whole, some, frozenset()) == walks(new, some, frozenset()), (mutant.path, mutant.what, some)
        tried += 1
        if tried == 8:
            break
    assert tried == 8
