"""Opening must be quick: nothing is imported on the way to the first page that it does not show."""

from __future__ import annotations

import subprocess
import sys

HEAVY = ("networkx", "jsonschema", "yaml", "click", "pint", "statistics", "diagnose.graph.prove", "diagnose.graph.read")
FIRST = {"app", "ahead", "at_hand", "home", "messages", "navigator", "page", "searching", "theme", "widgets"}
"""The modules of the screens that the first page needs; of the widgets these are not among them:"""
LATER = ("column", "entries", "filled", "pick", "plot", "seat")


def test_the_first_page_imports_only_what_it_shows() -> None:
    code = "import sys, diagnose.screens.app; print(*sys.modules)"
    loaded = set(subprocess.check_output([sys.executable, "-c", code], text=True).split())
    assert not loaded & set(HEAVY)
    assert {name.split(".")[2] for name in loaded if name.startswith("diagnose.screens.")} == FIRST
    assert not loaded & {f"diagnose.screens.widgets.{name}" for name in LATER}


def test_the_session_needs_no_terminal() -> None:
    code = "import sys, diagnose.workshop.session; print(*sys.modules)"
    assert not {"textual", "rich"} & set(subprocess.check_output([sys.executable, "-c", code], text=True).split())
