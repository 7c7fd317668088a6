"""Knowledge from the text of its files: every problem of every file at once, or the whole of it.

Nothing here opens a file: `load` does that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import Any, NamedTuple

from jsonschema_free import nothing
