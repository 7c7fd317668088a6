"""Lessons are read and linked like the rest of the knowledge."""

from __future__ import annotations

import subprocess
import sys

import pytest
from graph.knowledge_files import FILES, told

from diagnose.graph.model import Variant
from diagnose.graph.read import read

LESSON = """\
format: 1
hangs:
  name: it hangs
  text: Find out why.
  engine: {needles: 2, starter: pull, run in: false}
  symptom: revs-hang
  faults: {pressure-line: 0.5}
  notice: [The line is off.]
  question:
    ask: Why?
    answers:
      line: {say: the line, right: true, because: It is off.}
      needle: {say: the needle, because: It is not.}
"""


def test_a_lesson_is_read_with_its_engine_and_its_right_answer() -> None:
    fault = next(iter(read(FILES).knowledge.explaining("revs-hang", Variant())))
    lesson = read({**FILES, "lessons/one.yaml": LESSON.replace("pressure-line", fault)}).knowledge.lessons["hangs"]
    assert lesson.variant == Variant(2, "pull", False)
    assert lesson.question.right == "line"
    assert lesson.faults == {fault: 0.5}


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("symptom: revs-hang", "symptom: revs-hung", "unknown symptom 'revs-hung'; did you mean 'revs-hang'"),
        ("pressure-line: 0.5", "no-such-thing: 0.5", "unknown fault 'no-such-thing'"),
        ("right: true, ", "", "none of the answers is right; mark exactly one"),
        ("{say: the needle,", "{say: the needle, right: true,", "2 of the answers are right; mark exactly one"),
        ("pressure-line: 0.5", "pressure-line: 2", "it must be from 0 to 1"),
        ("needles: 2", "needles: 4", "'needles' can't be '4', only 2 or 3"),
        ("  notice: [The line is off.]\n", "", "'hangs' has no 'notice'"),
        ("starter: pull", "starter: [pull]", "'starter'"),
        ("the line,", "the line <no-fact>,", "unknown fact 'no-fact'"),
    ],
)
def test_what_is_wrong_with_a_lesson_is_said_with_its_place(old: str, new: str, what: str) -> None:
    fault = next(iter(read(FILES).knowledge.explaining("revs-hang", Variant())))
    text = LESSON.replace(old, new).replace("pressure-line", fault)
    problems = told({**FILES, "lessons/one.yaml": text})
    assert any(line.startswith("lessons/one.yaml:") and what in line for line in problems), problems


def test_reading_lessons_needs_no_graph_library() -> None:
    code = "import sys, diagnose.graph.read; print(*sys.modules.keys() & {'networkx', 'textual'})"
    assert not subprocess.check_output([sys.executable, "-c", code], text=True).strip()
