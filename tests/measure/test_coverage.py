from __future__ import annotations

from graph.small import HERE, SMALL, fault, look, small

from diagnose.graph.model import Case, Form
from diagnose.measure.coverage import AlikeFaults, alike, uncovered


def test_a_fault_is_covered_by_a_case_that_it_is_the_truth_of() -> None:
    cases = [Case(HERE, faults=("line-off", {"low-rich": 1.0})), Case(HERE)]
    assert uncovered(SMALL, cases) == [name for name in SMALL.faults if name not in ("line-off", "low-rich")]


def test_each_form_of_a_fault_wants_a_case_and_the_fault_alone_is_none() -> None:
    forms = {"off": Form("off", 0.6), "split": Form("split", 0.4)}
    known = small(faults={"line-off": fault("tank", forms=forms)})
    others = [Case(HERE, faults=tuple(name for name in known.faults if name != "line-off"))]
    assert uncovered(known, others) == ["line-off"]
    assert uncovered(known, [*others, Case(HERE, faults=("line-off",))]) == ["line-off.off", "line-off.split"]
    assert uncovered(known, [*others, Case(HERE, faults=("line-off.split",))]) == ["line-off.off"]
    assert uncovered(known, [*others, Case(HERE, faults=("line-off.split", "line-off.off"))]) == []


def test_two_faults_that_every_check_answers_alike_are_listed_with_the_check_that_comes_nearest() -> None:
    both = {"line-off": 0.9, "lid-leaks": 0.85}
    known = small(checks={"hold": look(both), "suds": look({"lid-leaks": 0.2})})
    known = small(faults={"lid-leaks": fault("tank", mend={"do": ["Renew it."], "minutes": 1})}, known=known)
    found = [pair for pair in alike(known) if {pair.one, pair.other} == {"line-off", "lid-leaks"}]
    assert found == [AlikeFaults("line-off", "lid-leaks", "suds", found[0].distance)]
    assert 0.1 < found[0].distance < 0.4


def test_faults_with_one_mend_need_not_be_told_apart() -> None:
    same = small(checks={"suds": look({"lid-leaks": 0.2})})
    assert {pair[:2] for pair in alike(same)}.isdisjoint({("line-off", "lid-leaks")})


def test_faults_that_no_engine_has_together_need_not_be_told_apart() -> None:
    mends = {"line-off": "Push it on.", "lid-leaks": "Renew it."}
    known = small(checks={"hold": look(dict.fromkeys(mends, 0.9)), "suds": look({"lid-leaks": 0.2})})
    for name, do in mends.items():
        only = {"needles": 2 if name == "line-off" else 3}
        known = small(faults={name: fault("tank", mend={"do": [do], "minutes": 1}, only=only)}, known=known)
    assert {pair[:2] for pair in alike(known)}.isdisjoint({("line-off", "lid-leaks")})


def test_a_fault_that_a_check_names_in_its_forms_is_told_apart_by_it() -> None:
    forms = {"off": {"name": "off", "share": 0.5}, "split": {"name": "split", "share": 0.5}}
    named = look({"line-off.off": 0.9, "line-off.split": 0.85})
    known = small(faults={"line-off": fault("tank", mend={"do": ["Push it on."], "minutes": 1}, forms=forms)})
    known = small(faults={"lid-leaks": fault("tank", mend={"do": ["Renew it."], "minutes": 1})}, known=known)
    known = small(checks={"hold": named, "suds": look({"lid-leaks": 0.2})}, known=known)
    assert {pair[:2] for pair in alike(known)}.isdisjoint({("line-off", "lid-leaks"), ("lid-leaks", "line-off")})
