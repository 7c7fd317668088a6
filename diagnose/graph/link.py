"""Cross references: every name that an entry uses is one that exists, and an entry by itself is whole.

Each rule takes the `Book` and yields problems. What the entries come to together is another matter: `prove` sees to it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any, NamedTuple, get_args

from diagnose.graph.done import everything
from diagnose.graph.model import (
    BOTH_GUARDS,
    KINDS,
    NOTHING_RUNS,
    Adjust,
    Ask,
    Case,
    Fault,
    Knowledge,
    Node,
    Prepare,
    Refer,
    Screw,
    Sweep,
    Way,
    exits,
)
from diagnose.graph.model.club import is_part
from diagnose.graph.places import Path
from diagnose.graph.problem import Place, Problem, did_you_mean
from diagnose.graph.say import REFERENCE

NOT_ANSWERS = ("can't tell", "no tool now")
"""Offered with every check, and so never written as its answers."""

RETEST = "re-test"
"""Under this key a case says how the re-tests come out; other keys are checks, preparations and mended faults."""

WAYS: dict[str, tuple[Way, Way]] = {"idle stop": ("in", "out")}
"""The ways that a screw turns; a needle goes leaner or richer."""

PICTURE_WIDTH, PICTURE_HEIGHT = 40, 12


_TOLD_APART = ("symptoms", "checks", "faults")
"""Kinds of which a name may stand where one of another is wanted."""


class Book(NamedTuple):
    """What the rules look at."""

    knowledge: Knowledge
    """The entries that fit the model."""
    names: Mapping[str, Iterable[str]]
    """Every id of each kind, those too whose entry does not fit."""
    areas: Iterable[str]
    """Every area that a fault has."""
    raw: Mapping[str, Mapping[str, Any]]
    """The entries as written."""
    places: Mapping[Path, Place]
    broken: Iterable[str] = ()
    """The kinds of which a file can't be read: what it would name is not known to be missing."""
    replaced: Collection[Path] = ()
    """The entries that stand in place of an earlier layer's."""

    def at(self, path: Path) -> Place:
        """Return where `path` stands, or the nearest part above it that stands somewhere."""
        while path and path not in self.places:
            path = path[:-1]
        return self.places.get(path, Place("knowledge", 1, 1))

    def problem(self, rule: str, what: str, *path: str) -> Problem:
        """Return a problem of the part that `path` leads to."""
        return Problem(self.at(path), rule, what)

    def unknown(self, kind: str, name: str, *path: str) -> Iterator[Problem]:
        """Yield a problem if nothing of `kind` is called `name`."""
        known = self.areas if kind == "areas" else self.names.get(kind, ())
        if name not in known and ("faults" if kind == "areas" else kind) not in self.broken:
            one = "question" if kind == "history" else kind.removesuffix("s")
            hint = self._meant(name, known) or ("; give it an entry in facts.yaml" if kind == "facts" else "")
            yield self.problem("unknown-name", f"unknown {one} '{name}'{hint}", *path)

    def _meant(self, name: str, known: Iterable[str]) -> str:
        """Say of what other kind there is something called so, or else what is nearest."""
        other = next((kind for kind, names in self.names.items() if name in names and kind.endswith("s")), "")
        return f"; that is one of the {other}" if other in _TOLD_APART else did_you_mean(name, known)

    def no_hypothesis(self, name: str, *path: str) -> Iterator[Problem]:
        """Yield a problem if there is no such fault, or no such form of it."""
        fault, _, form = name.partition(".")
        yield from self.unknown("faults", fault, *path)
        known = self.knowledge.faults.get(fault)
        if form and known is not None and form not in known.forms:
            hint = did_you_mean(form, known.forms)
            yield self.problem("unknown-name", f"'{fault}' has no form '{form}'{hint}", *path)


def problems(book: Book) -> Iterator[Problem]:
    """Yield everything that does not fit together, in no order."""
    yield from _texts(book)
    yield from _faults(book)
    yield from _checks(book)
    yield from _routes(book)
    yield from _history(book)
    yield from _club(book)
    yield from _others(book)


def case_problems(case: Case, book: Book, *path: str) -> Iterator[Problem]:
    """Yield every name in a worked case that does not exist."""
    yield from book.unknown("symptoms", case.symptom, *path, "symptom")
    for question, answer in case.history.items():
        yield from book.unknown("history", question, *path, "history", question)
        for said in answer if isinstance(answer, tuple) else [answer]:
            yield from _answer(book, "history", question, said, ("skipped",), *path, "history", question)
    for asked, given in case.answers.items():
        here = (*path, "answers", asked)
        if asked != RETEST and not any(asked in book.names[kind] for kind in ("preparations", "faults")):
            yield from book.unknown("checks", asked, *here)
        for one in given if isinstance(given, tuple) else [given]:
            if isinstance(one, str):
                yield from _answer(book, "checks", asked, one, NOT_ANSWERS, *here)
    for number, fault in enumerate(case.faults or ()):
        for name in [fault] if isinstance(fault, str) else list(fault):
            yield from book.no_hypothesis(name, *path, "faults", str(number))
    if case.expect is not None:
        yield from _names(book, "faults", case.expect.mended, *path, "expect", "mended")
        yield from _names(book, "faults", case.expect.in_vain, *path, "expect", "in vain")
        for key, said in case.expect.after.items():
            yield from _after(book, key, said, *path, "expect", "after", key)


def _after(book: Book, key: str, said: str, *path: str) -> Iterator[Problem]:
    """Yield a problem if nothing is called `key`, or if what comes after it is neither a claim nor a node."""
    kinds = ("checks", "faults", "preparations")
    nodes = [node for symptom in book.knowledge.symptoms.values() for node in symptom.route]
    things = [*get_args(Screw), *(name for kind in kinds for name in book.names[kind]), *nodes]
    if key not in things:
        what = f"no check, fault, screw, preparation or node is called '{key}'{did_you_mean(key, things)}"
        yield book.problem("unknown-name", what, *path)
    said_so = [NOTHING_RUNS, BOTH_GUARDS, *dict.fromkeys(nodes), *book.names["symptoms"]]
    if said not in said_so:
        what = f"after it comes '{NOTHING_RUNS}', '{BOTH_GUARDS}', a node or a symptom, not '{said}'"
        what += did_you_mean(said, said_so)
        yield book.problem("unknown-name", what, *path)


def _answer(book: Book, kind: str, name: str, answer: str, others: tuple[str, ...], *path: str) -> Iterator[Problem]:
    """Yield a problem if `answer` is none of the answers of the check or question `name`."""
    asked = book.knowledge.checks.get(name) if kind == "checks" else book.knowledge.history.get(name)
    if asked is not None and answer not in asked.answers and answer not in others:
        hint = did_you_mean(answer, asked.answers)
        yield book.problem("unknown-name", f"'{name}' has no answer '{answer}'{hint}", *path)


def _texts(book: Book) -> Iterator[Problem]:
    """See that every <fact-id> in a text names a fact."""

    def walk(data: Any, path: Path) -> Iterator[Problem]:
        if isinstance(data, str):
            for found in REFERENCE.finditer(data):
                yield from book.unknown("facts", found[1], *path)
        elif isinstance(data, dict):
            for key, part in data.items():
                if key != "picture":
                    yield from walk(part, (*path, key))
        elif isinstance(data, list):
            for number, part in enumerate(data):
                yield from walk(part, (*path, str(number)))

    for kind, entries in book.raw.items():
        yield from walk(entries, (kind,))


def _names(book: Book, kind: str, names: Iterable[str], *path: str) -> Iterator[Problem]:
    """Yield a problem for each item of a list that is no name of `kind`."""
    for number, name in enumerate(names):
        yield from book.unknown(kind, name, *path, str(number))


def _drawing(book: Book, where: str | None, *path: str) -> Iterator[Problem]:
    """Yield a problem if `where` is no drawing."""
    if where is not None:
        yield from book.unknown("drawings", where, *path)


def _faults(book: Book) -> Iterator[Problem]:
    swept = _swept(book)
    for name, fault in book.knowledge.faults.items():
        here = ("faults", name)
        for symptom in fault.explains:
            yield from book.unknown("symptoms", symptom, *here, "explains", symptom)
        yield from _names(book, "cautions", fault.mend.cautions, *here, "mend", "cautions")
        yield from _names(book, "checks", fault.mend.after, *here, "mend", "after")
        yield from _names(book, "areas", fault.mend.touches, *here, "mend", "touches")
        yield from _drawing(book, fault.mend.where, *here, "mend", "where")
        if fault.first_look == "none" and fault.because is None:
            what = f"'{name}' has no first look; say why with 'because:'"
            yield book.problem("first-look-because", what, *here, "first look")
        yield from _screw(book, name, fault)
        hint = did_you_mean(fault.area, swept)  # one that is like no other is meant: `prove` sees to it
        if fault.mechanical and fault.area not in swept and hint:
            what = f"unknown area '{fault.area}': no sweep of a route looks there{hint}"
            yield book.problem("unknown-name", what, *here, "area")
        for title, form in fault.forms.items():
            yield from _names(book, "conditions", form.when, *here, "forms", title, "when")


def _swept(book: Book) -> set[str]:
    """Return the areas of faults in which some route looks."""
    routes = (symptom.route.values() for symptom in book.knowledge.symptoms.values())
    named = {area for nodes in routes for node in nodes if isinstance(node, Sweep) for area in node.sweep}
    return named.intersection(book.areas)


def _screw(book: Book, name: str, fault: Fault) -> Iterator[Problem]:
    """See that a screw's fault says which screw and how it is set, and another fault neither."""
    said = fault.screw is not None and fault.setting is not None
    if fault.kind == "screw" and not said:
        yield book.problem("screw-setting", f"'{name}' is a screw's: it needs 'screw:' and 'setting:'", "faults", name)
    elif fault.mechanical and (fault.screw or fault.setting):
        what = f"'{name}' is mechanical: it has no 'screw:' and no 'setting:'"
        yield book.problem("screw-setting", what, "faults", name)
    elif said:
        fits = ("open", "shut") if fault.screw == "idle stop" else ("rich", "lean", "off")
        if fault.setting not in fits:
            what = f"the {fault.screw} can't be '{fault.setting}', only {' or '.join(fits)}"
            yield book.problem("screw-setting", what, "faults", name, "setting")


def _checks(book: Book) -> Iterator[Problem]:
    for name, check in book.knowledge.checks.items():
        here = ("checks", name)
        yield from _names(book, "cautions", check.cautions, *here, "cautions")
        yield from _drawing(book, check.where, *here, "where")
        yield from _names(book, "conditions", check.under or (), *here, "under")
        if (check.look == "strip") != (check.opens is not None):
            what = "a strip-down says what it 'opens:'" if check.look == "strip" else "a first look opens nothing"
            yield book.problem("opens", what, *here, "look")
        for title, answer in check.answers.items():
            yield from _implied(book, answer.implies, *here, "answers", title, "implies")


def _implied(book: Book, implies: Mapping[str, str], *path: str) -> Iterator[Problem]:
    """See that what is told of other checks names checks, and answers that they have."""
    for check, answer in implies.items():
        if path[:2] == ("checks", check):
            yield book.problem("implied-fits", f"'{check}' tells an answer of itself: name another check", *path, check)
        yield from book.unknown("checks", check, *path, check)
        yield from _answer(book, "checks", check, answer, (), *path, check)


def _history(book: Book) -> Iterator[Problem]:
    """See that a history question names symptoms, looks and answers that there are."""
    for name, question in book.knowledge.history.items():
        here = ("history", name)
        yield from _names(book, "symptoms", question.not_for, *here, "not for")
        for key, told in (("after", question.after), ("unless", question.unless)):
            for earlier, answers in told.items():
                yield from book.unknown("history", earlier, *here, key, earlier)
                for answer in answers:
                    yield from _answer(book, "history", earlier, answer, (), *here, key, earlier)
        for title, memory in question.answers.items():
            at = (*here, "answers", title)
            yield from _names(book, "symptoms", memory.not_for, *at, "not for")
            yield from _names(book, "checks", memory.look_early, *at, "look early")


def _club(book: Book) -> Iterator[Problem]:
    """See that a folder has one club, that what it looks at early are first looks, and that it says why.

    What it switches on or off are folders beside its page: nothing outside is read.
    """
    first: dict[str, str] = {}
    for name, club in book.knowledge.club.items():
        here = ("club", name)
        if (other := first.setdefault(book.at(here).file, name)) != name:
            what = f"'{name}' is a second club, beside '{other}'; a folder is that of one club: take one out"
            yield book.problem("one-club", what, *here)
        for folder in club.folders:
            if folder in KINDS or not is_part(folder):
                what = f"'{folder}' can't be switched: name a folder in this one that is called like no kind of file"
                yield book.problem("bad-name", what, *here, "folders", folder)
        yield from _names(book, "checks", club.look_early, *here, "look early")
        for check in club.look_early:
            if check in book.knowledge.checks and book.knowledge.checks[check].look != "first":
                what = f"'{check}' opens the engine up: only a first look can come early"
                yield book.problem("early-strip-down", what, *here, "look early")
        if club.look_early and not club.because:
            what = "say 'because:' beside 'look early:': a driver asks why"
            yield book.problem("early-reason", what, *here, "look early")


def _routes(book: Book) -> Iterator[Problem]:
    for name, symptom in book.knowledge.symptoms.items():
        here = ("symptoms", name)
        yield from _names(book, "cautions", symptom.cautions, *here, "cautions")
        yield from _names(book, "conditions", symptom.under or (), *here, "under")
        yield from _names(book, "cautions", symptom.retest.cautions, *here, "retest", "cautions")
        for title, node in symptom.route.items():
            at = (*here, "route", title)
            leads = exits(node) if node.otherwise is None else {"else": node.otherwise, **exits(node)}
            for key, target in leads.items():
                known = [*symptom.route, *(book.names["symptoms"] if isinstance(node, Ask) and key != "else" else ())]
                if target not in known and not (isinstance(node, Ask) and "symptoms" in book.broken):
                    what = f"the route has no node '{target}'{did_you_mean(target, known)}"
                    yield book.problem("unknown-name", what, *at, key)
            yield from _node(book, node, *at)


def _node(book: Book, node: Node, *at: str) -> Iterator[Problem]:
    match node:
        case Sweep():
            yield from _names(book, "areas", node.sweep, *at, "sweep")
        case Ask():
            yield from book.unknown("checks", node.ask, *at, "ask")
            for answer in node.branches:
                yield from _answer(book, "checks", node.ask, answer, NOT_ANSWERS, *at, answer)
            for answer, symptoms in node.rather.items():
                yield from _answer(book, "checks", node.ask, answer, (), *at, "rather", answer)
                yield from _names(book, "symptoms", symptoms, *at, "rather", answer)
        case Prepare():
            yield from book.unknown("preparations", node.prepare, *at, "prepare")
        case Adjust():
            yield from _way(book, node.adjust, node.way, *at)
            for screw, step in node.follow.items():
                yield from _way(book, screw, step.way, *at, "follow", screw)
        case Refer():
            yield from _names(book, "symptoms", node.see, *at, "see")


def _way(book: Book, screw: str, way: Way, *at: str) -> Iterator[Problem]:
    """See that a screw is turned a way that it goes."""
    ways = WAYS.get(screw, ("leaner", "richer"))
    if way not in ways:
        yield book.problem("way", f"the {screw} goes {' or '.join(ways)}, not {way}", *at, "way")


def _others(book: Book) -> Iterator[Problem]:
    for name, preparation in book.knowledge.preparations.items():
        yield from _names(book, "cautions", preparation.cautions, "preparations", name, "cautions")
        yield from _names(book, "checks", preparation.looks, "preparations", name, "looks")
        yield from _implied(book, preparation.implies, "preparations", name, "implies")
    for name, made in book.knowledge.rounds.items():
        yield from _names(book, "checks", made.checks, "rounds", name, "checks")
    for name, settings in book.knowledge.engines.items():
        yield from _drawing(book, settings.where, "engines", name, "where")
    for name, drawing in book.knowledge.drawings.items():
        yield from _names(book, "checks", drawing.apart, "drawings", name, "apart")
        rows = drawing.picture.splitlines()
        wide, high = max(map(len, rows), default=0), len(rows)
        if wide > PICTURE_WIDTH or high > PICTURE_HEIGHT:
            most = f"at most {PICTURE_WIDTH} columns and {PICTURE_HEIGHT} lines fit"
            what = f"the picture is {wide} columns wide and {high} lines high; {most}"
            yield book.problem("picture-size", what, "drawings", name, "picture")
    yield from _states(book)
    for done in everything(book.knowledge):
        yield from _names(book, "openings", done.work.takes_off, *done.path, "takes off")
        yield from _names(book, "openings", done.work.puts_back, *done.path, "puts back")
        for name in done.work.may_be_open:
            yield from book.unknown("openings", name, *done.path, "may be open", name)


def _states(book: Book) -> Iterator[Problem]:
    """See that every bench state that something is made in says how long it takes to get there."""
    k = book.knowledge
    used: list[tuple[str, Path]] = [(check.state, ("checks", name, "state")) for name, check in k.checks.items()]
    used += [(fault.mend.state, ("faults", name, "mend", "state")) for name, fault in k.faults.items()]
    used += [(symptom.retest.state, ("symptoms", name, "retest", "state")) for name, symptom in k.symptoms.items()]
    used += [(step.state, ("preparations", name, "state")) for name, step in k.preparations.items()]
    used += [(made.state, ("rounds", name, "state")) for name, made in k.rounds.items()]
    for state, path in used:
        if state not in book.names["bench"] and "bench" not in book.broken:
            yield book.problem("unknown-name", f"bench.yaml has no entry '{state}'", *path)
