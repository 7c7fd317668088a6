"""Who comes in, and how often: the join code, the signed cookie, the token of a form, and what is counted.

Nothing of it is on disk but the key that signs, so that a restart keeps everybody.
"""

from __future__ import annotations

import hmac
import os
import secrets
import time
from collections import defaultdict, deque
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from itsdangerous import BadData, Signer, TimestampSigner

SIGNS = "ABCDEFGHJKLMNPQRSTUVWXYZ234679"
"""What a code is made of: no two that look alike in bad print."""
LENGTH = 8
DAY = 24 * 3600
MINUTE = 60.0
MOST_KEYS = 2000
"""Addresses and visitors that are counted at once; those without anything in the last minute are dropped first."""


class PerMinute(NamedTuple):
    """What is let through in a minute."""

    wrong: int = 6
    """Wrong codes of an address; right ones are not counted."""
    wrong_of_all: int = 60
    joins: int = 30
    """Of an address: each join is a new visitor."""
    sent: int = 60
    """Forms of a visitor."""
    sent_by_address: int = 300
    sent_by_all: int = 900


class Bucket:
    """Counts what happened in the last minute, by whom; `most` for each."""

    def __init__(self, most: int, clock: Callable[[], float] = time.monotonic) -> None:
        self.most, self.clock = most, clock
        self._times: defaultdict[str, deque[float]] = defaultdict(deque)

    def full(self, who: str = "") -> bool:
        """Say whether this one has had enough."""
        return len(self._recent(who)) >= self.most

    def add(self, who: str = "") -> None:
        """Count one more."""
        self._recent(who).append(self.clock())
        if len(self._times) > MOST_KEYS:
            for other in [one for one in self._times if not self._recent(one)]:
                del self._times[other]

    def empty(self) -> None:
        """Forget all of it."""
        self._times.clear()

    def _recent(self, who: str) -> deque[float]:
        times, since = self._times[who], self.clock() - MINUTE
        while times and times[0] <= since:
            times.popleft()
        return times


class Door:
    """Lets visitors in who know the code, and knows them again."""

    def __init__(self, key: bytes, limits: PerMinute | None = None) -> None:
        limits = limits or PerMinute()
        self._cookies = TimestampSigner(key, salt="visitor")
        self._forms = Signer(key, salt="form")
        self.code = new_code()
        self.wrong, self.wrong_of_all = Bucket(limits.wrong), Bucket(limits.wrong_of_all)
        self.joins = Bucket(limits.joins)
        self.sent, self.sent_by_all = Bucket(limits.sent), Bucket(limits.sent_by_all)
        self.sent_by_address = Bucket(limits.sent_by_address)

    def renew(self) -> None:
        """Make a new code, and forget the wrong tries: those who are in stay in."""
        self.code = new_code()
        self.wrong.empty()
        self.wrong_of_all.empty()

    def may_try(self, address: str) -> bool:
        """Say whether an address may try a code, or has had its tries of this minute."""
        return not (self.wrong.full(address) or self.wrong_of_all.full() or self.joins.full(address))

    def opens(self, typed: str, address: str) -> bool:
        """Say whether this is the code; a wrong one is counted."""
        found = "".join(one for one in typed.upper() if one.isalnum())[: 2 * LENGTH]
        if hmac.compare_digest(found.encode(), self.code.encode()):
            self.joins.add(address)
            return True
        self.wrong.add(address)
        self.wrong_of_all.add()
        return False

    def may_send(self, visitor: str, address: str) -> bool:
        """Count a form, and let it through; what is refused is taken from nobody else."""
        by = ((self.sent, visitor), (self.sent_by_address, address), (self.sent_by_all, ""))
        if any(bucket.full(who) for bucket, who in by):
            return False
        for bucket, who in by:
            bucket.add(who)
        return True

    def cookie(self) -> str:
        """Return the cookie of a new visitor: nobody chooses their own id."""
        return self._cookies.sign(secrets.token_urlsafe(9)).decode()

    def visitor(self, cookie: str) -> str:
        """Return whose cookie this is; "" for a forged one, and for one that is older than a day."""
        with suppress(BadData):
            return self._cookies.unsign(cookie, max_age=DAY).decode()
        return ""

    def token(self, who: str) -> str:
        """Return what a form of this visitor carries: no other site can know it."""
        return self._forms.get_signature(who).decode()

    def knows(self, who: str, token: str) -> bool:
        """Say whether a form was made for this visitor."""
        return self._forms.verify_signature(who, token)


def new_code() -> str:
    """Return a code that nobody can guess."""
    return "".join(secrets.choice(SIGNS) for _ in range(LENGTH))


def spaced(code: str) -> str:
    """Return a code as it is read aloud: in two halves."""
    return f"{code[: LENGTH // 2]}-{code[LENGTH // 2 :]}"


def key(path: Path) -> bytes:
    """Return the key that signs, made once and readable by its owner alone. Raises `OSError`."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with suppress(FileExistsError):
        made = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(made, "w") as file:
            file.write(secrets.token_hex(32))
    return path.read_text("ascii").encode()
