"""The skeleton of a club's own folder: `club.yaml`, a commented example of each kind, and a worked case."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diagnose.graph.model import CASES, KINDS
from diagnose.graph.read import FilesRead

SCHEMA = "schema"
"""The folder, in the club's, of the schemas that an editor helps by."""

CLUB = """\
# What your club says of itself. The line below lets an editor check this file as you type.
# yaml-language-server: $schema=schema/club.json
format: 1

our-club:
  name: {name}
  # elevation: 1400                # of your track, in m: it is put in where the day's air is asked for
  # climate: Hot and dry from May to September, with fine dust.
  # look early: [filter-by-eye]    # these come first in every walk in which they can show anything
  # because: Our track is dusty, and a filter lasts for one morning.
  # folders: {{winter: false}}       # parts of this folder that are switched on or off: winter/checks/..., for example
"""

EXAMPLE = """\
# An example from what is shipped. Take the # away, give it another id, and change what is yours.
# To change a shipped entry, keep its id, write 'keep the rest: true' and only what is other.
{more}# yaml-language-server: $schema={schema}/{kind}.json
format: 1

"""

MORE = {
    "checks": (
        "Exactly one answer is healthy. Each other says how likely it is: 'if:' with a fault, 'else:' with any other.",
    ),
    "faults": (
        "A fault of your own wants a check that can show it, its words in words.yaml, a row in failings.yaml, and a",
        "case in cases/. With 'acts like:' and the id of a shipped fault it can be practised, too.",
    ),
    "symptoms": ("A symptom of your own wants a case in cases/. The practice bench knows the shipped ones alone.",),
    "lessons": ("Its symptom is a shipped one; its faults may be your own, if they say what they act like.",),
    "rounds": ("A check stands in one round at most.",),
}
"""What else whoever writes an entry of these kinds wants to know at once."""

CASE = """\
# A worked case: a story, what there is to be seen, and how the walk must end. 'diagnose prove' walks it.
# A new fault wants one: write it first, then the fault.
# yaml-language-server: $schema=../{schema}/cases.json
"""


def skeleton(found: FilesRead, texts: Mapping[str, str], name: str) -> dict[str, str]:
    """Return the files of a new folder by their names; `texts` are those that `found` was read from."""
    made = {"club.yaml": CLUB.format(name=name)}
    for kind in KINDS:
        if kind != "club":
            made[f"{kind.replace('_', '/', 1)}.yaml"] = _example(found, texts, kind)
    case = min((text for place, text in texts.items() if f"{CASES}/" in place), key=len)
    made[f"{CASES}/an-example.yaml"] = CASE.format(schema=SCHEMA) + case
    return made


def _example(found: FilesRead, texts: Mapping[str, str], kind: str) -> str:
    """Return the shortest shipped entry of a kind, with a # before each of its lines."""
    entries = [list(_lines(found, texts, kind, name)) for name in getattr(found.knowledge, kind)]
    up = "../" if "_" in kind else ""
    shortest = min(entries, key=len, default=[])
    commented = "".join(f"# {line}\n" for line in shortest)
    more = "".join(f"# {line}\n" for line in MORE.get(kind, ()))
    return EXAMPLE.format(more=more, schema=f"{up}{SCHEMA}", kind=kind) + commented


def _lines(found: FilesRead, texts: Mapping[str, str], kind: str, name: str) -> Iterator[str]:
    """Yield the lines of an entry: from its id to the next line that is not set in."""
    place = found.places[kind, name]
    lines = texts[place.file].splitlines()[place.line - 1 :]
    yield lines[0]
    for line in lines[1:]:
        if line and not line.startswith(" "):
            return
        if line:
            yield line
