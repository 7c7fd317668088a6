"""The planner against worked examples and brute force."""

import random
import statistics
from itertools import permutations

import pytest
from exact import optimum, random_sweep
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.reason.order import PlannedLook, Prospect, RoundLine, after, cost, efficiency, minutes, within
from diagnose.reason.planner import plan


def still(before: str, after: str) -> float:
    return 0.0


def look(name: str, took: float, shown: dict[str, float], state: str = "parked") -> PlannedLook:
    return PlannedLook(name, took, state, shown, 0.0, frozenset(fault for fault, p in shown.items() if p >= 0.65))


def bench(belief: dict[str, float], change=still) -> Prospect:
    return Prospect(belief, frozenset(belief), "parked", change)


def ids(looks: tuple[PlannedLook, ...]) -> list[str]:
    return [one.id for one in looks]


def test_the_basic_theorem_orders_by_probability_per_minute() -> None:
    # Heckerman, Breese and Rommelse 1995 (CACM 38(3)): sort by p/c. Numbers recomputed for this project:
    # p = (.5, .3, .2), c = (10, 3, 1): order 3, 2, 1, expected cost 8.4; the worst order costs 11.7.
    looks = [look("1", 10, {"a": 1.0}), look("2", 3, {"b": 1.0}), look("3", 1, {"c": 1.0})]
    against = bench({"a": 0.5, "b": 0.3, "c": 0.2})
    planned = plan(looks, against)
    assert ids(planned) == ["3", "2", "1"]
    assert cost(planned, against) == pytest.approx(8.4)
    assert max(cost(p, against) for p in permutations(looks)) == pytest.approx(11.7)


def test_overlapping_looks_are_not_taken_greedily() -> None:
    # Jensen et al. 2001 (AI EDAM 15), Fig. 1: causes .20/.25/.40/.15, A1={1,2}, A2={2,3}, A3={3,4}, unit costs.
    # Greedy with updating gives A2, A1, A3 at 1.50; the optimum is A3, A1 at 1.45.
    belief = {"1": 0.20, "2": 0.25, "3": 0.40, "4": 0.15}
    looks = [
        look("A1", 1, {"1": 1.0, "2": 1.0}),
        look("A2", 1, {"2": 1.0, "3": 1.0}),
        look("A3", 1, {"3": 1.0, "4": 1.0}),
    ]
    against = bench(belief)
    greedy = (looks[1], looks[0], looks[2])
    assert cost(greedy, against) == pytest.approx(1.50)
    planned = plan(looks, against)
    assert ids(planned) == ["A3", "A1"]
    assert cost(planned, against) == pytest.approx(1.45)


def test_a_bench_state_is_opened_only_when_its_cluster_pays() -> None:
    # Cost clusters (Ottosen and Jensen, arXiv 1203.3502); numbers recomputed for this project:
    # r: p .2, c 1; the cluster opens for 3: k1 (.5, 1), k2 (.3, 4). r, k1, k2 costs 5.4; k1 first 5.7.
    def change(before: str, after: str) -> float:
        return 3.0 if after == "stripped" and before != "stripped" else 0.0

    looks = [look("r", 1, {"r": 1.0}), look("k1", 1, {"k1": 1.0}, "stripped"), look("k2", 4, {"k2": 1.0}, "stripped")]
    against = bench({"r": 0.2, "k1": 0.5, "k2": 0.3}, change)
    planned = plan(looks, against)
    assert ids(planned) == ["r", "k1", "k2"]
    assert cost(planned, against) == pytest.approx(5.4)
    assert cost((looks[1], looks[0], looks[2]), against) > 5.4


def test_a_look_that_can_miss_is_repeated_by_the_index_rule() -> None:
    # Search with overlook (Chew 1967, crediting Blackwell): p = (.5, .3, .2), q = (.4, .8, .6), c = (1, 1, 2) gives
    # 2,1,1,1,3,2,1,1,3,1, recomputed for this project by dynamic programming over 14 searches.
    boxes = {
        "1": PlannedLook("1", 1, "parked", {"1": 0.4}, 0.0, frozenset("1")),
        "2": PlannedLook("2", 1, "parked", {"2": 0.8}, 0.0, frozenset("2")),
        "3": PlannedLook("3", 2, "parked", {"3": 0.6}, 0.0, frozenset("3")),
    }
    left = {"1": 0.5, "2": 0.3, "3": 0.2}
    order, missed = [], []
    for _ in range(10):
        best = max(boxes, key=lambda name: efficiency(boxes[name], left, "parked", still))
        order.append(best)
        left = {f: mass * (1 - boxes[best].shown.get(f, 0)) for f, mass in left.items()}
        missed.append(sum(left.values()))
    assert order == ["2", "1", "1", "1", "3", "2", "1", "1", "3", "1"]
    assert missed[:5] == pytest.approx([0.76, 0.56, 0.44, 0.368, 0.248])


@st.composite
def sweeps(draw: st.DrawFn) -> tuple[list[PlannedLook], Prospect]:
    """Return a small random sweep: 2 to 6 looks over 2 to 7 faults in three bench states."""
    faults = [f"f{n}" for n in range(draw(st.integers(2, 7)))]
    states = ["parked", "plug out", "running on the stand"]
    looks = []
    for n in range(draw(st.integers(2, 6))):
        named = draw(st.sets(st.sampled_from(faults), min_size=1, max_size=4))
        shown = {f: draw(st.sampled_from([0.7, 0.8, 0.9, 0.95])) for f in sorted(named)}
        state = draw(st.sampled_from(states))
        looks.append(
            PlannedLook(f"l{n}", draw(st.sampled_from([0.5, 1, 2, 3, 5])), state, shown, 0.03, frozenset(named))
        )
    weights = [draw(st.integers(1, 9)) for _ in faults]
    belief = {f: w / sum(weights) for f, w in zip(faults, weights, strict=True)}

    def change(before: str, after: str) -> float:
        return 0.0 if before == after else 0.5 + (after != "parked") * 0.5

    owed = frozenset(faults) & frozenset[str]().union(*(one.clears for one in looks))
    return looks, Prospect(belief, owed, "parked", change)


@settings(max_examples=150, deadline=None)
@given(sweeps())
def test_the_order_is_close_to_brute_force_and_covers_what_is_owed(sweep: tuple[list[PlannedLook], Prospect]) -> None:
    looks, against = sweep
    planned = plan(looks, against)
    best = optimum(looks, against)
    assert against.owed <= frozenset[str]().union(*(one.clears for one in planned))
    assert best - 1e-9 <= cost(planned, against) <= 1.25 * best


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_greedy_order_is_improved_till_it_is_all_but_the_best(seed: int) -> None:
    # Measured with seeds 1 to 4: 1.0003 to 1.0008, worst 1.084; without the single moves 1.0065 to 1.0082, worst 1.384.
    rng = random.Random(seed)
    ratios = []
    for _ in range(400):
        looks, against = random_sweep(rng)
        ratios.append(cost(plan(looks, against), against) / optimum(looks, against))
    assert min(ratios) >= 1 - 1e-9
    assert statistics.mean(ratios) < 1.001
    assert max(ratios) < 1.1


@pytest.mark.parametrize("rounds", [1, 2])
def test_an_order_with_rounds_in_it_is_all_but_the_best(rounds: int) -> None:
    # Measured with 200 sweeps of seeds 1 and 2: 1.0001 to 1.0019 in the mean, worst 1.188.
    rng = random.Random(3)
    ratios = []
    for _ in range(200):
        looks, against = random_sweep(rng, rounds)
        ratios.append(cost(plan(looks, against), against) / optimum(looks, against))
    assert min(ratios) >= 1 - 1e-9
    assert statistics.mean(ratios) < 1.003


def test_the_longest_line_of_a_round_is_paid_whole_and_the_others_their_share() -> None:
    one, two, three = (
        look(name, took, {name: 1.0})._replace(line=RoundLine("round", place, 0.25))
        for place, (name, took) in enumerate((("a", 1), ("b", 3), ("c", 2)))
    )
    against = bench({"a": 0.5, "b": 0.3, "c": 0.2})
    assert minutes([one, two, three], against) == 3 + 0.25 * (1 + 2)
    assert minutes([one, three, two], against) == 2 + 0.25 + 3  # back from the third line to the second
    other = look("other", 1, {"a": 1.0})
    assert minutes([one, other, two], against) == 1 + 1 + 3  # the round was left
    assert minutes([two], after([one], against)) == minutes([one, two], against) - 1


def test_a_deadline_keeps_the_order_and_gives_room_to_what_goes_on_with_a_round() -> None:
    first, second = (
        look(name, 2, {name: 1.0})._replace(line=RoundLine("round", place, 0.25))
        for place, name in enumerate(("a", "b"))
    )
    other = look("other", 1, {"c": 1.0})
    against = bench({"a": 0.4, "b": 0.35, "c": 0.25})
    assert ids(within([first, second, other], against, 2.5)) == ["a", "b"]


@settings(max_examples=50, deadline=None)
@given(sweeps(), st.sampled_from([1.0, 3.0, 6.0]))
def test_a_deadline_is_kept(sweep: tuple[list[PlannedLook], Prospect], budget: float) -> None:
    looks, against = sweep
    chosen = within(looks, against, budget)
    assert minutes(chosen, against) <= budget


def test_a_deadline_takes_the_looks_that_find_most() -> None:
    looks = [look("slow", 5, {"a": 1.0}), look("quick", 1, {"b": 1.0}), look("other", 2, {"c": 1.0})]
    assert ids(within(looks, bench({"a": 0.4, "b": 0.35, "c": 0.25}), 3.0)) == ["other", "quick"] or ids(
        within(looks, bench({"a": 0.4, "b": 0.35, "c": 0.25}), 3.0)
    ) == ["quick", "other"]


def test_nothing_owed_needs_no_look() -> None:
    assert plan([look("1", 1, {"a": 1.0})], Prospect({"a": 1.0}, frozenset(), "parked", still)) == ()
