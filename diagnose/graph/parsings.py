"""What files were read as, so that a text that is unchanged is not parsed again; pure, whoever keeps it."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256

import msgspec

from diagnose.graph.places import Data, Parsed, Path, parse
from diagnose.graph.problem import Place

_Packed = tuple[Data, dict[Path, tuple[int, int]]]
"""The data of a file, and line and column of its parts."""


class Parsings:
    """Files that were read, packed, by what stands in them. A file with a problem is none of them."""

    def __init__(self, kept: Mapping[bytes, bytes] | None = None) -> None:
        self.kept = kept or {}
        self.used: dict[bytes, bytes] = {}

    @property
    def new(self) -> bool:
        """Say whether something was parsed that was not kept."""
        return not self.used.keys() <= self.kept.keys()

    def parse(self, file: str, text: str) -> Parsed:
        """Return what `text` is; `file` is the name that places carry."""
        key = sha256(text.encode()).digest()
        packed = self.used.get(key) or self.kept.get(key)
        if packed is None:
            made = parse(file, text)
            if not made.problems:
                places = {path: (place.line, place.column) for path, place in made.places.items()}
                self.used[key] = msgspec.msgpack.encode((made.data, places))
            return made
        self.used[key] = packed
        data, places = _DECODER.decode(packed)
        return Parsed(data, {path: Place(file, line, column) for path, (line, column) in places.items()}, [])


_DECODER = msgspec.msgpack.Decoder(_Packed)
