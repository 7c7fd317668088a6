"""What a worked case says comes after an answer or a mend; a walk that does otherwise is told."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from graph.sound_files import SOUND

from diagnose.graph.model import Case, Variant
from diagnose.graph.problem import KnowledgeError
from diagnose.graph.read import read
from diagnose.reason.after import otherwise
from diagnose.reason.cases import CaseRun, Done, run_case

KNOWN = read(SOUND).knowledge


def case(after: dict[str, str], **written: Any) -> Case:
    return msgspec.convert({"symptom": "revs-hang", "expect": {"verdict": "cured", "after": after}, **written}, Case)


def told(after: dict[str, str], **written: Any) -> list[str]:
    return list(otherwise(KNOWN, one := case(after, **written), run_case(KNOWN, one, Variant())))


def walked(after: dict[str, str], *steps: tuple[str, str, str]) -> list[str]:
    """Return what is told of a walk that was made otherwise than any real one."""
    run = run_case(KNOWN, case({}), Variant())
    made = tuple(Done(kind, name, "outside", answer, 1.0, "", "revs-hang") for kind, name, answer in steps)
    return list(otherwise(KNOWN, case(after), CaseRun(made, run.verdict, 1.0, (), (), {})))


HELD = {"answers": {"barrel-at-rest": "held open"}, "faults": ["barrel-held-open"]}
OPEN, RUN = ("ask", "barrel-at-rest", "held open"), ("retest", "revs-hang", "same")


def test_a_walk_that_keeps_to_what_is_said_is_told_nothing_of() -> None:
    after = {"barrel-at-rest": "nothing runs", "barrel-held-open": "both guards again"}
    assert told(after, **HELD) == []
    assert told({"pinch-at-idle": "richer"}, answers={"pinch-at-idle": "dies at once"}) == []
    assert told({"pinch": "strip"}) == []


def test_what_runs_after_an_answer_that_grounds_is_told() -> None:
    after = {"barrel-at-rest": "nothing runs"}
    assert walked(after, OPEN, RUN) == ["after 'barrel-at-rest' (held open) nothing may run, and 'revs-hang' does"]
    assert walked(after, OPEN, ("recheck", "barrel-at-rest", "rests"), RUN) == []


def test_a_guard_that_is_not_looked_at_again_is_told() -> None:
    after, mend = {"barrel-held-open": "both guards again"}, ("mend", "barrel-held-open", "done")
    again = [("ask", "barrel-at-rest", "rests"), ("ask", "fail-safe", "shuts")]
    assert walked(after, mend, *again, RUN) == []
    assert "no new look at 'fail-safe'" in walked(after, mend, again[0], RUN)[0]
    assert "does not run any more" in walked(after, mend)[0]


def test_another_node_or_nothing_at_all_is_told() -> None:
    assert told({"pinch": "richer"}) == ["after 'pinch' (short climb) comes 'strip', not 'richer'"]
    assert told({"pull-and-watch": "nothing runs"}, answers={"pinch-at-idle": "dies at once"}) == [
        "'pull-and-watch' comes up nowhere, so nothing can come after it"
    ]


@pytest.mark.parametrize("after", ["{pinsh: richer}", "{pinch: ritcher}"])
def test_a_name_that_there_is_not_is_refused(after: str) -> None:
    text = SOUND["cases/pressure-line.yaml"].replace("adjustments: 0", f"adjustments: 0, after: {after}")
    with pytest.raises(KnowledgeError, match="did you mean"):
        read({**SOUND, "cases/pressure-line.yaml": text})
