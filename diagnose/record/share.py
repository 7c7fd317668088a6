"""A club's counts as a file for another club: which mends have cured what, how often, and nothing else.

    format: 1
    cured:
      revs-hang:
        pressure-line-split: 4

No name, no date, no note is in it. Reading one checks every line against the knowledge, and refuses all of it for one
that is off.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.graph.places import Data, Parsed, parse
from diagnose.graph.problem import KnowledgeError, Place, Problem, did_you_mean
from diagnose.reason.learned import Counts

FORMAT = 1
LONGEST = 256 * 1024
"""Bytes: far more than every symptom with every fault takes."""
MOST = 100_000
"""Outings of one fault: a club that drives for years comes to hundreds."""
SHOWN = 20
"""Signs that are shown of what is no count."""
LAST_LINE = "# whole"
"""The last line: a file without it was cut off on its way."""
HEAD = "# Which mends have cured what, and on how many outings. No names, no dates, no notes.\n"


def text(counts: Counts) -> str:
    """Return the counts as the text of a share file."""
    lines = [f"format: {FORMAT}", "cured:"]
    for symptom, faults in counts.items():
        lines += [f"  {symptom}:", *(f"    {fault}: {many}" for fault, many in faults.items())]
    return HEAD + "\n".join([*lines, LAST_LINE]) + "\n"


def read(file: Path, knowledge: Knowledge) -> Counts:
    """Return the counts of a share file; raises `DiagnoseError` with every problem of it, and where each stands."""
    return checked(str(file), _text(file), knowledge)


def _text(file: Path) -> str:
    if not file.exists():
        raise DiagnoseError(f"there is no file {file}")
    if not file.is_file():
        raise DiagnoseError(f"{file} is no file: give the file that the other club wrote")
    try:
        with file.open("rb") as opened:
            data = opened.read(LONGEST + 1)
    except OSError as error:
        raise DiagnoseError(f"{file} can't be read: {error.strerror}") from error
    if len(data) > LONGEST:
        raise DiagnoseError(f"{file} is over {LONGEST // 1024} KiB, and no share file is: nothing was read from it")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise DiagnoseError(f"{file} is no text, so it is no share file: nothing was read from it") from error


def checked(name: str, content: str, knowledge: Knowledge) -> Counts:
    """Return the counts of a share file's text; raises `KnowledgeError` with every problem."""
    parsed = parse(name, content)
    problems = list(parsed.problems) or list(_problems(name, parsed, knowledge))
    if LAST_LINE not in content.split("\n")[-2:]:
        place = Place(name, content.count("\n") + 1, 1)
        what = f"the last line is not '{LAST_LINE}': the file was cut off, so ask for it again"
        problems = [Problem(place, "share", what)]
    if problems:
        raise KnowledgeError(problems)
    assert isinstance(parsed.data, dict)
    return {
        str(symptom): {str(fault): int(many) for fault, many in faults.items()}
        for symptom, faults in parsed.data["cured"].items()
    }


def _problems(name: str, parsed: Parsed, known: Knowledge) -> Iterator[Problem]:
    """Yield what is off in a share file that can be parsed."""
    data, top = parsed.data, Place(name, 1, 1)
    if not isinstance(data, dict) or "format" not in data:
        yield Problem(top, "share", "this is no share file: it does not begin with 'format: 1'")
        return
    if data["format"] != FORMAT or isinstance(data["format"], bool):
        newer = isinstance(data["format"], int) and data["format"] > FORMAT
        what = "a newer version of this program wrote it: install that one" if newer else f"the format is {FORMAT}"
        yield Problem(parsed.places.get(("format",), top), "share", what)
        return
    for extra in data.keys() - {"format", "cured"}:
        yield Problem(parsed.places[extra,], "share", f"'{extra}' has no place in a share file: take it out")
    cured = data.get("cured")
    if not isinstance(cured, dict) or not cured:
        yield Problem(parsed.places.get(("cured",), top), "share", "'cured:' must list symptoms, and it lists none")
        return
    for symptom, faults in cured.items():
        yield from _of_symptom(symptom, faults, parsed.places, known)


def _of_symptom(
    symptom: str, faults: Data, places: Mapping[tuple[str, ...], Place], known: Knowledge
) -> Iterator[Problem]:
    here = places["cured", symptom]
    if symptom not in known.symptoms:
        hint = did_you_mean(symptom, known.symptoms)
        yield Problem(here, "share", f"there is no symptom '{symptom}'{hint}")
        return
    if not isinstance(faults, dict) or not faults:
        yield Problem(here, "share", f"'{symptom}' must list faults with a count each")
        return
    able = {fault for fault, one in known.faults.items() if one.mechanical and symptom in one.explains}
    for fault, many in faults.items():
        there = places["cured", symptom, fault]
        if fault not in able:
            what = f"'{fault}' is no mechanical fault behind '{symptom}'{did_you_mean(fault, able)}"
            yield Problem(there, "share", what)
        elif not _is_count(many):
            yield Problem(there, "share", f"{str(many)[:SHOWN]!r} is no count: a whole number from 1 to {MOST:,}")


def _is_count(many: Data) -> bool:
    return isinstance(many, int) and not isinstance(many, bool) and 1 <= many <= MOST
