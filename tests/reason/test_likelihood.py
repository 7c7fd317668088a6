"""Likelihood in words and numbers: the words keep to the published bounds, and the number to its word."""

from __future__ import annotations

import pytest

from diagnose.reason.likelihood import BANDS, likely, odds, times, word

PUBLISHED = {"very likely": 0.90, "likely": 0.66, "as likely as not": 0.33, "unlikely": 0.10, "very unlikely": 0.0}
"""Guidance note for lead authors on consistent treatment of uncertainties (Mastrandrea and others, 2010), from memory.

There "unlikely" ends at 0.33 and "very unlikely" at 0.10; "about as likely as not" is 0.33 to 0.66.
"""


def test_the_words_hold_from_the_published_bounds_on() -> None:
    assert {said: least for least, said in BANDS} == PUBLISHED


def test_the_number_beside_a_word_lies_within_the_bounds_of_the_word() -> None:
    for share in (n / 1000 for n in range(1001)):
        part, whole = map(int, odds(share).split(" in "))
        assert word(part / whole) == word(share)


def test_a_greater_share_is_never_said_to_be_less_likely() -> None:
    said = [odds(n / 1000).split(" in ") for n in range(1001)]
    shares = [int(part) / int(whole) for part, whole in said]
    assert shares == sorted(shares)


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (1.0, "very likely, 99 in 100"),
        (0.67, "likely, 2 in 3"),
        (0.5, "as likely as not, 1 in 2"),
        (0.2, "unlikely, 1 in 5"),
        (0.0, "very unlikely, 1 in 100"),
    ],
)
def test_a_likelihood_is_said_as_people_say_it(share: float, said: str) -> None:
    assert likely(share) == said


@pytest.mark.parametrize(("share", "said"), [(0.95, "19 times in 20"), (0.5, "half of the time"), (0.05, "once in 20")])
def test_how_often_is_said_as_people_say_it(share: float, said: str) -> None:
    assert times(share) == said
