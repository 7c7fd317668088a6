"""Which walks a change can reach: none of the others does anything else, and what nobody reads reaches none."""

from __future__ import annotations

from itertools import islice

from graph.sound_files import SOUND

from diagnose.graph.problem import KnowledgeError
from diagnose.graph.read import changed, read
from diagnose.measure.drawn import drawn
from diagnose.measure.mutants import Mutant
from diagnose.measure.noticed import Watch
from diagnose.measure.reach import met, named
from diagnose.measure.worked import Cases

FOUND = read(SOUND)
WATCH = Watch(FOUND)


def missed(mutant: Mutant) -> list[str]:
    """Return the cases that do something else although the change should not reach them."""
    try:
        other = changed(FOUND, *mutant.path[:2], mutant.entry)
    except KnowledgeError:
        return []
    cases, near = Cases(other), WATCH.nearest(mutant)
    found = []
    for name in WATCH.cases.keys() - set(near):
        list(cases.problems(name))
        if WATCH.does_otherwise(name, cases):
            found.append(name)
    return found


def test_no_walk_does_something_else_that_a_change_should_not_reach() -> None:
    made = list(islice(drawn(FOUND, 200, 3), 200))
    assert any(WATCH.cases.keys() - set(WATCH.nearest(one)) for one in made)
    assert [(one.path, one.what, missed(one)) for one in made if missed(one)] == []


def test_what_no_walk_reads_reaches_none_and_a_guard_reaches_all() -> None:
    entry = FOUND.entries["symptoms"]["revs-hang"]
    assert WATCH.reach.reached(("symptoms", "revs-hang", "people say", "0"), entry) == frozenset()
    guard = FOUND.entries["checks"]["fail-safe"]
    assert WATCH.reach.reached(("checks", "fail-safe", "minutes"), guard) == FOUND.knowledge.symptoms.keys()


def test_a_likelihood_reaches_the_complaints_of_its_fault_and_the_walks_that_meet_it() -> None:
    path = ("checks", "pinch-at-idle", "answers", "dies at once", "if", "low-needle-lean")
    entry = FOUND.entries["checks"]["pinch-at-idle"]
    explains = FOUND.knowledge.faults["low-needle-lean"].explains.keys()
    assert explains <= WATCH.reach.reached(path, entry)
    assert named(path) == {"pinch-at-idle", "low-needle-lean"}
    assert "low-needle-lean" in met(FOUND.knowledge, [("ask", "pinch-at-idle", "dies at once")])
    assert "low-needle-lean" not in met(FOUND.knowledge, [("ask", "fail-safe", "shuts")])
