"""The table of parts as a page: ``python -m diagnose.graph.parts_page docs/parts.md`` writes it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

from diagnose.graph.model import Failing, Knowledge, fault_of
from diagnose.graph.model.failing import System

HEAD = """\
# By parts: every way in which something fails

Every part from the bottle to the wheels and from the transmitter to the barrel, and every way in which it fails, wears,
comes loose, clogs, is fitted wrongly, is set wrongly or is of the wrong kind: failure modes and effects. It is
judgement: common practice, no source. {counts}

*Shows* says under what; where nothing stands there, it always does. Behind a fault stands in brackets which form
of it a row is. *Strip* marks a look that opens the engine, the
carburettor or the clutch. The rows are `knowledge/failings/`, the parts `knowledge/parts.yaml`; `diagnose list parts`
lists them with those of your own folders. This page is made from them.
"""

TITLES = "| it | complaints | shows | fault | how it is seen | taken for |\n|---|---|---|---|---|---|\n"


def page(known: Knowledge) -> str:
    """Return the whole table, and at its end the rows for which there is no fault."""
    without = {name: row for name, row in known.failings.items() if row.fault is None}
    faults = len({fault_of(row.fault) for row in known.failings.values() if row.fault})
    counts = (
        f"{len(known.failings)} rows over {len(known.parts)} parts; {faults} faults stand for"
        f" {len(known.failings) - len(without)} of them."
    )
    made = [HEAD.format(counts=counts)]
    for system in get_args(System):
        if parts := [name for name, part in known.parts.items() if part.system == system]:
            made.append(f"## {_title(system)}\n")
            made += [_part(known, name) for name in parts]
    made.append("## Without a fault\n\nWhat the knowledge has no fault for, and why.\n")
    made.append("\n".join(f"- {about(known, row)}. *{row.because}*" for row in without.values()) + "\n")
    return "\n".join(made)


def about(known: Knowledge, row: Failing) -> str:
    """Return what a row is about as one phrase: 'the tank: has split at a seam'."""
    return f"{known.parts[row.part].name}: {row.fails}"


def _part(known: Knowledge, name: str) -> str:
    part = known.parts[name]
    rows = [row for row in known.failings.values() if row.part == name]
    return f"**{_title(part.name)}.** {part.does}\n\n{TITLES}" + "".join(_row(known, row) for row in rows)


def _row(known: Knowledge, row: Failing) -> str:
    cells = (
        row.fails,
        "; ".join(known.symptoms[symptom].name for symptom in row.symptoms),
        ", ".join(condition.replace("-", " ") for condition in row.when),
        stands(known, row.fault) if row.fault else "none",
        "; ".join(_seen(known, row)),
        known.faults[row.taken_for].name if row.taken_for in known.faults else row.taken_for,
    )
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |\n"


def stands(known: Knowledge, hypothesis: str) -> str:
    """Return what a fault is called, and behind it in brackets its form where one is meant."""
    fault, _, form = hypothesis.partition(".")
    about = known.faults[fault]
    return f"{about.name} ({about.forms[form].name})" if form else about.name


def _seen(known: Knowledge, row: Failing) -> Iterator[str]:
    yield row.seen
    if row.look:
        check = known.checks[row.look]
        yield f"*{check.name}*{', strip' if check.look == 'strip' else ''}"


def _title(text: str) -> str:
    return text[0].upper() + text[1:]


if __name__ == "__main__":
    from diagnose.graph.load import read_all

    Path(sys.argv[1]).write_text(page(read_all().knowledge), "utf-8")
