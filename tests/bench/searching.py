"""What one key of a search takes among two hundred symptoms: each phrase of drivers is typed letter by letter."""

from __future__ import annotations

import statistics
import time
from itertools import accumulate
from pathlib import Path

import msgspec
import yaml

from diagnose.graph.model import Knowledge
from diagnose.graph.seek import seeker

SYMPTOMS = 200
PHRASES = Path(__file__).parents[1] / "graph" / "drivers_say.yaml"


def many(knowledge: Knowledge) -> Knowledge:
    """Return the knowledge with its symptoms over and over, under names and words of their own."""
    shipped, made = list(knowledge.symptoms.items()), {}
    for number in range(SYMPTOMS):
        name, symptom = shipped[number % len(shipped)]
        turn = number // len(shipped)
        said = tuple(f"{one} {one.split()[-1]}{turn}" if turn else one for one in symptom.people_say)
        made[f"{name}-{turn}"] = msgspec.structs.replace(symptom, people_say=said)
    return msgspec.structs.replace(knowledge, symptoms=made)


def milliseconds(knowledge: Knowledge) -> dict[str, float]:
    """Return the median and the 99th percentile over all keys."""
    finder = seeker(many(knowledge), "symptoms")
    taken = []
    for phrase in yaml.safe_load(PHRASES.read_text("utf-8"))["strange"]:
        for typed in accumulate(phrase):
            before = time.perf_counter()
            finder.find(typed)
            taken.append(1000 * (time.perf_counter() - before))
    return {
        f"a key of a search, {SYMPTOMS} symptoms: median (ms)": statistics.median(taken),
        f"a key of a search, {SYMPTOMS} symptoms: 99th percentile (ms)": statistics.quantiles(taken, n=100)[-1],
    }
