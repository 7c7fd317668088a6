"""What a change to the knowledge does to walks: every worked case and every fault, walked before it and after it.

A fault's walk begins with each complaint that the fault explains, on an engine that has it, and at which each look
shows what is likeliest. Walks that the change can't reach are not made again.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import Any, NamedTuple

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.compare import fewer
from diagnose.graph.model import CASES, Case, Fault, Variant, every_variant
from diagnose.graph.places import Path
from diagnose.graph.read import FilesRead
from diagnose.measure.drawn import SAID
from diagnose.measure.reach import Reach
from diagnose.measure.testability import likeliest
from diagnose.reason import events as ev
from diagnose.reason.cases import CaseRun, inline_engine, run_case
from diagnose.reason.scope import Scope
from diagnose.reason.walk import begin

UNREAD = frozenset({"alike", "drawings", "failings", "lessons", "parts", "words"})
UNREAD |= {"simulated_checks", "simulated_exceptions", "simulated_faults"}
"""The kinds of entry that no walk does what they say."""

TURNS = frozenset({"adjust"})
LOOKS = frozenset({"ask", "recheck"})


class Rewritten(Struct, frozen=True):
    """One thing that is written otherwise in an entry: where, what stood there, and what stands there now."""

    where: Path
    before: Any
    after: Any


class EntryChange(Struct, frozen=True):
    """An entry that is new, gone or written otherwise."""

    kind: str
    name: str
    how: str
    """``new``, ``gone``, ``replaced`` (written anew by a later layer) or ``changed``."""
    lines: tuple[Rewritten, ...] = ()


class WalkResult(Struct, frozen=True):
    """What one walk came to."""

    verdict: str
    mended: tuple[str, ...]
    looks: tuple[str, ...]
    minutes: float
    turns: tuple[str, ...]
    """The screws that were turned, in order."""
    before_needle: int | None
    """How many looks came before the first of them; None where none was turned."""


class Start(Struct, frozen=True):
    """What a symptom's walk owes when it begins, on the usual engine."""

    owed: tuple[str, ...]
    minutes: float
    unlooked: tuple[str, ...]
    """The faults that are to be looked for before a needle may be turned."""
    locks: tuple[str, ...]
    """Why else no needle may be turned then."""


class WalkChange(Struct, frozen=True):
    """A walk that is no longer the same; None where there was none, or is none any more."""

    about: str
    """A case's name, or the fault."""
    symptom: str
    before: WalkResult | None
    after: WalkResult | None
    fault: bool = False
    """It is about a fault, and not a case."""


class StartChange(Struct, frozen=True):
    """A symptom of which the walk begins otherwise."""

    symptom: str
    before: Start | None
    after: Start | None


class Review(Struct, frozen=True):
    """All that a change does."""

    entries: tuple[EntryChange, ...]
    fewer: tuple[str, ...]
    """A sentence for each fault that is looked for no longer."""
    starts: tuple[StartChange, ...]
    cases: tuple[WalkChange, ...]
    faults: tuple[WalkChange, ...]
    walked: int
    """How many walks were made again."""
    of: int
    """How many there are."""


class WalksMade(NamedTuple):
    """What the walks come to: the beginnings by symptom, the cases by name, the faults by complaint and fault."""

    starts: dict[str, Start]
    cases: dict[str, WalkResult]
    faults: dict[tuple[str, str], WalkResult]


def review(old: FilesRead, new: FilesRead) -> Review:
    """Say what becomes of every walk when `new` takes the place of `old`; both are proven."""
    entries = tuple(_entries(old, new))
    symptoms = _reached(old, new, entries)
    told = {name for change in entries if change.kind == CASES for name in (change.name,)}
    jobs = [(found, frozenset(symptoms), frozenset(told)) for found in (old, new)]
    if (os.cpu_count() or 1) > 1 and symptoms:
        with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
            before, after = pool.map(walks, *zip(*jobs, strict=True))
    else:
        before, after = (walks(*job) for job in jobs)
    return Review(
        entries,
        fewer(old.knowledge, new.knowledge) if symptoms else (),
        tuple(StartChange(name, one, other) for name, one, other in _differ(before.starts, after.starts)),
        tuple(
            WalkChange(name, _symptom(old, new, name), one, other)
            for name, one, other in _differ(before.cases, after.cases)
        ),
        tuple(
            WalkChange(key[1], key[0], one, other, fault=True)
            for key, one, other in _differ(before.faults, after.faults)
        ),
        len(after.cases) + len(after.faults),
        len(new.cases) + sum(len(fault.explains) for fault in new.knowledge.faults.values()),
    )


def walks(found: FilesRead, symptoms: frozenset[str], cases: frozenset[str]) -> WalksMade:
    """Walk what begins at one of these symptoms, and the named cases besides."""
    known, scopes = found.knowledge, dict[str, Scope]()

    def scope(engine: Variant) -> Scope:
        return scopes.setdefault(repr(engine), Scope(known, engine))

    starts = {name: _start(scope(Variant()), name) for name in known.symptoms if name in symptoms}
    made: dict[str, WalkResult] = {}
    for name, case in found.cases.items():
        if case.symptom in symptoms or name in cases:
            try:
                engine = inline_engine(case.engine if isinstance(case.engine, Mapping) else {})
                made[name] = _way(run_case(known, case, engine.variant, engine, scope(engine.variant)))
            except (DiagnoseError, RuntimeError) as error:  # it fits this knowledge no more, or comes to no end
                made[name] = WalkResult(str(error).split("\n")[0], (), (), 0.0, (), None)
    faults = {
        (symptom, name): _with_fault(scope(_engine(fault)), symptom, name)
        for name, fault in known.faults.items()
        for symptom in fault.explains
        if symptom in symptoms
    }
    return WalksMade(starts, made, faults)


def _engine(fault: Fault) -> Variant:
    """Return an engine that can have the fault: the usual one, where it can."""
    return next(one for one in (Variant(), *every_variant()) if fault.only.fits(one))


def _start(scope: Scope, symptom: str) -> Start:
    walk = begin(scope.knowledge, ev.Started(0.0, scope.knowledge.digest, symptom, "", scope.engine), scope)
    view = walk.view(0.0)
    locks = tuple(lock.because for lock in view.locks if not lock.faults)
    unlooked = tuple(sorted(fault for lock in view.locks for fault in lock.faults))
    return Start(tuple(line.check for line in view.owed), round(view.minutes_left, 2), unlooked, locks)


def _with_fault(scope: Scope, symptom: str, fault: str) -> WalkResult:
    """Walk on an engine with one fault, at which each look that names it shows what is likeliest."""
    walk = begin(scope.knowledge, ev.Started(0.0, "", symptom, "", scope.engine), scope)
    answers = {name: likeliest(walk, name, fault) for name, check in scope.checks.items() if fault in check.named()}
    case = Case(symptom, answers=dict(answers), faults=(fault,))
    try:
        return _way(run_case(scope.knowledge, case, scope.engine, scope=scope))
    except RuntimeError:
        return WalkResult("no end", (), (), 0.0, (), None)


def _way(run: CaseRun) -> WalkResult:
    looks = [number for number, step in enumerate(run.steps) if step.kind in LOOKS]
    turned = [number for number, step in enumerate(run.steps) if step.kind in TURNS]
    return WalkResult(
        run.verdict.outcome,
        tuple(run.verdict.mended),
        tuple(run.steps[number].id for number in looks),
        round(run.minutes, 1),
        tuple(run.steps[number].id for number in turned),
        sum(number < turned[0] for number in looks) if turned else None,
    )


def _differ(before: Mapping[Any, Any], after: Mapping[Any, Any]) -> Iterator[tuple[Any, Any, Any]]:
    """Yield each key with both of its values, where they are not the same."""
    for key in dict.fromkeys((*before, *after)):
        if before.get(key) != after.get(key):
            yield key, before.get(key), after.get(key)


def _symptom(old: FilesRead, new: FilesRead, case: str) -> str:
    return (new.cases.get(case) or old.cases[case]).symptom


def _entries(old: FilesRead, new: FilesRead) -> Iterator[EntryChange]:
    """Yield the entries that are not as they were."""
    for kind in dict.fromkeys((*old.entries, *new.entries)):
        before, after = old.entries.get(kind, {}), new.entries.get(kind, {})
        for name, one, other in _differ(before, after):
            lines = tuple(_lines(one, other)) if one is not None and other is not None else ()
            whole = (kind, name) in new.replaced and one is not None
            how = "new" if one is None else "gone" if other is None else "replaced" if whole else "changed"
            yield EntryChange(kind, name, how, lines)


def _lines(before: Any, after: Any, where: Path = ()) -> Iterator[Rewritten]:
    """Yield each part that is written otherwise."""
    if isinstance(before, dict) and isinstance(after, dict):
        for key, one, other in _differ(before, after):
            yield from _lines(one, other, (*where, key))
    elif before != after:
        yield Rewritten(where, before, after)


def _reached(old: FilesRead, new: FilesRead, entries: Iterable[EntryChange]) -> set[str]:
    """Return the symptoms of which a walk may come out otherwise, in the old knowledge or in the new."""
    found = set[str]()
    reaches = [(side, Reach(side.knowledge, side.knowledge.facts)) for side in (old, new)]
    for change in entries:
        if change.kind in UNREAD or change.kind == CASES:
            continue
        for side, reach in reaches:
            if change.name in side.entries[change.kind]:
                for line in filter(_walked, change.lines or (Rewritten((), None, None),)):
                    path = (change.kind, change.name, *line.where)
                    found |= reach.reached(path, side.entries[change.kind][change.name]) | reach.may_meet(path)
    return found


def _walked(line: Rewritten) -> bool:
    """Say whether a walk reads what was written otherwise; a text is read by people alone."""
    key = next(reversed(line.where), "")
    return key not in SAID or (key == "ask" and " " not in f"{line.before}{line.after}")
