"""The smaller commands, the help, the completion, and what goes wrong."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import click
import pytest
from cli.running import Diagnose, write
from graph.sound_files import SOUND

from diagnose import __version__
from diagnose.cli import COMMANDS, cli, guarded
from diagnose.graph.wording import minutes, one_line

DOCS = Path(__file__).parents[2] / "docs" / "commands.md"


def found(name: str, group: click.Group = cli) -> click.Command:
    """Return a command of a group, which may import it only now."""
    command = group.get_command(click.Context(group), name)
    assert command is not None
    return command


def every_command() -> list[tuple[str, ...]]:
    """Return the words of every command, the group itself first."""
    every: list[tuple[str, ...]] = [()]
    for name in COMMANDS:
        command = found(name)
        every.append((name,))
        if isinstance(command, click.Group):
            given = [str(one.name).upper() for one in command.params if isinstance(one, click.Argument)]
            every += [(name, *given, inner) for inner in command.commands]
    return every


@pytest.mark.parametrize("words", every_command(), ids=lambda words: " ".join(words) or "diagnose")
def test_help_fits_a_screen_and_has_an_example(diagnose: Diagnose, words: tuple[str, ...]) -> None:
    found = diagnose(*words, "--help")
    lines = found.out.splitlines()
    assert found.code == 0
    assert len(lines) <= 23  # and the prompt below
    assert max(map(len, lines)) <= 80
    assert "Example" in found.out


@pytest.mark.parametrize("words", every_command()[1:], ids=" ".join)
def test_the_docs_mention_every_command_and_option(words: tuple[str, ...]) -> None:
    text = DOCS.read_text("utf-8")
    command: click.Command = cli
    for word in words:
        assert isinstance(command, click.Group)
        command = command if word.isupper() else found(word, command)
    assert f"diagnose {' '.join(words)}" in text
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            for name in (*parameter.opts, *parameter.secondary_opts):
                assert re.search(rf"{name}\b", text), name


def test_the_version_is_told(diagnose: Diagnose) -> None:
    assert diagnose("--version").out == f"diagnose {__version__}\n"


def test_without_a_terminal_it_says_what_to_do_instead(diagnose: Diagnose) -> None:
    for words in ((), ("walk", "revs-hang")):
        found = diagnose(*words)
        assert (found.code, found.out) == (2, "")
        assert "diagnose walk SYMPTOM --plain" in found.err


def test_owed_lists_the_checks_quickest_gain_first(diagnose: Diagnose) -> None:
    found = diagnose("owed", "revs-hang", "--json").json
    assert {line["check"] for line in found["owed"]} == {"barrel-at-rest", "fail-safe", "tank-holds-pressure"}
    assert found["minutes"] == pytest.approx(3)
    out = diagnose("owed", "revs-hang").out
    assert "revs hang · three needles, box start, run in" in out
    assert "all that is owed: 3 min" in out


def test_owed_in_a_few_minutes_is_a_shorter_list_with_a_last_word(diagnose: Diagnose) -> None:
    found = diagnose("owed", "revs-hang", "--minutes", "1", "--json").json
    assert "tank-holds-pressure" not in {line["check"] for line in found["owed"]}
    assert found["last word"] == "stay out"
    assert "if you stop now: stay out." in diagnose("owed", "revs-hang", "--minutes", "1").out


def test_owed_counts_what_the_engine_was_looked_at_today(diagnose: Diagnose) -> None:
    diagnose("engine", "add", "blue truggy")
    diagnose("walk", "revs-hang", "--plain", "--engine", "blue truggy", typed="\n1\n1\n1\n")
    found = diagnose("owed", "revs-hang", "--engine", "blue truggy", "--json").json
    assert "tank-holds-pressure" not in {line["check"] for line in found["owed"]}
    assert found["engine"] == "blue truggy"


def test_why_says_what_a_check_can_show(diagnose: Diagnose) -> None:
    found = diagnose("why", "tank-holds-pressure", "--symptom", "revs-hang", "--json").json
    assert found["suspects"][0][0] == "pressure line off or split"
    out = diagnose("why", "tank-holds-pressure", "--symptom", "revs-hang").out
    assert "A healthy answer rules these out: pressure line off or split" in out
    unknown = diagnose("why", "tank", "--symptom", "revs-hang")
    assert (unknown.code, "there is no check 'tank'" in unknown.err) == (2, True)


@pytest.mark.parametrize(
    ("kind", "row"),
    [
        ("symptoms", {"id": "revs-hang", "when": "at idle", "name": "revs hang"}),
        ("checks", {"id": "fail-safe", "look": "first", "minutes": 0.5, "name": "fail-safe"}),
        ("faults", {"id": "front-seal-leaks", "area": "seals", "name": "front seal leaks"}),
        ("words", {"word": "lean", "say": "Too little fuel for the air."}),
    ],
)
def test_list_tells_what_the_knowledge_holds(diagnose: Diagnose, kind: str, row: dict[str, object]) -> None:
    assert row in diagnose("list", kind, "--json").json
    assert str(next(iter(row.values()))) in diagnose("list", kind).out


def test_list_tells_how_each_part_fails_and_where_no_fault_stands_for_it(diagnose: Diagnose, shipped: Path) -> None:
    assert (empty := diagnose("list", "parts")).out == "" == empty.err
    write(shipped, {name: SOUND[name] for name in ("parts.yaml", "failings/all.yaml")})
    rows = {row["id"]: row for row in diagnose("list", "parts", "--json").json}
    assert rows["receiver-holds"]["fault"] == "fail-safe-off"
    assert rows["receiver-wet"] == {
        "id": "receiver-wet",
        "part": "the receiver",
        "fails": "is wet",
        "fault": "none: It is renewed.",
    }
    assert "none: It is renewed." in diagnose("list", "parts").out


def test_prepare_lists_what_gets_a_car_ready(diagnose: Diagnose) -> None:
    assert diagnose("prepare").out == "bring-to-heat  4 min  bring to heat\n"
    assert diagnose("prepare", "--json").json == [{"id": "bring-to-heat", "name": "bring to heat", "minutes": 4.0}]


def test_prepare_tells_the_steps_of_one_with_its_numbers_tools_and_cautions(diagnose: Diagnose, tmp_path: Path) -> None:
    wash = (
        "format: 1\nwash: {name: wash it, minutes: 1, state: parked, on its own: true, tools: [rag, brush],\n"
        "  cautions: [fuel-is-poison], do: [Wash it for <hold-seconds>., Dry it.]}\n"
    )
    club = write(tmp_path / "club", {"preparations.yaml": wash})
    words = ("--knowledge", club, "prepare", "wash")
    assert diagnose(*words).out.splitlines() == [
        "wash it, 1 min",
        "You need: rag, brush",
        "Warning: fuel is poison. Never suck fuel through a line.",
        "1. Wash it for 10 to 15 s.",
        "2. Dry it.",
    ]
    assert diagnose(*words, "--json").json == {
        "id": "wash",
        "name": "wash it",
        "minutes": 1.0,
        "do": ["Wash it for 10 to 15 s.", "Dry it."],
        "tools": ["rag", "brush"],
        "cautions": ["fuel-is-poison"],
    }


def test_prepare_knows_no_other_names(diagnose: Diagnose) -> None:
    found = diagnose("prepare", "bring-to-haet")
    assert (found.code, found.out) == (2, "")
    assert "there is no preparation 'bring-to-haet'; did you mean 'bring-to-heat'" in found.err


def test_an_engine_is_added_listed_and_shown(diagnose: Diagnose) -> None:
    assert "no engine yet" in diagnose("engine", "list").out
    added = diagnose(
        "engine", "add", "red", "--needles", "2", "--starter", "pull", "--new", "--set", "low needle", "24"
    )
    assert added.out == "added: red, two needles, pull start, new\n"
    expected = {
        "name": "red",
        "needles": 2,
        "starter": "pull",
        "run in": False,
        "air screw": False,
        "own": {},
        "settings": {"low needle": 24.0},
        "notes": "",
    }
    shown = diagnose("engine", "show", "red", "--json").json
    assert {key: shown[key] for key in expected} == expected
    assert shown["now"] == shown["baseline"]["settings"] == {"low needle": {"hours": 24.0, "from": "closed"}}
    assert shown["last_good"] is None
    assert diagnose("engine", "list", "--json").json == [expected]
    assert "Low needle: 24 hours (2 turns) out from gently closed. Baseline: 24 hours." in (
        diagnose("engine", "show", "red").out
    )
    assert "red  two needles" in diagnose("engine", "list").out
    assert diagnose("engine", "add", "blue", "--json").json["name"] == "blue"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("engine", "add", "red"), "already"),
        (("engine", "add", " "), "needs a name"),
        (("engine", "add", "\x1b[2J"), "can't be shown"),
        (("engine", "add", "x" * 10_000), "characters"),
        (("engine", "add", "\u202ered"), "can't be shown"),
        (("engine", "show", "rde"), "did you mean 'red'"),
        (("engine", "add", "blue", "--needles", "4"), "--needles"),
        (("engine", "add", "blue", "--starter", "bx"), "--starter"),
        (("owed", "revs-hang", "--engine", "rde"), "did you mean 'red'"),
        (("owed", "revs-hnag"), "did you mean 'revs-hang'"),
        (("owed", "revs-hang", "--minutes", "-1"), "--minutes"),
        (("list", "symptom"), "symptoms"),
        (("wlk",), "No such command"),
        (("--knowledge", "nowhere", "list", "symptoms"), "there is no such folder"),
    ],
    ids=lambda part: part if isinstance(part, str) else "",
)
def test_bad_input_is_a_clear_line_and_exit_code_2(diagnose: Diagnose, words: tuple[str, ...], said: str) -> None:
    diagnose("engine", "add", "red")
    found = diagnose(*words)
    assert (found.code, found.out) == (2, "")
    assert said in found.err
    assert "\x1b" not in found.err
    assert "\u202e" not in found.err


def test_an_empty_knowledge_folder_is_a_clear_line(diagnose: Diagnose, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    found = diagnose("--knowledge", tmp_path / "empty", "list", "symptoms")
    assert (found.code, "no knowledge files here" in found.err) == (2, True)


def test_every_problem_of_an_overlay_is_told_at_once(diagnose: Diagnose, tmp_path: Path) -> None:
    club = write(
        tmp_path / "club",
        {
            "words.yaml": "format: 1\nrich: {say: [}\n",
            "symptoms/hole.yaml": "format: 1\nhole:\n  name: hole\n  when: at idle\n  does: x\n"
            "  retest: {do: [x], minutes: 1, state: parked}\n  route: {a: {sweep: [linkage], then: nowhere}}\n",
        },
    )
    found = diagnose("--knowledge", club, "owed", "revs-hang")
    lines = found.err.splitlines()
    assert found.code == 2
    assert any("words.yaml:2:" in line for line in lines)
    assert any("the route has no node 'nowhere'" in line for line in lines)


def test_hostile_text_of_an_author_reaches_no_terminal(diagnose: Diagnose, tmp_path: Path) -> None:
    club = write(tmp_path / "club", {"words.yaml": 'format: 1\nrich: {say: "[/x] [bold]much fuel"}\n'})
    assert "[/x] [bold]much fuel" in diagnose("--knowledge", club, "list", "words").out
    write(club, {"words.yaml": 'format: 1\nrich: {say: "\\e[2J\\u202E"}\n'})
    found = diagnose("--knowledge", club, "list", "words")
    assert (found.code, "control character" in found.err) == (2, True)
    assert "\x1b" not in found.err


def test_text_for_a_terminal_has_no_control_characters() -> None:
    assert one_line("a\x1b[2Jb\u202ec\x07\td\ne\u200fé · °C") == "a[2Jbc d eé · °C"


@pytest.mark.parametrize(("value", "said"), [(0, "0 min"), (0.5, "½ min"), (2, "2 min"), (2.5, "2½ min")])
def test_minutes_are_told_in_halves(value: float, said: str) -> None:
    assert minutes(value) == said


def test_a_fault_of_the_program_is_logged_and_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))

    def broken() -> None:
        raise KeyError("x")

    assert guarded(broken) == 70
    (log,) = tmp_path.glob("crash-*.log")
    assert "KeyError: 'x'" in log.read_text()
    assert str(log) in capsys.readouterr().err


def test_an_interrupt_leaves_with_its_code(monkeypatch: pytest.MonkeyPatch, diagnose: Diagnose) -> None:
    def interrupted() -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("diagnose.commands.plain.typed_line", interrupted)
    assert diagnose("walk", "revs-hang", "--plain").code == 130


def test_the_shell_completes_commands_and_ids(
    shipped: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def completed(line: str) -> list[str]:
        monkeypatch.setenv("COMP_WORDS", line)
        monkeypatch.setenv("COMP_CWORD", str(len(line.split())))
        monkeypatch.setenv("_DIAGNOSE_COMPLETE", "bash_complete")
        guarded_exit(lambda: cli.main([], prog_name="diagnose", complete_var="_DIAGNOSE_COMPLETE"))
        return [row.split(",", 1)[1] for row in capsys.readouterr().out.split()]

    assert "walk" in completed("diagnose ")
    assert completed("diagnose walk ") == ["revs-hang"]
    assert "tank-holds-pressure" in completed("diagnose why ")
    assert completed("diagnose --knowledge nowhere walk ") == []


def guarded_exit(run: object) -> None:
    with pytest.raises(SystemExit):
        run()  # type: ignore[operator]


HEAVY = {"networkx", "jsonschema", "textual", "rich", "yaml"}


@pytest.mark.parametrize(
    ("words", "allowed"),
    [
        (("owed", "revs-hang"), set()),
        (("list", "checks"), set()),
        (("prepare", "bring-to-heat"), set()),
        (("engine", "list"), set()),
        (("engine", "show", "red"), set()),
        (("needles", "red"), set()),
        (("day", "--temperature", "31C", "--humidity", "55", "--station-pressure", "1004hPa"), set()),
        (("fuel", "25", "10", "--from", "16", "10"), set()),
        (("walk", "revs-hang", "--plain"), set()),
        (("walk", "--answers", "CASE", "--json"), {"yaml"}),  # the case itself is YAML
    ],
    ids=lambda part: " ".join(part) if isinstance(part, tuple) else "",
)
def test_with_cached_knowledge_nothing_heavy_is_imported(
    diagnose: Diagnose, shipped: Path, tmp_path: Path, words: tuple[str, ...], allowed: set[str]
) -> None:
    case = tmp_path / "case.yaml"
    case.write_text("symptom: revs-hang\n")
    diagnose("engine", "add", "red")
    given = [str(case) if word == "CASE" else word for word in words]
    code = (
        "import sys; from pathlib import Path; import diagnose.graph.load as load; from diagnose.cli import cli\n"
        f"load.home = lambda: Path({str(shipped)!r}); load._prove = lambda knowledge, places: []\n"
        f"cli.main({given!r}, standalone_mode=False)\n"
        f"print(sorted({HEAVY!r} & sys.modules.keys()), file=sys.stderr)"
    )
    for _ in range(2):  # the first run fills the cache
        run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, input="", check=True)
    assert set(json.loads(run.stderr.replace("'", '"'))) <= allowed


def test_a_reader_that_goes_away_is_no_error(shipped: Path) -> None:
    code = (
        "import sys; from pathlib import Path; import diagnose.graph.load as load; from diagnose.cli import main\n"
        f"load.home = lambda: Path({str(shipped)!r}); load._prove = lambda knowledge, places: []\n"
        "sys.argv = ['diagnose', 'list', 'checks']; main()"
    )
    read, wrote = os.pipe()
    os.close(read)
    run = subprocess.run([sys.executable, "-c", code], stdout=wrote, stderr=subprocess.PIPE, text=True, check=False)
    os.close(wrote)
    assert run.stderr == ""
