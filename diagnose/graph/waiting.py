"""The rule of what a mend waits for: a check that is named in `after:` can be made wherever the fault can be."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.graph.model import RUNNING, every_variant
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each check that a mend waits for and that could not be made first."""
    known = proof.knowledge
    for name, fault in known.faults.items():
        for number, awaited in enumerate(fault.mend.after):
            check = known.checks.get(awaited)
            if check is None:
                continue  # an unknown name is told where names are linked
            alike = any(fault.only.fits(engine) and not check.only.fits(engine) for engine in every_variant())
            if check.look == "first" and check.state not in RUNNING and not alike and name not in known.shown_by(check):
                continue
            what = (
                f"'{name}' is mended after '{awaited}'; that must be a first look, engine off, on every engine of the "
            )
            what += "fault, and must not show the fault itself"
            yield proof.problem("mend-after", what, "faults", name, "mend", "after", str(number))
