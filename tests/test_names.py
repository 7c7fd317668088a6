"""One word for one thing, in the code as on the screens."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import diagnose

CODE = Path(diagnose.__file__).parent


def types(source: str) -> Iterator[str]:
    """Yield the classes and type aliases that a module makes at its top level."""
    for node in ast.parse(source).body:
        if isinstance(node, ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            name = node.targets[0].id
            if not name.startswith("_") and not name.isupper() and name[0].isupper():
                yield name


def test_no_type_has_the_name_of_another() -> None:
    found: dict[str, list[str]] = defaultdict(list)
    for file in sorted(CODE.rglob("*.py")):
        for name in types(file.read_text("utf-8")):
            found[name].append(str(file.relative_to(CODE)))
    assert {name: files for name, files in found.items() if len(files) > 1 and not name.startswith("_")} == {}
    assert len(found) > 200


def test_the_scan_sees_classes_and_aliases() -> None:
    assert [*types('class A: ...\nBee = Literal["x"]\nCOUNT = 3\nx = 1\n_C = str | int')] == ["A", "Bee"]
