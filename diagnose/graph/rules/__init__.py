"""Every rule of the knowledge: what it refuses, what holds instead, and why, kept in the YAML files beside this one.

`diagnose prove --explain` prints a rule's page, and ``docs/rules`` has them all: ``python -m diagnose.graph.rules
docs/rules`` writes them.
"""

from __future__ import annotations

from pathlib import Path
from textwrap import indent

import msgspec
from msgspec import Struct


class Rule(Struct, frozen=True, forbid_unknown_fields=True):
    """What is told of one rule. The texts are plain, in lines that fit a terminal."""

    refused: str
    holds: str
    why: str
    bad: str = ""
    """What is refused, in a file."""
    good: str = ""
    """The same as it holds."""


def rules() -> dict[str, Rule]:
    """Return every rule by its id, in the order of the ids."""
    found: dict[str, Rule] = {}
    for file in Path(__file__).parent.glob("*.yaml"):
        found |= msgspec.yaml.decode(file.read_bytes(), type=dict[str, Rule])
    return dict(sorted(found.items()))


def page(name: str, rule: Rule) -> str:
    """Return the page of a rule, as Markdown that can be read as it stands."""
    made = [f"# {name}\n"]
    for title, text, example in (
        ("What is refused", rule.refused, rule.bad),
        ("What holds", rule.holds, rule.good),
        ("Why", rule.why, ""),
    ):
        made += [f"## {title}\n", text, *(["For example:\n", indent(example, "    ")] if example else ())]
    return "\n".join(made)


def write(folder: Path) -> None:
    """Write the page of every rule into `folder`, and take away those of rules that are gone."""
    folder.mkdir(parents=True, exist_ok=True)
    pages = {f"{name}.md": page(name, rule) for name, rule in rules().items()}
    for gone in {file.name for file in folder.glob("*.md")} - pages.keys():
        (folder / gone).unlink()
    for file, text in pages.items():
        (folder / file).write_text(text, "utf-8")
