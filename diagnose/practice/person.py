"""Who looks, tries and answers at a simulated engine: how often he errs beyond what a look's grade says."""

from __future__ import annotations

from msgspec import Struct


class Person(Struct, frozen=True):
    """One kind of person. Every share is 0 to 1."""

    noise: float = 1.0
    """How often a look misses, or shows what is not there, over what its grade says."""
    same_slip: float = 0.0
    """The share of repeated looks that go as the first one went: the same eyes err alike."""
    retest_errs: float = 0.0
    """The share of re-tests that are told one step better or worse than they were."""
    misnames: float = 0.0
    """The share of owners who name another complaint of the same moment."""
    half_sure: float = 0.0
    """The share of answers that are given as not quite sure."""


USUAL = Person()

PERSONS: dict[str, Person] = {
    "usual": USUAL,
    "noisy": Person(noise=2.0),
    "repeats": Person(same_slip=0.5),
    "retest-errs": Person(retest_errs=0.1),
    "misnames": Person(misnames=0.1),
    "half-sure": Person(half_sure=0.5),
}
"""Who the advice is measured with, beside the usual one."""
