"""Every rule is seen to fire as people meet it: `diagnose prove` reads a folder of knowledge that breaks it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from cli.running import Diagnose
from graph.sound_files import SOUND

from diagnose.graph.rules import rules

Files = dict[str, str | bytes | None]
"""What is written in place of the sound files; None leaves one out."""

WORDS, FUEL, GUARDS, IDLE = "words.yaml", "checks/fuel.yaml", "checks/guards.yaml", "symptoms/idle.yaml"
FAILINGS, ROUNDS = "failings/all.yaml", "rounds.yaml"
MECHANICAL, SCREWS, FACTS, CASE = (
    "faults/mechanical.yaml",
    "faults/screws.yaml",
    "facts.yaml",
    "cases/pressure-line.yaml",
)
RICHER = "adjust: low needle, way: richer, hours: 1, follow: {idle stop: {way: in, hours: 0.5}}"

LINKAGE, FILTER_OFF = "    touches: [linkage]\n", "    takes off: [air-filter]\n"
AIR_FILTER: Files = {
    "openings.yaml": "format: 1\nair-filter: {name: the air filter, open: the air filter is off, close: filter on}\n"
}


def changed(file: str, old: str, new: str) -> Files:
    """Return one sound file with one piece of it replaced."""
    assert SOUND[file].count(old) == 1, f"{old!r} stands {SOUND[file].count(old)} times in {file}"
    return {file: SOUND[file].replace(old, new)}


def lean(also: str) -> Files:
    """Return the words with something else after `also:`."""
    return changed(WORDS, "[weak]", also)


def more(kind: str, text: str) -> Files:
    """Return another file of a kind."""
    return {f"{kind}/another.yaml": f"format: 1\n{text}"}


def forms(blocked: str, form: str, if_: str = "pressure-line-off: 0.9", more: str = "") -> Files:
    """Return a fault in two forms, of which one shows only while it is hot; `if_` is what its look says of it."""
    name = "  name: pressure line off or split\n"
    written = f"{name}  forms: {{off: {{name: off, share: 0.7}}, {blocked}: {form}}}\n"
    conditions = f"format: 1\nhot: {{name: hot, states: [warm]}}\n{more}"
    files = changed(MECHANICAL, name, written) | changed(FUEL, "pressure-line-off: 0.9", if_)
    return files | {"conditions.yaml": conditions}


def twins() -> Files:
    """Return a second symptom that the same faults explain alike."""
    faults = (MECHANICAL, SCREWS)
    files: Files = {file: re.sub(r"\{revs-hang: (\d)\}", r"{revs-hang: \1, hums: \1}", SOUND[file]) for file in faults}
    return files | {"symptoms/another.yaml": SOUND[IDLE].replace("revs-hang:", "hums:")}


def lesson(fault: str, right: str) -> Files:
    """Return a lesson on a new engine."""
    answers = f"{{a: {{say: yes, because: It is.{right}}}, b: {{say: no, because: It is not.}}}}"
    head = f"torn: {{name: torn, text: Look., symptom: revs-hang, faults: {{{fault}: 0.5}}, notice: [It is.],\n"
    return more("lessons", f"{head}  question: {{ask: Is it?, answers: {answers}}}}}\n")


def told_wrongly() -> Files:
    """Return a lesson whose owner says that a line came off slowly."""
    files = lesson("pressure-line-off", ", right: true")
    told = {name: str(text).replace("symptom:", "history: {onset: slowly}, symptom:") for name, text in files.items()}
    answers = (
        "{slowly: {say: slowly, healthy: true}, suddenly: {say: at once, if: {pressure-line-off: 0.9}, else: 0.3}}"
    )
    return told | more("history", f"onset: {{ask: Slowly?, answers: {answers}}}\n")


def moved() -> Files:
    """Return a route on which the needle that has moved is tuned, and the others go back."""
    asks = "then: marks}\n    marks: {ask: marks, right: back, moved: pinch}\n    back: {prepare: back, then: pinch}"
    look = "how: [Look.], why: To know., minutes: 2, state: parked, look: first, good for: day, answers: "
    answers = "{right: {say: yes, healthy: true}, moved: {say: no, if: {needle-moved: 0.9}, else: 0.03}}"
    fault = "area: needles, kind: screw, screw: high needle, setting: off, what: It moved., explains: {revs-hang: 1}"
    return {
        **changed(IDLE, "then: pinch}", asks),
        "checks/marks.yaml": f"format: 1\nmarks: {{name: marks, ask: Right?, {look}{answers}}}\n",
        "faults/moved.yaml": f"format: 1\nneedle-moved: {{name: needle moved, {fault},\n"
        "  mend: {do: [Go back.], minutes: 3, back: true, touches: [needles]}}\n",
        "preparations/back.yaml": "format: 1\nback: {name: back, do: [Go.], minutes: 3, state: parked, back: true}\n",
    }


RETEST = """    do: [Blip the throttle and listen to the revs fall.]
    minutes: retest-minutes
    state: running on the stand
"""

BREAKS: dict[str, Files] = {
    # the club's own page
    "early-strip-down": more("club", "ours: {name: ours, look early: [case-holds-pressure], because: It is quick.}\n"),
    "early-reason": more("club", "ours: {name: ours, look early: [barrel-at-rest]}\n"),
    "one-club": more("club", "ours: {name: ours}\ntheirs: {name: theirs}\n"),
    "early-shows-nothing": changed(FUEL, "pressure-line-off: 0.9", "pressure-line-off: 0.6")
    | more("club", "ours: {name: ours, look early: [tank-holds-pressure], because: It is quick.}\n"),
    # files
    "unreadable": {"words/nowhere.yaml": b""},
    "too-big": {"words/another.yaml": b"#" * (1 << 20) + b"\n"},
    "not-utf-8": {"words/another.yaml": b"format: 1\nlean: {say: 20 \xb0C}\n"},
    "unknown-file": {"wrods.yaml": "format: 1\n"},
    "no-entries": {"words/another.yaml": "- lean\n"},
    "format": {"words/another.yaml": "lean: {say: thin}\n"},
    "duplicate-id": more("words", "lean: {say: thin}\n"),
    "keep-the-rest": more("words", "thin: {keep the rest: true, say: thin}\n"),
    "syntax": lean("[weak"),
    "too-deep": lean("[" * 30 + "]" * 30),
    "one-document": more("words", "a: {say: b}\n---\nformat: 1\n"),
    "duplicate-key": lean("[weak], say: thin"),
    "key-not-text": more("words", "? [a]\n: {say: b}\n"),
    "alias": lean("*usual"),
    "anchor": lean("&usual [weak]"),
    "tag": lean("!usual [weak]"),
    "hostile-text": lean("[we\u202eak]"),
    # shapes
    "unknown-field": changed(WORDS, "{say:", "{says: thin, say:"),
    "missing-field": changed(FUEL, "  minutes: 2\n", ""),
    "wrong-type": lean("weak"),
    "unknown-value": changed(FUEL, "state: parked", "state: parkd"),
    "bad-name": more("cautions", "Two_Words: {name: two, say: Words.}\n"),
    "empty-value": changed(WORDS, "say: Too little fuel for the air.", "say: ''"),
    "too-long": changed(WORDS, "Too little fuel for the air.", "x" * 1201),
    "too-few": changed(FUEL, "  how: [Pinch the line close to the carburettor and count.]\n", "  how: []\n"),
    "too-many": changed(
        FUEL, "  how: [Pinch the line close to the carburettor and count.]\n", f"  how: [{'x, ' * 6}]\n"
    ),
    "out-of-range": changed(FUEL, "pressure-line-off: 0.9", "pressure-line-off: 90"),
    "node-kind": changed(IDLE, "{refer: Take the engine", "{send: Take the engine"),
    "does-not-fit": changed("engines/generic.yaml", "needles: 3", "needles: 3.0"),
    # entries
    "unknown-name": changed(SCREWS, "revs-hang: 4", "revs-hung: 4"),
    "fact-value": changed(FACTS, "[10, 15]", "[15, 10]"),
    "fact-source": changed(FACTS, ", source: a general handbook", ""),
    "single-value": changed(FACTS, "look-minutes: {value: 0.5,", "look-minutes: {range: [0.5, 1],"),
    "wrong-unit": changed(FUEL, "  minutes: look-minutes\n", "  minutes: low-turns\n"),
    "minutes": changed(FUEL, "  minutes: 2\n", "  minutes: 0\n"),
    "one-healthy": changed(FUEL, "<hold-seconds>, healthy: true", "<hold-seconds>, else: 0.1"),
    "healthy-takes-the-rest": changed(
        FUEL, "<hold-seconds>, healthy: true", "<hold-seconds>, healthy: true, else: 0.9"
    ),
    "no-else": changed(FUEL, "      else: 0.03\n", ""),
    "probability-sum": changed(FUEL, "      else: 0.03\n", "      else: 1\n    drips: {say: it drips, else: 0.1}\n"),
    "bands-ascend": changed(
        FUEL,
        "  answers:\n    holds: {say: holds for <hold-seconds>, healthy: true}",
        "  reading: {unit: s, least: 0, most: 5}\n  answers:\n    holds: {say: it holds, healthy: true, up to: 9}",
    ),
    "reading": changed(FUEL, "      say: bleeds away\n", "      say: bleeds away\n      up to: 3\n"),
    "opens": changed("checks/seals.yaml", "  opens: the carburettor\n", ""),
    "screw-setting": changed(SCREWS, "setting: lean", "setting: shut"),
    "first-look-because": changed(MECHANICAL, "  because: Only a pressure test of the open engine shows it.\n", ""),
    "form-shares": forms("split", "{name: split, share: 0.4}"),
    "way": changed(IDLE, "way: richer", "way: out"),
    "picture-size": changed("drawings.yaml", "    =|____|==", "    " + "=" * 40 + "|____|=="),
    "lesson-right": lesson("pressure-line-off", ""),
    "failing-stands": changed(FAILINGS, "because: It is renewed., ", ""),
    # safety
    "first-look-before-adjustment": changed(IDLE, "[linkage, radio, tank pressure]", "[linkage, radio]"),
    "no-first-look": changed(FUEL, "pressure-line-off: 0.9", "pressure-line-off: 0.3"),
    "strip-down-before-second-hour": changed(
        IDLE,
        "better: strip, same: strip, worse: strip}\n",
        "better: again, same: strip, worse: strip}\n"
        f"    again: {{{RICHER}, better: strip, same: strip, worse: strip}}\n",
    ),
    "one-hour": changed(IDLE, "hours: 1,", "hours: 1.5,"),
    "guard-before-running": changed(GUARDS, "  guard: barrel\n", ""),
    "guard-in-route": changed(
        IDLE,
        "ask: pinch-at-idle\n      dies at once: richer\n      short climb: strip\n",
        "ask: barrel-at-rest\n      rests: richer\n      held open: strip\n",
    ),
    "mend-after": changed(MECHANICAL, LINKAGE, f"{LINKAGE}    after: [barrel-at-rest]\n"),
    "last-word": changed(IDLE, "  runs away: true\n", "  runs away: true\n  race: race\n"),
    "opening-unsaid": AIR_FILTER | changed(MECHANICAL, "Shorten the", "Take the air filter off. Shorten the"),
    "open-while-turning": AIR_FILTER | changed(MECHANICAL, LINKAGE, f"    cranks: true\n{FILTER_OFF}{LINKAGE}"),
    "close-up-missing": AIR_FILTER | changed(MECHANICAL, LINKAGE, f"{FILTER_OFF}{LINKAGE}"),
    "cranks-unsaid": changed(MECHANICAL, "Shorten the", "Turn it with the starter. Shorten the"),
    "mend-runs": changed(MECHANICAL, "Shorten the", "Start it and look. Shorten the"),
    "guards-again": changed(MECHANICAL, "touches: [seals, radio]", "touches: [seals]"),
    # labels
    "running-unsaid": changed(
        IDLE, RETEST, RETEST.replace("Blip", "Start it, and blip").replace("running on the stand", "parked")
    ),
    "always-owed": changed("always.yaml", ", pressure-line-off", ""),
    "always-grounds": changed(GUARDS, "      grounds: the throttle does not shut\n", ""),
    "head-limits": changed(FACTS, "{value: 180,", "{value: 60,"),
    "sign-contradicts": changed(FUEL, "sign: {low needle: lean}", "sign: {low needle: rich}"),
    "needles-area": changed(SCREWS, "area: needles", "area: seals"),
    "worse-goes-on": changed(IDLE, "worse: strip}\n", "worse: richer}\n"),
    "moved-goes-back": moved(),
    "turn-borne-out": changed(IDLE, "short climb: strip", "short climb: richer"),
    "tool-of-fault": changed(MECHANICAL, "  name: barrel held open\n", "  name: barrel held open\n  tool: clamp\n"),
    "touches-own-area": changed(MECHANICAL, "    touches: [tank pressure]\n", ""),
    "healthy-shown": more(
        "simulated/checks", "barrel-at-rest: {trust: H, shows: [{answer: rests, above: {choke: 0.5}}]}\n"
    ),
    "low-needle-minds-stop": changed(IDLE, "way: in, hours: 0.5", "way: out, hours: 0.5"),
    "lean-needs-signs": changed(IDLE, RICHER, RICHER.replace("richer", "leaner").replace("way: in", "way: out")),
    "richer-needs-signs": changed(IDLE, "  sign: {low needle: lean}\n", ""),
    "dead-engine-adjusts": changed(IDLE, "runs away: true", "runs: false"),
    "cant-tell-adjusts": changed(IDLE, "dies at once: richer\n", "dies at once: richer\n      can't tell: richer\n"),
    "cant-tell-normal": {
        IDLE: SOUND[IDLE]
        .replace("dies at once: richer\n", "dies at once: richer\n      can't tell: hand over\n")
        .replace("hand over: {refer", "hand over: {nothing wrong: true, refer")
    },
    "few-faults": changed(IDLE, "  few: This is a small knowledge, made for tests.\n", ""),
    # routes
    "branch-missing": changed(IDLE, "      short climb: strip\n", ""),
    "node-else": changed(IDLE, "then: hand over", "else: hand over, then: hand over"),
    "no-end": changed(IDLE, "then: pinch", "then: outside"),
    "unreachable": changed(IDLE, "    hand over: {refer", "    lonely: {refer: Ask.}\n    hand over: {refer"),
    "door": {"symptoms/another.yaml": SOUND[IDLE].replace("revs-hang:", "hums:")},
    "not-shown": {
        "faults/another.yaml": SOUND[SCREWS]
        .replace("low-needle-lean", "high-needle-lean")
        .replace("low needle", "high needle")
    },
    "area-unswept": changed(IDLE, "[linkage, radio, tank pressure]", "[linkage, radio]"),
    "not-for-engine": changed(FUEL, "  good for: start\n", "  good for: start\n  only: {needles: 3}\n"),
    "no-mid": changed(IDLE, RICHER, "adjust: mid needle, way: richer, hours: 1"),
    "form-unseen": forms("swollen", "{name: swollen, share: 0.3, when: [hot]}"),
    "form-not-under": forms(
        "swollen", "{name: swollen, share: 0.3, when: [hot]}", "pressure-line-off: 0.9, pressure-line-off.swollen: 0.8"
    ),
    "condition-unmade": forms(
        "dark", "{name: dark, share: 0.3, when: [at-night]}", more="at-night: {name: at night}\n"
    ),
    # sense
    "presumed-away": changed(IDLE, "  runs away: true\n", "  runs away: true\n  excludes: [idles]\n"),
    "presumption-unsaid": changed(
        FUEL, "  ask: Does the tank hold pressure?\n", "  ask: Did it hold before it stopped?\n  remembered: true\n"
    ),
    "memory-is-no-look": changed(FUEL, "  good for: tank\n", "  good for: tank\n  remembered: true\n"),
    "act-unsaid": {
        "cautions.yaml": SOUND["cautions.yaml"].replace("fuel-is-poison: {", "fuel-is-poison: {act: [gloves], ")
    },
    "many-answers": changed(
        FUEL,
        "    holds: {say: holds for <hold-seconds>, healthy: true}\n",
        "    holds: {say: holds for <hold-seconds>, healthy: true}\n"
        + "".join(f"    leak {n}: {{say: leaks at place {n}, else: 0.01}}\n" for n in "abcd"),
    ),
    "implied-fits": changed(
        FUEL, "      say: bleeds away\n", "      say: bleeds away\n      implies: {case-holds-pressure: holds}\n"
    )
    | changed("checks/seals.yaml", "front-seal-leaks: ", "pressure-line-off: 0.9, front-seal-leaks: "),
    # rounds
    "round-of-one": changed(ROUNDS, "[barrel-at-rest, fail-safe]", "[barrel-at-rest, barrel-at-rest]"),
    "round-twice": changed(ROUNDS, "[barrel-at-rest, fail-safe]", "[barrel-at-rest, fail-safe, fail-safe]"),
    "round-state": changed(ROUNDS, "state: parked", "state: warm"),
    "round-first-looks": changed(ROUNDS, "fail-safe]", "fail-safe, case-holds-pressure]"),
    "round-guards": changed(ROUNDS, "[barrel-at-rest,", "[tank-holds-pressure, barrel-at-rest,"),
    "round-minutes": changed(ROUNDS, "minutes: 0.75", "minutes: 1"),
    # tidy
    "unused": more("cautions", "bees: {name: bees, say: They sting.}\n"),
    "caution-missing": changed("preparations.yaml", "  cautions: [hot-metal]\n", ""),
    "built-in-missing": changed("facts/more.yaml", "head-stop:", "head-halt:"),
    "twin-symptoms": twins(),
    "number-in-text": changed(FUEL, "  why: A tank", "  why: In 5 s a tank"),
    "word-missing": changed(FUEL, "[syringe, line clamp]", "[syringe, frobnicator]"),
    "lesson-fault": lesson("front-seal-leaks", ", right: true") | changed(MECHANICAL, "{revs-hang: 2}", "{}"),
    "lesson-story": told_wrongly(),
    "case": changed(CASE, "adjustments: 0", "adjustments: 1"),
    "case-engine": changed(CASE, "engine: {needles: 3, starter: box, run in: true}", "engine: blue truggy"),
    "failing-symptom": changed(MECHANICAL, "{revs-hang: 2}", "{}"),
    "failing-look": changed(FAILINGS, "look: tank-holds-pressure", "look: pinch-at-idle"),
    "fault-without-part": {
        FAILINGS: SOUND[FAILINGS]
        .replace("fault: pressure-line-off", "because: It is renewed.")
        .replace(", look: tank-holds-pressure", "")
    },
    "fault-without-case": {"cases/fail-safe-off.yaml": None},
}


def put(folder: Path, files: Files) -> Path:
    """Write files below `folder`; one called nowhere leads nowhere."""
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        if "nowhere" in name:
            (folder / name).symlink_to(folder / "no-such-file")
        elif content is not None:
            (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder


@pytest.fixture
def proves(diagnose: Diagnose, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Diagnose:
    """Run `diagnose prove` on the sound files with some of them changed, in place of the shipped ones."""

    def run(files: Files) -> object:
        folder = put(tmp_path / "knowledge", {**SOUND, **files})
        monkeypatch.setattr("diagnose.graph.load.home", lambda: folder)
        return diagnose("prove")

    return run  # type: ignore[return-value]


def fired(out: str) -> set[str]:
    """Return the rules that stand at the ends of the lines."""
    return set(re.findall(r"\(([a-z0-9-]+)\)$", out, re.MULTILINE))


def test_the_sound_files_keep_every_rule(proves: Diagnose) -> None:
    found = proves({})
    assert (found.code, fired(found.out)) == (0, set()), found.out


@pytest.mark.parametrize("rule", BREAKS)
def test_a_folder_that_breaks_the_rule_is_refused_by_its_name(proves: Diagnose, rule: str) -> None:
    found = proves(BREAKS[rule])
    assert found.code == 1
    assert rule in fired(found.out), found.out
    assert fired(found.out) <= rules().keys()


def test_a_folder_of_ones_own_is_proven_with_the_shipped_one(
    proves: Diagnose, diagnose: Diagnose, tmp_path: Path
) -> None:
    assert proves({}).code == 0
    club = put(tmp_path / "club", BREAKS["guards-again"])
    assert f"{club}/faults/mechanical.yaml" in (found := diagnose("prove", club)).out
    assert fired(found.out) == {"guards-again"}
    empty = put(tmp_path / "empty", {"notes.txt": "none"})
    assert fired(diagnose("prove", empty).out) == {"no-knowledge"}


def test_every_rule_is_seen_to_fire() -> None:
    assert {*BREAKS, "no-knowledge"} == rules().keys()


def test_a_rule_is_explained_with_what_is_refused_what_holds_and_why(diagnose: Diagnose) -> None:
    found = diagnose("prove", "--explain", "(guards-again)")
    assert found.code == 0
    assert found.out.startswith("# guards-again\n\n## What is refused\n\n")
    assert "\n## What holds\n" in found.out
    assert "\n## Why\n" in found.out
    assert "touches: [air, linkage]" in found.out
    assert diagnose("prove", "--explain", "one-hour", "--json").json["rule"] == "one-hour"


@pytest.mark.parametrize(
    ("name", "hint"), [("guard-again", "did you mean 'guards-again'"), ("?!", "a problem ends in the name of its rule")]
)
def test_a_rule_that_there_is_not_is_told_with_a_hint(diagnose: Diagnose, name: str, hint: str) -> None:
    found = diagnose("prove", "--explain", name)
    assert (found.code, found.out) == (2, "")
    assert hint in found.err


def test_what_nobody_notices_of_small_files_is_printed_with_its_place(proves: Diagnose, diagnose: Diagnose) -> None:
    assert proves({}).code == 0  # from here on the sound files are the shipped ones
    found = diagnose("prove", "--mutants", "3", "--json")
    told = json.loads(found.out)
    assert (found.code, told["drawn"]) == (1, 3)
    assert len(told["unnoticed"]) >= told["passed"] > 0  # the small files have few texts and cautions
    assert all(one["line"] > 1 and one["what"] for one in told["unnoticed"])
