import subprocess
import sys
from pathlib import Path

import pytest

from diagnose.folders import cache_dir, home


def test_the_data_directory_can_be_chosen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))
    assert home() == tmp_path
    monkeypatch.delenv("DIAGNOSE_HOME")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert home().name == "needles-last"


def test_the_platforms_own_place_is_looked_up_only_in_need() -> None:
    script = "import sys, diagnose.folders as j; j.home(); print('platformdirs' in sys.modules)"
    said = subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True, env={"DIAGNOSE_HOME": "here"}
    )
    assert said.stdout == "False\n"


def test_the_cache_is_in_the_data_directory_of_the_person_s_choice(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DIAGNOSE_HOME", "here")
    assert cache_dir() == Path("here/cache")
