"""What a club says of itself: where it runs, and which looks its own tracks make worth while early."""

from __future__ import annotations

import re
from typing import Annotated

from msgspec import Meta, field

from diagnose.graph.model.base import Model, Name, Short, Text


class Club(Model, frozen=True):
    """One club. `elevation` is that of its track, in m."""

    name: Short
    elevation: Annotated[float, Meta(ge=-500, le=6000, description="of the track, in m")] | None = None
    climate: Text | None = None
    look_early: tuple[Name, ...] = field(default=(), name="look early")
    """Checks that come first in every walk in which they can show anything."""
    because: Text | None = None
    """Why these looks come early."""
    folders: dict[Short, bool] = {}
    """Parts of its own folder, each laid on top of the rest when it is switched on."""


def is_part(name: str) -> bool:
    """Say whether a name is that of a folder in this one, and of nothing elsewhere."""
    return re.fullmatch(r"[^./\\][^/\\]*", name) is not None
