"""What hands did to the engine of a worked case, held against what is really wrong with it and what the case expects.

The mends that cured are held in `check_expectation`. Here are those that were made in vain, and the screws: which
were turned, which way, and whether they went back to their record.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diagnose.graph.model import Case, Knowledge, fault_of
from diagnose.reason.cases import CaseRun
from diagnose.reason.steps import DONE

_CURES = {"rich": "leaner", "lean": "richer", "open": "out", "shut": "in"}


def otherwise(known: Knowledge, case: Case, run: CaseRun) -> Iterator[str]:
    """Yield a sentence for each turn that nothing called for, and for going back where it was not expected."""
    if case.expect is None:
        return
    vain = tuple(s.id for s in run.steps if s.kind == "mend" and s.answer == DONE and s.id not in run.verdict.mended)
    if vain != case.expect.in_vain:
        yield f"mended in vain: {_listed(vain)}; expected: {_listed(case.expect.in_vain)}"
    turned = tuple(f"{one.screw} {one.way}" for one in run.adjustments)
    wanted = case.expect.turned
    if wanted and turned != wanted:
        yield f"turned: {_listed(turned)}; expected: {_listed(wanted)}"
    for one in () if wanted else dict.fromkeys(turned):
        if one not in set(_called_for(known, case)):
            yield f"the {one} cures nothing that is wrong here; where it is meant, the case says 'turned: [{one}]'"
    back = any(step.kind == "restore" and step.id in known.preparations for step in run.steps)
    if back != case.expect.back:
        went = "went" if back else "did not go"
        yield f"the screws {went} back to the record, and the case says 'back: {str(case.expect.back).lower()}'"


def _called_for(known: Knowledge, case: Case) -> Iterator[str]:
    """Yield the turns that put right what is wrong: of each true fault of a screw."""
    for one in case.faults or ():
        for name in [one] if isinstance(one, str) else one:
            fault = known.faults[fault_of(name)]
            if fault.turned:
                yield f"{fault.screw} {_CURES.get(str(fault.setting), '')}"


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names) or "nothing"
