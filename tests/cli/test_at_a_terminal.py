"""The command at a real terminal: whatever ends it, the terminal is given back as it was, and nothing is lost."""

from __future__ import annotations

import signal
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from cli.terminal import Terminal

pytestmark = pytest.mark.slow

Go = tuple[str, ...]
BENCH = ("walk", "revs-hang", "--engine", "blue")
ARROW_DOWN, ESC = "\x1b[B", "\x1b"
PAGES: dict[str, tuple[Go, Go]] = {
    "home": ((), ()),
    "search": ((), ("quit",)),
    "words": ((), ("?",)),
    "engine form": ((), ("\x1bOQ", "n", "red")),
    "day": ((), ("\x1bOS", "20")),
    "cautions first": (BENCH, ()),
    "history": (BENCH, ("\r",)),
    "bench": (BENCH, ("\r", "n")),
    "why": (BENCH, ("\r", "n", "w")),
    "time": (BENCH, ("\r", "n", "t", "8")),
    "trouble": (BENCH, ("!",)),
}
"""Pages, by the command and the keys that open them."""
SIGNALS = {signal.SIGTERM: 143, signal.SIGHUP: 129}


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home in which the knowledge was proven once, so that a start takes no longer than for a person."""
    folder = tmp_path_factory.mktemp("house")
    with Terminal(folder, "engine", "add", "blue") as terminal:
        assert terminal.ended() == 0
    return folder


def opened(terminal: Terminal, keys: Go) -> None:
    terminal.read("something is wrong")
    terminal.read()
    for key in keys:
        terminal.type(key)


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("how", ["SIGTERM", "SIGHUP", "^C"])
def test_whatever_ends_a_page_the_terminal_is_as_it_was(house: Path, name: str, how: str) -> None:
    command, keys = PAGES[name]
    with Terminal(house, *command) as terminal:
        opened(terminal, keys)
        if how == "^C":
            told = terminal.type("\x03")
            if "not saved" in told:  # a form is filled in: it is asked about once
                terminal.type("\x03")
            assert terminal.ended() == 0
        else:
            number = signal.Signals[how]
            terminal.process.send_signal(number)
            assert terminal.ended() == SIGNALS[number]
        assert terminal.as_before
        assert "Traceback" not in terminal.text
    assert not list(house.glob("crash-*"))


def test_a_window_that_is_closed_ends_it_quietly_and_what_was_answered_is_saved(house: Path) -> None:
    with Terminal(house, *BENCH) as terminal:
        opened(terminal, ())
        terminal.type("\r", "question 1 of")
        for key in (
            "n",
            "\r",
            "1",
        ):  # enter leaves the cautions, and answers nothing on the bench
            terminal.type(key)
        terminal.hang_up()
        assert terminal.ended() == 129
    assert not list(house.glob("crash-*"))
    (count,) = sqlite3.connect(house / "journal.sqlite3").execute("SELECT count(*) FROM events").fetchone()
    assert count >= 3


def test_a_dumb_terminal_is_shown_no_pages_and_a_walk_goes_on_in_lines(house: Path) -> None:
    with Terminal(house, TERM="dumb") as terminal:
        assert terminal.ended() == 2
        assert "\x1b" not in terminal.text
        assert "diagnose walk SYMPTOM --plain" in terminal.text
    with Terminal(house, *BENCH, TERM="dumb") as terminal:
        assert "\x1b" not in terminal.read("> ")
        terminal.type("q\r")
        assert terminal.ended() == 0


def test_without_colour_no_colour_is_sent(house: Path) -> None:
    with Terminal(house, NO_COLOR="1") as terminal:
        opened(terminal, ())
        terminal.type("\x03")
        assert terminal.ended() == 0
        colours = {one.partition("m")[0] for one in terminal.text.split("\x1b[38;2;")[1:]}
        greys = {one for one in colours if len(set(one.split(";")[:3])) == 1}
        assert colours == greys


PLAIN_ENDS: dict[str, tuple[Callable[[Terminal], object], int]] = {
    "^C": (lambda terminal: terminal.type("\x03"), 130),
    "^D": (lambda terminal: terminal.type("\x04"), 0),
    "SIGTERM": (lambda terminal: terminal.process.send_signal(signal.SIGTERM), -signal.SIGTERM),
    "SIGHUP": (lambda terminal: terminal.process.send_signal(signal.SIGHUP), -signal.SIGHUP),
}


@pytest.mark.parametrize("how", PLAIN_ENDS)
def test_whatever_ends_a_plain_walk_the_terminal_is_as_it_was(house: Path, how: str) -> None:
    end, code = PLAIN_ENDS[how]
    with Terminal(house, *BENCH, "--plain") as terminal:
        terminal.read("> ")
        terminal.read()  # a signal just before it waits for a line would be told of only with the next line
        end(terminal)
        assert terminal.ended() == code
        assert terminal.as_before
        assert "Traceback" not in terminal.text


def test_a_plain_walk_at_44_columns_breaks_no_word(house: Path) -> None:
    with Terminal(house, *BENCH, "--plain", columns=44) as terminal:
        terminal.read("> ")
        for typed in ("2 3", "", "", "", "1", "w", "i", "a", "", "!", "1", "t 8"):
            terminal.type(f"{typed}\n", "> ")
        terminal.type("q\n")
        narrow = terminal.text.replace("\r", "")
        assert terminal.ended() == 0
    assert max(map(len, narrow.split("\n"))) <= 44, [one for one in narrow.split("\n") if len(one) > 44]


def test_a_paste_of_100_kb_does_no_harm(house: Path) -> None:
    with Terminal(house) as terminal:
        opened(terminal, ())
        terminal.type("\x1b[200~" + "x y" * 33_000 + "\x1b[201~")
        terminal.type(ESC)
        terminal.type("?", "Words")
        terminal.type("\x03")
        assert terminal.ended() == 0
        assert terminal.as_before
    with Terminal(house, *BENCH, "--plain") as terminal:
        terminal.read("> ")
        terminal.type("x" * 3000 + "\n", "none of these")
        terminal.type("q\n")
        assert terminal.ended() == 0
