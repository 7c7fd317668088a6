"""Opening must be quick: nothing is imported on the way to the first page that it does not show."""

from __future__ import annotations

import subprocess
import sys

HEAVY = ("networkx", "jsonschema", "yaml", "click", "pint", "statistics", "diagnose.graph.prove", "diagnose.graph.read")
LATER = (
    "wrong",
    "words",
    "why",
    "what_if",
    "another",
    "deadline",
    "engines",
    "engine_form",
    "history",
    "end",
    "trouble",
    "needles",
    "day",
    "well",
    "slope",
    "form",
    "setting",
    "turned",
    "good",
    "go_back",
    "heat",
    "widgets.plot",
    "widgets.filled",
)


def test_the_first_page_imports_only_what_it_shows() -> None:
    code = "import sys, diagnose.screens.app; print(*sys.modules)"
    loaded = set(subprocess.check_output([sys.executable, "-c", code], text=True).split())
    assert not loaded & set(HEAVY)
    assert not loaded & {f"diagnose.screens.{name}" for name in LATER}


def test_the_session_needs_no_terminal() -> None:
    code = "import sys, diagnose.workshop.session; print(*sys.modules)"
    assert not {"textual", "rich"} & set(subprocess.check_output([sys.executable, "-c", code], text=True).split())
