"""Where a person's own things are kept: ``DIAGNOSE_HOME``, or the platform's own places."""

from __future__ import annotations

import os
from pathlib import Path

PROGRAM = "needles-last"


def home() -> Path:
    """Return the program's data directory: the journal, the sheets, the crash logs."""
    if chosen := os.environ.get("DIAGNOSE_HOME"):
        return Path(chosen)
    from platformdirs import user_data_path  # only where it is needed: it costs a first screen

    return user_data_path(PROGRAM, appauthor=False)


def cache_dir() -> Path:
    """Return the folder where the packed knowledge is kept."""
    if chosen := os.environ.get("DIAGNOSE_HOME"):
        return Path(chosen) / "cache"
    from platformdirs import user_cache_path

    return user_cache_path(PROGRAM, appauthor=False)


def club() -> Path | None:
    """Return the folder of the club that is in use, None for none."""
    try:
        return Path((home() / "club").read_text("utf-8").strip())
    except (OSError, UnicodeDecodeError):
        return None


def use_club(folder: Path | None) -> None:
    """Keep in mind which club's folder is in use; raises `OSError`."""
    home().mkdir(parents=True, exist_ok=True)
    if folder is None:
        (home() / "club").unlink(missing_ok=True)
    else:
        (home() / "club").write_text(f"{folder}\n", "utf-8")
