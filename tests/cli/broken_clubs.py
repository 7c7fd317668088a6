"""Ways in which a mentor breaks a club's folder: what is written, and in place of what."""

from __future__ import annotations

from typing import NamedTuple

FAULT = """\
format: 1
dust-sock-clogged:
  name: dust sock clogged
  area: tank pressure
  kind: mechanical
  what: Dust chokes it.
  explains: {revs-hang: 2}
  mend:
    do: [Wash it.]
    minutes: 2
    touches: [tank pressure]
"""

CHECK = """\
format: 1
sock-by-eye:
  name: dust sock
  ask: Is the sock clean?
  how: [Look at it.]
  why: A dirty sock holds the air back.
  minutes: 1
  state: parked
  look: first
  good for: tank
  answers:
    clean: {say: clean, healthy: true}
    dark:
      say: dark
      if: {dust-sock-clogged: 0.9}
      else: 0.02
"""

MORE = """\
format: 1
sock: {say: A sleeve over the filter that holds the dust back.}
"""

CASE = """\
symptom: revs-hang
answers: {sock-by-eye: dark}
faults: [dust-sock-clogged]
expect: {verdict: cured, mended: [dust-sock-clogged]}
"""

FAILING = """\
format: 1
sock: {name: dust sock, system: air filter, does: It holds the dust back.}
"""

ROW = """\
format: 1
sock-clogs:
  part: sock
  way: clogs
  fails: is full of dust
  fault: dust-sock-clogged
  symptoms: [revs-hang]
  seen by: look at it
  look: sock-by-eye
  taken for: low-needle-lean
"""

CLUB = """\
format: 1
ours:
  name: ours
  elevation: 1400
  look early: [sock-by-eye]
  because: It is dusty here.
"""

HOLDS: dict[str, str] = {
    "club.yaml": CLUB,
    "faults.yaml": FAULT,
    "checks.yaml": CHECK,
    "words.yaml": MORE,
    "parts.yaml": FAILING,
    "failings.yaml": ROW,
    "cases/sock.yaml": CASE,
}
"""A folder that holds, on the small knowledge of tests/graph/sound_files.py."""


class Slip(NamedTuple):
    """What stands in one file in place of something; `old` of "" takes the place of the whole file."""

    file: str
    old: str
    new: str | bytes | None
    """None where the file is taken away."""


SLIPS: dict[str, Slip] = {
    "a tab sets a line in": Slip("faults.yaml", "  area: tank", "\tarea: tank"),
    "an area with a slip": Slip("faults.yaml", "area: tank pressure", "area: tank presure"),
    "a complaint with a slip": Slip("faults.yaml", "revs-hang: 2", "rev-hangs: 2"),
    "a field with a slip": Slip("faults.yaml", "explains:", "explain:"),
    "a fault named with a slip in a check": Slip("checks.yaml", "{dust-sock-clogged", "{dust-sock-cloged"),
    "no format": Slip("faults.yaml", "format: 1\n", ""),
    "a format of another day": Slip("faults.yaml", "format: 1", "format: 2"),
    "a list in place of entries": Slip("faults.yaml", "", "- dust-sock-clogged\n"),
    "an empty file": Slip("faults.yaml", "", ""),
    "a file name with a slip": Slip("check.yaml", "", CHECK),
    "another ending": Slip("faults.yml", "", FAULT),
    "a colon in a text": Slip("faults.yaml", "what: Dust chokes it.", "what: Dust: it chokes."),
    "a quote that is never closed": Slip("faults.yaml", "what: Dust chokes it.", 'what: "Dust chokes it.'),
    "a bracket that is never closed": Slip("faults.yaml", "[Wash it.]", "[Wash it."),
    "an id twice": Slip("faults/more.yaml", "", FAULT),
    "a key twice": Slip("faults.yaml", "  kind: mechanical\n", "  kind: mechanical\n  kind: mechanical\n"),
    "the rest of nothing": Slip(
        "checks/more.yaml", "", "format: 1\ntank-hold-presure:\n  keep the rest: true\n  minutes: 1\n"
    ),
    "a pressure in a text": Slip("checks.yaml", "how: [Look at it.]", "how: [Blow with 0.3 bar.]"),
    "minutes below none": Slip("faults.yaml", "minutes: 2", "minutes: -1"),
    "minutes in words": Slip("faults.yaml", "minutes: 2", "minutes: half"),
    "more than certain": Slip("checks.yaml", "clogged: 0.9", "clogged: 1.4"),
    "two healthy answers": Slip("checks.yaml", "      say: dark\n", "      say: dark\n      healthy: true\n"),
    "an early look that is not there": Slip("club.yaml", "[sock-by-eye]", "[sock-by-ey]"),
    "an early look without a reason": Slip("club.yaml", "  because: It is dusty here.\n", ""),
    "an early look that opens the engine": Slip("club.yaml", "[sock-by-eye]", "[case-holds-pressure]"),
    "an elevation with its unit": Slip("club.yaml", "1400", "1400 m"),
    "an elevation beyond the hills": Slip("club.yaml", "1400", "14000"),
    "a part of the folder that is not there": Slip(
        "club.yaml", "  name: ours", "  name: ours\n  folders: {winter: true}"
    ),
    "two clubs": Slip("club.yaml", "format: 1\n", "format: 1\nothers: {name: others}\n"),
    "letters of another code": Slip("words.yaml", "", b"format: 1\nsock: {say: Caf\xe9.}\n"),
    "an answer gone that a shipped route needs": Slip(
        "checks/more.yaml",
        "",
        "format: 1\npinch-at-idle:\n  name: pinch\n  ask: What happens?\n  how: [Pinch.]\n  why: It tells.\n"
        "  minutes: 1\n  state: warm\n  look: first\n  good for: start\n  cautions: [hot-metal]\n  answers:\n"
        "    dies slowly: {say: it dies slowly, healthy: true}\n"
        "    dies at once: {say: it dies at once, if: {low-needle-lean: 0.9}, else: 0.05}\n",
    ),
    "a guard that guards no more": Slip(
        "checks/more.yaml", "", "format: 1\nfail-safe: {keep the rest: true, guard: non}\n"
    ),
    "a new fault without a case": Slip("cases/sock.yaml", "", None),
    "a new fault that no look shows": Slip(
        "checks.yaml", "", CHECK.replace("dust-sock-clogged: 0.9", "pressure-line-off: 0.9")
    ),
    "a case with an answer that is not there": Slip("cases/sock.yaml", "sock-by-eye: dark", "sock-by-eye: black"),
    "a sign that acts on the terminal": Slip("words.yaml", "", "format: 1\nsock: {say: A sleeve.\x1b[31m}\n"),
    "a map merged into another": Slip("faults.yaml", "  name: dust", "  <<: *usual\n  name: dust"),
    "an anchor and what repeats it": Slip(
        "words.yaml", "", "format: 1\nsock: &a {say: A sleeve.}\nband: *a\nstrap: &b {say: A band.}\nclip: *b\n"
    ),
    "thousands of aliases": Slip(
        "words.yaml", "", "format: 1\nsock: &a {say: A sleeve.}\n" + "".join(f"w{n}: *a\n" for n in range(3_000))
    ),
    "a tag": Slip("faults.yaml", "what: Dust chokes it.", "what: !!python/name:os.remove {it: too}"),
    "a space of another kind sets a line in": Slip("faults.yaml", "  area: tank", "\u00a0\u00a0area: tank"),
    "a line set in too far": Slip("faults.yaml", "  kind: mech", "   kind: mech"),
    "a colon without a space": Slip("faults.yaml", "  kind: mech", "  kind:mech"),
    "a text that starts with a star": Slip("faults.yaml", "Dust chokes it.", "*dust* chokes it"),
    "a text that starts with a dash": Slip("faults.yaml", "Dust chokes it.", "- dust chokes it"),
    "letters of sixteen bits": Slip("faults.yaml", "", FAULT.encode("utf-16")),
    "ends of line of another system, and a slip": Slip(
        "faults.yaml", "", FAULT.replace("tank pressure", "tank presure", 1).replace("\n", "\r\n")
    ),
    "a mark of the byte order, and a slip": Slip(
        "faults.yaml", "", "\ufeff" + FAULT.replace("tank pressure", "tank presure", 1)
    ),
    "a map where a list is wanted": Slip("faults.yaml", "do: [Wash it.]", "do: {first: Wash it.}"),
    "a list where a map is wanted": Slip("faults.yaml", "explains: {revs-hang: 2}", "explains: [revs-hang]"),
    "a list where one word is wanted": Slip("checks.yaml", "good for: tank", "good for: [tank]"),
    "yes in place of true": Slip("checks.yaml", "healthy: true", "healthy: yes"),
    "a decimal comma": Slip("checks.yaml", "else: 0.02", "else: 0,02"),
    "a decimal comma inside a map": Slip("checks.yaml", "clogged: 0.9", "clogged: 0,9"),
    "a share in per cent": Slip("checks.yaml", "clogged: 0.9", "clogged: 90 %"),
    "minutes with a unit": Slip("faults.yaml", "minutes: 2", "minutes: 2 min"),
    "minutes from and to": Slip("faults.yaml", "minutes: 2", "minutes: 2-3"),
    "minutes beyond a day": Slip("faults.yaml", "minutes: 2", "minutes: 1e300"),
    "an elevation in feet": Slip("club.yaml", "1400", "4600 ft"),
    "an elevation with a comma": Slip("club.yaml", "1400", "1,400"),
    "an id with capitals": Slip("checks.yaml", "sock-by-eye:", "Sock-By-Eye:"),
    "a shipped id with capitals": Slip(
        "checks/more.yaml", "", "format: 1\nTank-Holds-Pressure: {keep the rest: true, minutes: 2}\n"
    ),
    "a shipped entry without the rest": Slip("checks/more.yaml", "", "format: 1\ntank-holds-pressure: {minutes: 2}\n"),
    "the rest with a slip": Slip(
        "checks/more.yaml", "", "format: 1\ntank-holds-pressure: {keep-the-rest: true, minutes: 2}\n"
    ),
    "the rest of a fault among the checks": Slip(
        "checks/more.yaml", "", "format: 1\npressure-line-off: {keep the rest: true}\n"
    ),
    "the rest of one's own": Slip(
        "checks/more.yaml", "", "format: 1\nsock-by-eye: {keep the rest: true, minutes: 2}\n"
    ),
    "a club without an id": Slip("club.yaml", "", "format: 1\nname: ours\nelevation: 1400\n"),
    "a club of another day": Slip("club.yaml", "format: 1", "format: 2"),
    "a format in quotes": Slip("club.yaml", "format: 1", "format: '1'"),
    "a part of the folder that lies elsewhere": Slip(
        "club.yaml", "  name: ours", "  name: ours\n  folders: {../../elsewhere: true}"
    ),
    "a part of the folder called like a kind": Slip(
        "club.yaml", "  name: ours", "  name: ours\n  folders: {checks: true}"
    ),
    "a fault looked at early": Slip("club.yaml", "[sock-by-eye]", "[dust-sock-clogged]"),
    "an early look that shows nothing": Slip("checks.yaml", "{dust-sock-clogged: 0.9}", "{dust-sock-clogged: 0.05}"),
    "an ending in capitals": Slip("rounds.YAML", "", "format: 1\n"),
    "an ending behind the ending": Slip("rounds.yaml.txt", "", "format: 1\n"),
    "a fault that acts like itself": Slip("faults.yaml", "  explains:", "  acts like: dust-sock-clogged\n  explains:"),
    "two faults that act like each other": Slip(
        "faults.yaml",
        "",
        FAULT.replace("  explains", "  acts like: dust-cap-off\n  explains")
        + FAULT.replace("format: 1\n", "")
        .replace("dust-sock-clogged", "dust-cap-off")
        .replace("  explains", "  acts like: dust-sock-clogged\n  explains"),
    ),
    "an answer that tells itself": Slip(
        "checks.yaml", "healthy: true}", "healthy: true, implies: {sock-by-eye: dark}}"
    ),
    "a fact that is not there": Slip("checks.yaml", "[Look at it.]", "[Wait <our-time>.]"),
    "a torque in a text": Slip("checks.yaml", "[Look at it.]", "[Tighten to 2 Nm.]"),
    "a thousand of a unit in a text": Slip("checks.yaml", "[Look at it.]", "[At 30 000 rpm.]"),
    "a volume in a text": Slip("checks.yaml", "[Look at it.]", "[Fill 75 cm³.]"),
    "an abbreviated time in a text": Slip("checks.yaml", "[Look at it.]", "[Wait 10 mins.]"),
    "a share in a text": Slip("checks.yaml", "[Look at it.]", "[Add 20 per cent.]"),
}


def files(slip: Slip) -> dict[str, str | bytes]:
    """Return the folder that holds, with one slip in it."""
    made: dict[str, str | bytes] = dict(HOLDS)
    if slip.new is None:
        del made[slip.file]
        return made
    if not slip.old:
        return {**made, slip.file: slip.new}
    assert isinstance(slip.new, str)
    assert HOLDS[slip.file].count(slip.old) == 1, slip
    return {**made, slip.file: HOLDS[slip.file].replace(slip.old, slip.new)}
