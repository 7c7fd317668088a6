"""Problems in the order in which an author mends them: the cause first, and what follows from it folded."""

from __future__ import annotations

from diagnose.graph.causes import MOST, AuthorsOwn, causes, counted, told
from diagnose.graph.problem import KnowledgeError, Place, Problem

OWN = "club/faults.yaml"
WRITTEN = AuthorsOwn(frozenset({OWN, "club/checks.yaml"}), {"sock": Place(OWN, 2, 1), "bag": Place(OWN, 20, 1)})


def own(line: int, rule: str, what: str = "this is wrong") -> Problem:
    return Problem(Place(OWN, line, 3), rule, what)


def below(line: int, rule: str, what: str) -> Problem:
    return Problem(Place("knowledge/a.yaml", line, 1), rule, what)


def test_what_breaks_in_a_shipped_file_is_folded_behind_the_entry_that_it_names() -> None:
    first, second = own(4, "area"), own(22, "area")
    follows = [below(n, "look", f"no look for 'bag' before node {n}") for n in range(14)]
    found = causes([*follows, second, first], WRITTEN)
    assert [(one.problem, len(one.follows)) for one in found] == [(first, 0), (second, 14)]
    assert str(found[1]).endswith("(area)\n    and 14 that follow")
    assert counted(found) == "2 problems, and 14 that follow"


def test_what_names_nobody_is_folded_behind_the_only_cause_and_behind_none_of_two() -> None:
    stray = below(1, "rounds", "this round is too long")
    assert [len(one.follows) for one in causes([stray, own(4, "area")], WRITTEN)] == [1]
    two = causes([stray, own(4, "area"), own(22, "area")], WRITTEN)
    assert [(one.problem.place.file, len(one.follows)) for one in two] == [(OWN, 0), (OWN, 0), ("knowledge/a.yaml", 0)]


def test_an_entry_that_is_right_by_itself_and_breaks_what_is_shipped_is_told_where_it_can_be_mended() -> None:
    broken = [below(n, "unknown-name", "'sock' has no answer 'clean'") for n in (5, 9, 12)]
    (found,) = causes(broken, WRITTEN)
    assert found.problem.place == Place(OWN, 2, 1)
    assert found.problem.what == "this breaks knowledge/a.yaml:5:1: 'sock' has no answer 'clean'"
    assert found.follows == tuple(broken[1:])


def test_a_file_that_cant_be_read_comes_first_and_a_shipped_file_last() -> None:
    problems = [
        below(1, "minutes", "none"),
        own(9, "minutes"),
        own(1, "minutes"),
        Problem(Place("club/checks.yaml", 7, 2), "syntax", "a tab"),
    ]
    order = [one.problem.place.line for one in causes(problems, AuthorsOwn(WRITTEN.files))]
    assert order == [7, 1, 9, 1]


def test_knowledge_without_layers_is_told_in_the_order_of_its_files_and_nothing_is_folded() -> None:
    problems = [below(9, "b", "x"), below(2, "a", "'sock' is gone"), below(2, "c", "y")]
    found = causes(problems, AuthorsOwn())
    assert [one.problem.place.line for one in found] == [2, 2, 9]
    assert not any(one.follows for one in found)


def test_no_problem_is_lost_and_none_is_told_twice() -> None:
    problems = [own(n % 30, "x", f"{n}") for n in range(40)]
    problems += [below(n, "y", f"because of '{('sock', 'bag', 'other')[n % 3]}' {n}") for n in range(60)]
    found = causes(problems, WRITTEN)
    kept = [one for cause in found for one in (cause.problem, *cause.follows)]
    assert len(kept) == len(set(kept)) == len(problems)


def test_at_most_a_hundred_are_told_at_once_and_the_rest_are_counted() -> None:
    error = KnowledgeError([below(n, "x", "wrong") for n in range(250)])
    assert MOST == 100
    assert str(error).splitlines()[-1] == "and 150 more"
    assert len(told(error.causes)) == 101
    assert (error.count, len(error.problems)) == ("250 problems", 250)
