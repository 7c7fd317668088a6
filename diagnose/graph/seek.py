"""Finds what somebody means by a few words: in any order, with one slip a word, in British and American English.

Each entry is a few sentences: its name, what people say for it, and what it is like. A word of the search counts by how
rare it is among all entries (its inverse document frequency, after Spärck Jones, Journal of Documentation 28:11, 1972),
by how surely it was meant, and by what it was found in. On top of that counts how well all of it fits one sentence.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cache
from math import log
from typing import Literal, NamedTuple

from rapidfuzz import process
from rapidfuzz.distance import OSA
from snowballstemmer import stemmer

from diagnose.graph.model import Alike, Knowledge
from diagnose.graph.problem import did_you_mean
from diagnose.graph.say import say

Sought = Literal["symptoms", "checks", "looks", "faults", "words"]
"""`looks` are the checks with their answers: what was seen finds the look that shows it."""

NAME, SAID, TEXT = 1.0, 1.0, 0.55
"""What a word is worth in a name, in what people say, and in other texts."""

BEGUN, ALIKE, SLIP = 0.85, 0.6, 0.7
"""What a word is worth that was only begun, that means the same, and with one slip. Chosen on phrases of our own."""

UNKNOWN = 0.5
"""What a word that no entry has counts, beside one that a single entry has: people tell more than what is wrong."""

WHOLE = 1.5
"""What a whole sentence that fits is worth beside its words."""

LEAST = 0.3
"""Less than this share of the search found is nothing found."""

SHORTEST, BEGINNING = 4, 2
"""Letters from which on a slip, and a beginning, is taken for a word."""

APART = 3
"""Letters that each of two words written together has at least."""

SURELY = 0.85
"""An id as near as this in spelling is what was meant."""

_SAYS_NOTHING = """
a an the it its my our his her this that these those is are was were be been being am i we you he she they me and or
but if of to in on at for with by from as so then than very really just like there here do does did has have had get
gets got getting go goes going when while whenever after before into onto some any all keep keeps even still only
engine motor nitro
"""
_LITTLE = frozenset(_SAYS_NOTHING.split())

_CONTRACTED = re.compile(
    r"\b(?:(won|wouldn|don|doesn|didn|can|couldn|isn|wasn|aren|hasn|haven)['’]?t|cannot|can not)\b"
)
_AT_ONCE = re.compile(r"\b(?:straight|right) away\b")
"""No place on a track."""

_MORE = re.compile(r"^(rich|lean|hot|cold|slow|fast|high|low|weak|strong|rough|smooth)t?(?:er|est)$")
"""More of what a word says, which the stems of English leave as they are."""

_WORD = re.compile(r"[a-z0-9]+")

_english = stemmer("english")


class Fitting(NamedTuple):
    """An entry's id, and how well it fits: more is better."""

    id: str
    score: float


class Seeker:
    """Looks among entries of one kind. Made once; then a search takes a few milliseconds."""

    def __init__(self, entries: Mapping[str, Iterable[tuple[str, float]]], alike: Mapping[str, Alike]) -> None:
        told: list[tuple[str, float, frozenset[str]]] = []
        self._standing: dict[str, list[int]] = defaultdict(list)
        """The sentences that each word stands in."""
        self._holds: dict[str, dict[str, float]] = defaultdict(dict)
        self._known: dict[str, str] = {}
        """Every word as it is written, with its stem."""
        self._typed: dict[str, dict[str, float]] = {}
        """What was meant by each word that was typed before: with each key only the last one is new."""
        for name, texts in entries.items():
            for text, worth in texts:
                self._known |= dict(_words(text))
                words = frozenset(_stems(text))
                for word in words:
                    self._standing[word].append(len(told))
                    self._holds[word][name] = max(worth, self._holds[word].get(name, 0.0))
                told.append((name, worth, words))
        self._rare = {word: log(1 + len(entries) / len(holders)) for word, holders in self._holds.items()}
        self._sentences = [(name, worth, sum(self._rare[word] for word in words)) for name, worth, words in told]
        """Of each one whose it is, what it is worth, and what all its words count."""
        self._unknown = UNKNOWN * log(1 + len(entries))
        self._alike = _groups(alike)
        for name, group in alike.items():
            for text in (name, *group.people_say):
                self._known |= dict(_words(text))
        self._stems = frozenset(self._known.values())

    def find(self, typed: str, most: int = 10) -> list[Fitting]:
        """Return the entries that fit, best first; nothing where too little of what was typed is found anywhere."""
        words = {part: stem for word, stem in _words(typed) for part, stem in self._apart(word, stem)}
        meant = [dict(self._meant(word, stem)) for word, stem in words.items()]
        if not meant:
            return []
        surest = frozenset(word for one in meant for word, sure in one.items() if sure == max(one.values()))
        for group in self._alike:
            self._widen(meant, surest, group)
        weights = [self._counts(one) for one in meant]
        total = sum(weights)
        scores: dict[str, float] = defaultdict(float)
        for one, weight in zip(meant, weights, strict=True):
            best: dict[str, float] = {}
            for word, sure in one.items():
                for name, worth in self._holds.get(word, {}).items():
                    best[name] = max(best.get(name, 0.0), sure * worth)
            for name, share in best.items():
                scores[name] += share * weight / total
        whole = self._whole(meant, weights)
        found = [
            Fitting(name, score + WHOLE * whole.get(name, 0.0)) for name, score in scores.items() if score >= LEAST
        ]
        return sorted(found, key=lambda one: -one.score)[:most]

    def _counts(self, one: dict[str, float]) -> float:
        """Return what a word that was typed counts: as the surest of what it may mean that any entry has."""
        held = {word: sure for word, sure in one.items() if word in self._holds} or one
        return max(self._weight(word) for word, sure in held.items() if sure == max(held.values()))

    def _weight(self, word: str) -> float:
        return self._rare.get(word, self._unknown)

    def _apart(self, word: str, stem: str) -> tuple[tuple[str, str], ...]:
        """Return the two words that a word which nobody knows was written together from, or the word itself."""
        if stem in self._stems or word in self._known:
            return ((word, stem),)
        for end in range(APART, len(word) - APART + 1):
            two = _words(word[:end]) + _words(word[end:])
            if all(one in self._stems for _, one in two):
                return two
        return ((word, stem),)

    def _meant(self, word: str, stem: str) -> dict[str, float]:
        """Return the stems that may be meant by a word that was typed, each with how surely."""
        if stem in self._stems or len(word) < BEGINNING:
            return {stem: 1.0}
        if word not in self._typed:
            found = {self._known[known]: BEGUN for known in self._known if known.startswith(word)}
            for known, *_ in process.extract(word, self._known.keys(), scorer=OSA.distance, score_cutoff=1, limit=None):
                if min(len(known), len(word)) >= SHORTEST:
                    found.setdefault(self._known[known], SLIP)
            self._typed[word] = found or {stem: 1.0}
        return self._typed[word]

    def _widen(self, meant: list[dict[str, float]], typed: frozenset[str], group: tuple[frozenset[str], ...]) -> None:
        """Let what was typed mean the others of a group of words that are alike as well."""
        found = next((words for words in group if words <= typed), None)
        for one in meant if found else ():
            if found and found & one.keys():
                for other in group:
                    for word in other:
                        one.setdefault(word, ALIKE / len(other))

    def _whole(self, meant: list[dict[str, float]], weights: list[float]) -> dict[str, float]:
        """Return for each entry how well its best sentence fits: what both hold, by weight, of what either holds."""
        both: dict[int, float] = defaultdict(float)
        used: dict[int, float] = defaultdict(float)
        for one, weight in zip(meant, weights, strict=True):
            sure: dict[int, float] = {}
            for word in sorted(one, key=one.__getitem__):
                sure |= dict.fromkeys(self._standing.get(word, ()), one[word])
            for at, share in sure.items():
                both[at] += share * weight
                used[at] += weight
        total = sum(weights)
        best: dict[str, float] = {}
        for at, held in both.items():
            name, worth, heavy = self._sentences[at]
            fits = worth * held / (total + max(heavy - used[at], 0.0))
            if fits > best.get(name, 0.0):
                best[name] = fits
        return best


def seeker(known: Knowledge, kind: Sought) -> Seeker:
    """Return what looks among the symptoms, checks, faults or words."""
    made: dict[str, list[tuple[str, float]]] = {}
    match kind:
        case "symptoms":
            for name, symptom in known.symptoms.items():
                told = ((one, SAID) for one in symptom.people_say)
                like = [(say(text, known), TEXT) for text in (symptom.does, symptom.sounds) if text]
                made[name] = [(symptom.name, NAME), (name.replace("-", " "), NAME), *told, *like]
        case "checks":
            for name, check in known.checks.items():
                made[name] = [
                    (check.name, NAME),
                    *((one, SAID) for one in check.people_say),
                    (say(check.ask, known), TEXT),
                ]
        case "looks":
            for name, check in known.checks.items():
                answers = [(f"{check.name}: {say(one.say, known)}", SAID) for one in check.answers.values()]
                asked = [(check.name, NAME), (say(check.ask, known), TEXT)]
                made[name] = [*asked, *((one, SAID) for one in check.people_say), *answers]
        case "faults":
            for name, fault in known.faults.items():
                made[name] = [
                    (fault.name, NAME),
                    *((one, SAID) for one in fault.people_say),
                    (say(fault.what, known), TEXT),
                ]
        case "words":
            for name, word in known.words.items():
                made[name] = [
                    (name, NAME),
                    *((one, SAID) for one in (*word.also, *word.people_say)),
                    (say(word.say, known), TEXT),
                ]
    return Seeker(made, known.alike)


def could_be(typed: str, known: Knowledge, kind: Sought) -> str:
    """Return ``; did you mean …`` for an id that there is not: the nearest in spelling, or what its words find."""
    ids = getattr(known, kind)
    if near := did_you_mean(typed, ids, SURELY):
        return near
    found = [f"'{one.id}'" for one in seeker(known, kind).find(typed.replace("-", " "), 3)]
    *more, last = found or [""]
    return f"; did you mean {', '.join(more) + ' or ' if more else ''}{last}" if last else did_you_mean(typed, ids)


def _groups(alike: Mapping[str, Alike]) -> list[tuple[frozenset[str], ...]]:
    """Return each group of words that are alike, each of them as its stems."""
    return [tuple(frozenset(_stems(one)) for one in (name, *group.people_say)) for name, group in alike.items()]


def _stems(text: str) -> list[str]:
    """Return the stems of the words of a text."""
    return [stem for _, stem in _words(text)]


@cache
def _words(text: str) -> tuple[tuple[str, str], ...]:
    """Return the words of a text with their stems, without those that say nothing; of nothing else, all of them."""
    plain = _CONTRACTED.sub("not", text.casefold().replace("’", "'")).replace("'", "")
    plain = _AT_ONCE.sub("", plain)
    words = ["not" if word == "no" else _MORE.sub(r"\1", word) for word in _WORD.findall(plain)]
    telling = [word for word in words if word not in _LITTLE] or words
    return tuple(zip(telling, _english.stemWords(telling), strict=True))
