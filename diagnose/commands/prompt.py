"""What a person types at a plain prompt."""

from __future__ import annotations

import sys

from diagnose.commands import common


class Left(Exception):  # noqa: N818 - leaving is no error
    """The person leaves; what was answered is saved."""


def typed_line() -> str:
    """Read a line, without the space around it; raises `Left` at the end of the input."""
    common.prompt("> ")
    line = sys.stdin.readline()
    if not line:
        common.say()
        raise Left
    return line.strip()


def drop_typed_ahead() -> None:
    """At a terminal, drop what was typed before the question at hand was asked; a pipe is read as it comes."""
    try:
        from termios import TCIFLUSH, tcflush
    except ImportError:  # another system than Unix
        return
    if sys.stdin.isatty():
        tcflush(sys.stdin, TCIFLUSH)
