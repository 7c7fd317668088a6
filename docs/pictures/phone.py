"""Draw `phone.png` again: a page of a walk on a phone, 390 by 844. It needs the extra `test`, and /usr/bin/chromium."""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parents[1] / "tests")]

from phones.at_the_door import serving
from phones.hands import browser, phone

if __name__ == "__main__":
    with serving() as served, browser() as opened:
        page = phone(opened, served, scheme="dark")
        page.get_by_role("button", name="Spins, but never fires").tap()
        page.locator("h1", has_text="?").or_(page.locator(".read")).first.wait_for()
        page.screenshot(path=str(HERE / "phone.png"))
