from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from graph.knowledge_files import FILES

from diagnose.graph import load as loader
from diagnose.graph.load import CACHE, LIMIT, home, load, read_all
from diagnose.graph.problem import KnowledgeError, Place, Problem


def sound(knowledge, places):
    return []


class Prover:
    """Counts how often it is asked."""

    def __init__(self) -> None:
        self.asked = 0

    def __call__(self, *_):
        self.asked += 1
        return []


def put(folder: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, "utf-8")
    return folder


@pytest.fixture
def folder(tmp_path):
    return put(tmp_path / "knowledge", FILES)


def told(*overlays, **how) -> list[Problem]:
    with pytest.raises(KnowledgeError) as caught:
        load(*overlays, **{"prove": sound, **how})
    return caught.value.problems


def test_a_folder_is_read(folder):
    assert list(load(shipped=folder, prove=sound).symptoms) == ["revs-hang"]


def test_an_overlay_lies_on_top(folder, tmp_path):
    club = put(tmp_path / "club", {"words.yaml": "format: 1\nlean: {say: weak}\n"})
    assert load([club], shipped=folder, prove=sound).words["lean"].say == "weak"


def test_what_is_no_knowledge_file_is_passed_over(folder):
    put(folder, {"README.md": "# how", ".hidden.yaml": "- x", ".git/config.yaml": "- x", "checks/notes.txt": "x"})
    assert load(shipped=folder, prove=sound).checks


def test_the_prover_gets_the_places_and_its_problems_stop_the_loading(folder):
    def prove(knowledge, places):
        return [Problem(places["symptoms", "revs-hang", "route", "richer"], "first-look", "an hour too early")]

    (problem,) = told(shipped=folder, prove=prove)
    assert str(problem) == f"{folder}/symptoms/idle.yaml:21:5: an hour too early (first-look)"


@pytest.mark.parametrize("name", ["missing", "empty"])
def test_a_folder_without_knowledge_is_told(folder, tmp_path, name):
    (tmp_path / "empty").mkdir()
    (problem,) = told([tmp_path / name], shipped=folder)
    assert problem.rule == "no-knowledge"
    assert problem.place.file == str(tmp_path / name)


def test_a_file_that_is_too_big_is_told_and_not_read(folder):
    put(folder, {"words.yaml": "format: 1\n" + "#" * LIMIT})
    assert [problem.rule for problem in told(shipped=folder)] == ["too-big"]
    put(folder, {"words.yaml": "format: 1\n" + "#" * (LIMIT - 10)})
    assert load(shipped=folder, prove=sound)


def test_a_file_that_is_not_utf_8_is_told_where(folder):
    (folder / "words.yaml").write_bytes(b"format: 1\nx: \xff")
    assert told(shipped=folder) == [
        Problem(Place(f"{folder}/words.yaml", 2, 4), "not-utf-8", "not UTF-8; save the file as UTF-8 text")
    ]


def test_a_file_that_is_no_file_is_told(folder):
    (folder / "words.yaml").unlink()
    (folder / "words.yaml").symlink_to(folder / "nowhere")
    os.mkfifo(folder / "history.yml")
    assert {problem.rule for problem in told(shipped=folder)} >= {"unreadable"}


def test_a_file_that_may_not_be_read_is_told(folder, monkeypatch):
    opened = Path.open

    def refuse(path, *how, **more):
        if path.name == "words.yaml":
            raise PermissionError(13, "Permission denied")
        return opened(path, *how, **more)

    monkeypatch.setattr(Path, "open", refuse)
    assert [problem.what for problem in told(shipped=folder)] == ["this can't be read: Permission denied"]


def test_the_digest_follows_content_and_names_and_nothing_else(folder, tmp_path):
    first = load(shipped=folder, prove=sound).digest
    moved = put(tmp_path / "elsewhere", FILES)
    assert load(shipped=moved, prove=sound).digest == first
    (moved / "words.yaml").rename(moved / "words").rename(moved / "words.yaml")
    put(moved, {"words.yaml": FILES["words.yaml"] + "\n"})
    second = load(shipped=moved, prove=sound).digest
    put(moved, {"words.yaml": FILES["words.yaml"]})
    (moved / "engines/generic.yaml").rename(moved / "engines/other.yaml")
    assert len({first, second, load(shipped=moved, prove=sound).digest}) == 3


def test_the_digest_follows_the_version(folder, monkeypatch):
    first = load(shipped=folder, prove=sound).digest
    monkeypatch.setattr(loader, "__version__", "99")
    assert load(shipped=folder, prove=sound).digest != first


@pytest.fixture
def unread(monkeypatch):
    """Makes any further reading of knowledge fail."""

    def stop() -> None:
        monkeypatch.setattr(loader._Folders, "read", lambda _: pytest.fail("read again"))

    return stop


def test_unchanged_knowledge_is_neither_read_nor_proven_again(folder, tmp_path, unread):
    prover = Prover()
    first = load(shipped=folder, cache=tmp_path / "cache", prove=prover)
    unread()
    again = load(shipped=folder, cache=tmp_path / "cache", prove=prover)
    assert again == first
    assert list(again.symptoms["revs-hang"].route) == list(first.symptoms["revs-hang"].route)
    assert prover.asked == 1


def test_changed_knowledge_is_read_and_proven_again(folder, tmp_path):
    prover = Prover()
    load(shipped=folder, cache=tmp_path, prove=prover)
    put(folder, {"words.yaml": "format: 1\nlean: {say: weak}\n"})
    assert load(shipped=folder, cache=tmp_path, prove=prover).words["lean"].say == "weak"
    assert prover.asked == 2


def test_what_one_prover_passed_is_not_passed_for_another(folder, tmp_path):
    load(shipped=folder, cache=tmp_path, prove=sound)
    prover = Prover()
    load(shipped=folder, cache=tmp_path, prove=prover)
    assert prover.asked == 1


def test_knowledge_that_is_not_proven_is_not_kept(folder, tmp_path):
    told(shipped=folder, cache=tmp_path, prove=lambda *_: [Problem(Place("x", 1, 1), "r", "w")])
    assert not (tmp_path / CACHE).exists()


def test_a_change_to_the_rules_makes_it_prove_again(folder, tmp_path, monkeypatch):
    prover = Prover()
    load(shipped=folder, cache=tmp_path, prove=prover)
    read_bytes = Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda path: read_bytes(path) + b"#" * (path.name == "symptom.py"))
    load(shipped=folder, cache=tmp_path, prove=prover)
    assert prover.asked == 2


@pytest.mark.parametrize("cut", [0, 1, 40, 200, -1])
def test_a_cache_that_is_cut_short_does_not_matter(folder, tmp_path, cut):
    first = load(shipped=folder, cache=tmp_path, prove=sound)
    (tmp_path / CACHE).write_bytes((tmp_path / CACHE).read_bytes()[:cut])
    assert load(shipped=folder, cache=tmp_path, prove=sound) == first


def test_a_cache_with_one_bit_changed_does_not_matter(folder, tmp_path):
    first = load(shipped=folder, cache=tmp_path, prove=sound)
    key = loader._Folders(folder, [], cases=False).key(sound)
    assert loader._knowledge(tmp_path, key) == first
    data = bytearray((tmp_path / CACHE).read_bytes())
    for place in range(0, len(data), 97):
        data[place] ^= 1
        (tmp_path / CACHE).write_bytes(data)
        assert loader._kept(tmp_path / CACHE, key) is None
        data[place] ^= 1
    assert load(shipped=folder, cache=tmp_path, prove=sound) == first


def test_a_cache_that_cannot_be_written_does_not_matter(folder, tmp_path):
    (tmp_path / "file").write_text("in the way")
    assert load(shipped=folder, cache=tmp_path / "file", prove=sound).symptoms
    (tmp_path / "cache" / CACHE).mkdir(parents=True)
    assert load(shipped=folder, cache=tmp_path / "cache", prove=sound).symptoms
    assert [path.name for path in (tmp_path / "cache").iterdir()] == [CACHE]


def test_only_one_file_is_left_in_the_cache(folder, tmp_path):
    load(shipped=folder, cache=tmp_path / "cache", prove=sound)
    put(folder, {"words.yaml": "format: 1\n"})
    load(shipped=folder, cache=tmp_path / "cache", prove=sound)
    assert [path.name for path in (tmp_path / "cache").iterdir()] == [CACHE]


def test_the_installed_knowledge_comes_before_the_one_beside_it(tmp_path, monkeypatch):
    package = tmp_path / "site" / "diagnose"
    monkeypatch.setattr(loader, "_PACKAGE", package)
    assert home() == tmp_path / "site" / "knowledge"
    (package / "knowledge").mkdir(parents=True)
    assert home() == package / "knowledge"


def test_all_that_the_files_hold_can_be_had_unproven(folder):
    found = read_all(shipped=folder)
    assert list(found.cases) == ["pressure-line"]
    assert found.knowledge.digest


def test_a_walk_does_without_the_cases(folder, tmp_path):
    known = load(shipped=folder, cache=tmp_path / "cache", prove=sound)
    put(folder, {"cases/pressure-line.yaml": "- not even a case"})
    assert load(shipped=folder, cache=tmp_path / "cache", prove=sound) == known
    with pytest.raises(KnowledgeError):
        read_all(shipped=folder)


def test_an_overlay_of_cases_alone_is_no_empty_folder(folder, tmp_path):
    club = put(tmp_path / "club", {"cases/pressure-line.yaml": FILES["cases/pressure-line.yaml"]})
    assert load([club], shipped=folder, prove=sound).symptoms


def test_unchanged_knowledge_needs_no_heavy_library(folder, tmp_path):
    code = f"""
import sys
from pathlib import Path
from diagnose.graph.load import load
def sound(knowledge, places): return []
load(shipped=Path({str(folder)!r}), cache=Path({str(tmp_path)!r}), prove=sound)
print(*sorted(sys.modules.keys() & {{"yaml", "jsonschema", "networkx", "textual"}}))
"""

    def heavy() -> str:
        command = [sys.executable, "-c", code]
        path = os.pathsep.join(sys.path)
        return subprocess.run(command, env={"PYTHONPATH": path}, text=True, capture_output=True, check=True).stdout

    assert heavy().split() == ["yaml"]
    assert heavy().split() == []


def test_what_an_overlay_no_longer_looks_for_is_said(tmp_path: Path) -> None:
    (tmp_path / "checks").mkdir()
    for file in (home() / "checks").glob("*.yaml"):
        shipped = file.read_text("utf-8").replace("fuel-filter-blocked.shut", "fins-packed")
        blinded = "".join(row for row in shipped.splitlines(keepends=True) if "fuel-filter-blocked" not in row)
        (tmp_path / "checks" / file.name).write_text(blinded, "utf-8")
    assert load().fewer == ()
    assert any("filter" in lost for lost in read_all([tmp_path]).knowledge.fewer)


def test_nothing_is_collected_as_the_interpreter_ends() -> None:
    """A third of some runs ended in a segmentation fault of msgspec (seen with 0.19.0 to 0.22.0, Python 3.11.7)."""
    code = (  # what is registered first is called last
        "import atexit, gc; atexit.register(lambda: print(gc.get_freeze_count() > 0)); import diagnose.graph.model"
    )
    assert subprocess.check_output([sys.executable, "-c", code], text=True).strip() == "True"
