"""What a run of the command comes to, and knowledge written out as files."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple


class Outcome(NamedTuple):
    """What one run of the command came to."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        assert self.code == 0, self.err
        return json.loads(self.out)


Diagnose = Callable[..., Outcome]


def write(folder: Path, files: dict[str, str]) -> Path:
    """Write knowledge files below `folder`."""
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, "utf-8")
    return folder
