"""How likely something is, in words and numbers: one table, for every screen, command and figure.

The words and their bounds are those of the guidance that the climate panel's authors go by (Mastrandrea and others,
2010; from memory). They are said with a number beside them, since readers understand the two together better than
words alone (Budescu and others, 2014).
"""

from __future__ import annotations

from math import log

BANDS = (
    (0.9, "very likely"),
    (0.66, "likely"),
    (0.33, "as likely as not"),
    (0.1, "unlikely"),
    (0.0, "very unlikely"),
)
"""From what share on each word holds."""
_SPOKEN = ((1, 100), (1, 50), (1, 20), (1, 10), (1, 5), (1, 4), (1, 3), (1, 2))
_ODDS = (*_SPOKEN, (2, 3), (3, 4), (4, 5), (9, 10), (19, 20), (49, 50), (99, 100))
"""What is said for a share: so many in so many."""


def word(share: float) -> str:
    """Return the word for a share, 0 to 1."""
    return next(word for least, word in BANDS if share >= least)


_ODDS_OF = {band: [pair for pair in _ODDS if word(pair[0] / pair[1]) == band] for _, band in BANDS}
"""The same, by the word that it goes with."""


def odds(share: float) -> str:
    """Return the nearest of the odds that people say ("2 in 3"), within the word's own band; nearest in log odds."""
    part, whole = _odds(share)
    return f"{part} in {whole}"


def times(share: float) -> str:
    """Say how often something happens: "9 times in 10", "once in 20"."""
    part, whole = _odds(share)
    if (part, whole) == (1, 2):
        return "half of the time"
    return f"once in {whole}" if part == 1 else f"{part} times in {whole}"


def _odds(share: float) -> tuple[int, int]:
    return min(_ODDS_OF[word(share)], key=lambda pair: abs(_logit(pair[0] / pair[1]) - _logit(share)))


def likely(share: float) -> str:
    """Say how likely something is: "likely, 2 in 3"."""
    return f"{word(share)}, {odds(share)}"


def _logit(share: float) -> float:
    held = min(max(share, 1e-6), 1 - 1e-6)
    return log(held / (1 - held))
