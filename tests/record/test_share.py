"""A share file holds counts only, and one that is off is refused whole, with the line that is off."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.problem import KnowledgeError
from diagnose.record import share

KNOWLEDGE = load()
GOOD = share.text({"overheats": {"fins-packed": 3, "no-airflow": 1}})


def _able() -> list[tuple[str, str]]:
    return [(s, f) for f, one in KNOWLEDGE.faults.items() if one.mechanical for s in one.explains]


@given(st.dictionaries(st.sampled_from(_able()), st.integers(1, share.MOST), min_size=1, max_size=30))
def test_what_is_shared_is_read_back_as_it_was(pairs: dict[tuple[str, str], int]) -> None:
    counts: dict[str, dict[str, int]] = {}
    for (symptom, fault), many in pairs.items():
        counts.setdefault(symptom, {})[fault] = many
    assert share.checked("a.yaml", share.text(counts), KNOWLEDGE) == counts
    assert yaml.safe_load(share.text(counts)) == {"format": 1, "cured": counts}  # another reader


BAD = {
    "a negative count": (GOOD.replace(": 3", ": -3"), "a.yaml:5:5", "'-3' is no count"),
    "nothing at all": (GOOD.replace(": 3", ": 0"), "a.yaml:5:5", "'0' is no count"),
    "half a count": (GOOD.replace(": 3", ": 2.5"), "a.yaml:5:5", "'2.5' is no count"),
    "more than anybody drives": (GOOD.replace(": 3", ": 100001"), "a.yaml:5:5", "'100001' is no count"),
    "a number of a million digits": (GOOD.replace(": 3", ": " + "9" * 100_000), "a.yaml:5:5", "is no count"),
    "digits of another script": (GOOD.replace(": 3", ": ٣"), "a.yaml:5:5", "is no count"),
    "a word": (GOOD.replace(": 3", ": many"), "a.yaml:5:5", "'many' is no count"),
    "a list": (GOOD.replace(": 3", ": [3]"), "a.yaml:5:5", "is no count"),
    "an unknown symptom": (GOOD.replace("overheats", "overheat"), "a.yaml:4:3", "did you mean 'overheats'"),
    "an unknown fault": (GOOD.replace("fins-packed", "fin-packed"), "a.yaml:5:5", "did you mean 'fins-packed'"),
    "a needle": (GOOD.replace("fins-packed", "high-needle-lean"), "a.yaml:5:5", "is no mechanical fault behind"),
    "a fault of another symptom": (GOOD.replace("fins-packed", "over-cooled"), "a.yaml:5:5", "behind 'overheats'"),
    "the same fault twice": (GOOD.replace("no-airflow", "fins-packed"), "a.yaml:6:5", "twice"),
    "a newer format": (GOOD.replace("format: 1", "format: 2"), "a.yaml:2:1", "a newer version of this program"),
    "a format that is no number": (GOOD.replace("format: 1", "format: new"), "a.yaml:2:1", "the format is 1"),
    "no format": (GOOD.replace("format: 1\n", ""), "a.yaml:1:1", "this is no share file"),
    "something besides": (GOOD.replace("cured:", "notes: it was hot\ncured:"), "a.yaml:3:1", "'notes' has no place"),
    "no faults": ("format: 1\ncured:\n  overheats:\n# whole\n", "a.yaml:3:13", "nothing stands after"),
    "nothing cured": ("format: 1\ncured: {}\n# whole\n", "a.yaml:2:1", "it lists none"),
    "cut off": (GOOD[:60], "a.yaml:", "cut off"),
    "cut off after a whole line": (GOOD[: GOOD.index("    no-airflow")], "a.yaml:6:1", "cut off"),
    "an empty file": ("", "a.yaml:1:1", "cut off"),
    "an anchor": (GOOD.replace("overheats:", "overheats: &a"), "a.yaml:4:", "anchor"),
    "a control character": (GOOD.replace("fins-packed", "fins\x1b[2J"), "a.yaml:5:", "control character"),
    "brackets without end": ("format: 1\ncured: " + "[" * 5000 + "\n# whole\n", "a.yaml:2:", ""),
    "a table of numbers": ("1,2,3\n4,5,6\n# whole\n", "a.yaml:1:1", "this is no share file"),
}


@pytest.mark.parametrize("what", BAD)
def test_a_share_file_that_is_off_is_refused_with_its_place(what: str) -> None:
    content, place, told = BAD[what]
    with pytest.raises(KnowledgeError) as refused:
        share.checked("a.yaml", content, KNOWLEDGE)
    assert str(refused.value).startswith(place)
    assert told in str(refused.value)


def test_every_line_that_is_off_is_named_at_once() -> None:
    with pytest.raises(KnowledgeError) as refused:
        share.checked("a.yaml", GOOD.replace(": 3", ": -3").replace(": 1\n#", ": x\n#"), KNOWLEDGE)
    assert [problem.place.line for problem in refused.value.problems] == [5, 6]


@pytest.mark.parametrize(
    ("content", "told"),
    [(b"a" * (share.LONGEST + 1), "is over 256 KiB"), (b"\xff\xfe\x00\x01", "is no text"), (b"\x00" * 50, "cut off")],
    ids=["huge", "no text", "zeros"],
)
def test_a_file_that_is_huge_or_no_text_is_refused(content: bytes, told: str, tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"
    file.write_bytes(content)
    with pytest.raises(DiagnoseError, match=told):
        share.read(file, KNOWLEDGE)


def test_a_file_that_is_not_there_or_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DiagnoseError, match="there is no file"):
        share.read(tmp_path / "none.yaml", KNOWLEDGE)
    with pytest.raises(DiagnoseError, match="is no file"):
        share.read(tmp_path, KNOWLEDGE)
