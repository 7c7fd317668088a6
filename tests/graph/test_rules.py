"""The pages of the rules: one for every id that can be printed, and those committed are what the table makes."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import diagnose
from diagnose.graph.rules import page, rules, write

COMMITTED = Path(__file__).parents[2] / "docs" / "rules"
AGAIN = "run: python -m diagnose.graph.rules docs/rules"

PASSED_ON = {"rule", "problem.rule", "found.rule"}
"""An id that comes from a call that is looked at by itself."""


def said(source: str) -> Iterator[str]:
    """Yield the rule of each problem that some Python makes: its id in quotes, or the code that stands there."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            if called in ("Problem", "Breach", "Flaw") or called.endswith(".problem"):
                event_first = ast.unparse(node.args[0]) == "event"
                rule = node.args[called == "Problem" or event_first]
                yield rule.value if isinstance(rule, ast.Constant) else f"`{ast.unparse(rule)}`"


def printed() -> set[str]:
    """Return every id that stands in the code that finds problems of the knowledge."""
    package = Path(diagnose.__file__).parent
    files = [*package.glob("graph/**/*.py"), package / "commands/prove.py", package / "measure/worked.py"]
    return {rule for file in files for rule in said(file.read_text("utf-8"))}


def test_every_id_that_can_be_printed_has_its_words_and_no_other_has() -> None:
    assert printed() - {f"`{code}`" for code in PASSED_ON} == rules().keys()


def test_the_scan_sees_every_way_to_make_a_problem() -> None:
    made = """Problem(place, "a", what); book.problem("b", what); Flaw("c", what); proof.problem("d" + x, what)
self.problem(event, "e", what)"""
    assert set(said(made)) == {"a", "b", "c", "`'d' + x`", "e"}


@pytest.mark.parametrize("name", rules())
def test_the_committed_page_is_the_one_that_the_table_makes(name: str) -> None:
    assert (COMMITTED / f"{name}.md").read_text("utf-8") == page(name, rules()[name]), AGAIN


def test_no_page_is_committed_for_a_rule_that_is_gone(tmp_path: Path) -> None:
    assert {file.stem for file in COMMITTED.iterdir()} == rules().keys(), AGAIN
    (tmp_path / "gone.md").write_text("# gone")
    write(tmp_path)
    assert {file.name for file in tmp_path.iterdir()} == {file.name for file in COMMITTED.iterdir()}


@pytest.mark.parametrize("name", rules())
def test_a_page_says_what_is_refused_what_holds_and_why_in_lines_that_fit_a_terminal(name: str) -> None:
    rule = rules()[name]
    titles = [line for line in page(name, rule).splitlines() if line.startswith("#")]
    assert titles[:4] == [f"# {name}", "## What is refused", "## What holds", "## Why"]
    for text in (rule.refused, rule.holds, rule.why):
        assert text.rstrip().endswith((".", ";")), text
        assert max(map(len, text.splitlines())) < 80, text
    assert bool(rule.good) <= bool(rule.bad)
