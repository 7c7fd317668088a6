"""A terminal of a test's own, in which the command runs as it does for a person."""

from __future__ import annotations

import errno
import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path
from types import TracebackType
from typing import Self

import diagnose

ROOT = Path(diagnose.__file__).parents[1]
QUIET = 0.4
"""Seconds without a sign after which the program has said what it says."""
LONG = 60.0
"""Seconds after which something hangs."""
BARE = {"PATH": os.environ["PATH"], "LANG": "C.UTF-8", "TZ": "UTC", "PYTHONPATH": str(ROOT)}


class Terminal:
    """Runs the command; what it wrote is in `out`."""

    def __init__(self, home: Path, *arguments: str, columns: int = 80, rows: int = 24, **env: str) -> None:
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.before = termios.tcgetattr(slave)
        self.slave = slave
        self.out = b""
        self.process = subprocess.Popen(
            [sys.executable, "-m", "diagnose", *arguments],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env={**BARE, "TERM": "xterm-256color", "DIAGNOSE_HOME": str(home), **env},
            start_new_session=True,
            preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, why: BaseException | None, at: TracebackType | None) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        for end in (self.master, self.slave):
            if end >= 0:
                os.close(end)

    @property
    def text(self) -> str:
        return self.out.decode("utf-8", "replace")

    def read(self, until: str = "", since: int = 0) -> str:
        """Read until a text has come (or, without one, until nothing more comes); return what came after `since`."""
        end = time.monotonic() + LONG
        while time.monotonic() < end:
            ready, _, _ = select.select([self.master], [], [], QUIET)
            if ready:
                try:
                    self.out += os.read(self.master, 65536)
                except OSError as error:
                    if error.errno != errno.EIO:
                        raise
                    break
            if until in self.text[since:] if until else not ready:
                return self.text[since:]
            if self.process.poll() is not None and not ready:
                break
        assert not until or until in self.text[since:], self.text[since:][-3000:]
        return self.text[since:]

    def type(self, text: str, until: str = "") -> str:
        """Type, and read what comes of it."""
        since = len(self.text)
        os.write(self.master, text.encode())
        return self.read(until, since)

    def hang_up(self) -> None:
        """Close the window."""
        os.close(self.slave)
        os.close(self.master)
        self.master = self.slave = -1

    def ended(self) -> int:
        """Return the exit code, once the program has ended by itself."""
        end = time.monotonic() + LONG
        while self.process.poll() is None and time.monotonic() < end:
            if self.master >= 0:
                self.read()
        return self.process.wait(1)

    @property
    def as_before(self) -> bool:
        """Say whether the terminal was given back as it was: lines are echoed, and it is on its usual screen."""
        left = self.out.rfind(b"\x1b[?1049l") > self.out.rfind(b"\x1b[?1049h") or b"\x1b[?1049h" not in self.out
        pointed = self.out.rfind(b"\x1b[?1000l") > self.out.rfind(b"\x1b[?1000h") or b"\x1b[?1000h" not in self.out
        return left and pointed and termios.tcgetattr(self.slave) == self.before
