"""Where no browser is, what needs one is left out; `.ci/axe` says so."""

from __future__ import annotations

from phones.hands import AXE, CHROMIUM

collect_ignore = [
    *([] if CHROMIUM.exists() else ["test_browser.py", "test_barriers.py", "test_class_browser.py"]),
    *([] if AXE.exists() else ["test_barriers.py"]),
]
