"""What taking back can do, and what it can't."""

from __future__ import annotations

HEADING = "Take back which one?"
BY_HAND = "What was done to the engine can't be taken back by a key. It is undone by hand."
NOTHING = f"There is nothing to take back. {BY_HAND}"
