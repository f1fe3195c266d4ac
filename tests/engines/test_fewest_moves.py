"""Mending with the fewest moves, against every way there is to seat a small class."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.engines.fewest_moves import Average, Prices, Standing, Total, with_fewest_moves

HARD = 1e6


def free_prices(people: int) -> Prices:
    return Prices([[0.0] * people for _ in range(people)], hard=HARD)


def all_ways(standing: Standing) -> Iterator[tuple[tuple[int, ...], ...]]:
    """Every seating with the wanted sizes, whatever place has which size."""
    people = sorted([person for group in standing.groups for person in group] + list(standing.joining))
    places = max(len(standing.groups), len(standing.sizes))
    wanted = sorted([*standing.sizes, *[0] * (places - len(standing.sizes))])
    for seats in product(range(places), repeat=len(people)):
        groups = [[person for person, seat in zip(people, seats, strict=True) if seat == p] for p in range(places)]
        if sorted(len(group) for group in groups) == wanted:
            yield tuple(tuple(group) for group in groups)


def moves_in(standing: Standing, way: tuple[tuple[int, ...], ...]) -> int:
    before = {person: place for place, group in enumerate(standing.groups) for person in group}
    after = {person: place for place, group in enumerate(way) for person in group}
    return sum(after[person] != place for person, place in before.items())


def breaks(standing: Standing, way: tuple[tuple[int, ...], ...]) -> int:
    """Hard wishes that a seating breaks."""
    prices = standing.prices
    shared = {pair for group in way for pair in combinations(sorted(group), 2)}
    pairs = [tuple(sorted(group)) for group in way if len(group) == 2]
    people = range(len(prices.pair_cost))
    barred = sum(prices.pair_cost[a][b] >= HARD / 2 for a, b in shared)
    split = sum(prices.pair_cost[a][b] <= -HARD / 2 for a, b in combinations(people, 2) if (a, b) not in shared)
    return barred + split + sum(bool(prices.outside and prices.outside[a][b]) for a, b in pairs)


def cost_by_hand(standing: Standing, way: tuple[tuple[int, ...], ...]) -> float:
    """What a seating costs that keeps all wishes: pairs, gaps within trios, turns in a trio, totals."""
    prices, cost = standing.prices, 0.0
    for group in way:
        for a, b in combinations(sorted(group), 2):
            price = prices.pair_cost[a][b]
            cost += 0.0 if price <= -HARD / 2 else price
            cost += HARD / 1000 if prices.outside and len(group) > 2 and prices.outside[a][b] else 0.0
        if prices.turn_cost and len(group) in prices.turn_sizes:
            cost += sum(prices.turn_cost[person] for person in group)
        for total in prices.totals:
            if len(group) in total.windows:
                low, high, step = total.windows[len(group)]
                value = sum(total.values[person] for person in group)
                cost += step * (max(0.0, low - value) + max(0.0, value - high))
    for average in prices.averages:
        sums = [(sum(average.values[person] for person in group), len(group)) for group in way if group]
        divided = [(total, average.parts.get(size, size)) for total, size in sums]
        means = [total / part for total, part in divided if part]
        cost += 70.0 * max(0.0, max(means) - min(means) - 0.5) if means else 0.0
    return cost


@st.composite
def standings(draw: st.DrawFn) -> Standing:
    """Up to six people: some stand in groups, some of which are empty, some join; sizes differ by at most one."""
    people = draw(st.integers(1, 6))
    joining = draw(st.integers(0, min(2, people)))
    places = draw(st.integers(1, 3))
    seats = draw(st.lists(st.integers(0, places - 1), min_size=people - joining, max_size=people - joining))
    wanted = draw(st.integers(1, min(3, people)))
    small, larger = divmod(people, wanted)
    sizes = (small + 1,) * larger + (small,) * (wanted - larger)
    groups = tuple(tuple(p for p, seat in enumerate(seats) if seat == place) for place in range(places))
    return Standing(groups, tuple(range(people - joining, people)), sizes, draw(prices(people)))


@st.composite
def prices(draw: st.DrawFn, people: int) -> Prices:
    """Prices of any kind: repeats, wishes for apart and together, gap windows, turns in a trio, totals."""
    cost = [[0.0] * people for _ in range(people)]
    outside = [[False] * people for _ in range(people)]
    gaps, wishes = draw(st.booleans()), 0
    for a, b in combinations(range(people), 2):
        price = draw(st.sampled_from((0, 0, 0, 60, 120, 240, HARD, -HARD)))
        wishes += price == -HARD
        cost[a][b] = cost[b][a] = float(price)
        outside[a][b] = outside[b][a] = gaps and draw(st.integers(0, 3)) == 0
    turn_cost = draw(st.lists(st.integers(0, 5), min_size=people, max_size=people)) if draw(st.booleans()) else []
    values = draw(st.lists(st.integers(0, 4), min_size=people, max_size=people))
    totals = (Total(values, {2: (3, 5, 10), 3: (5, 7, 10)}),) if draw(st.booleans()) else ()
    parts = draw(st.sampled_from(({}, {1: 0.0, 2: 2.5, 3: 2.5, 4: 3.0})))
    even = (Average(values, lambda spread: 70.0 * max(0.0, spread - 0.5), parts),) if draw(st.booleans()) else ()
    in_trio = [100.0 * turns for turns in turn_cost]
    return Prices(cost, HARD, wishes, outside if gaps else (), in_trio, frozenset({3}), totals, even)


@given(standing=standings())
def test_no_way_has_fewer_moves_or_costs_less(standing: Standing) -> None:
    """Among all ways that keep the wishes: the fewest moves there are, and of those the least cost."""
    kept = [way for way in all_ways(standing) if breaks(standing, way) == 0]
    mended = with_fewest_moves(standing)
    if not kept:
        assert not mended.kept
        return
    fewest = min(moves_in(standing, way) for way in kept)
    least = min(cost_by_hand(standing, way) for way in kept if moves_in(standing, way) == fewest)
    assert mended.kept
    assert breaks(standing, mended.groups) == 0
    assert moves_in(standing, mended.groups) == fewest == mended.moves
    assert mended.cost == pytest.approx(least)


@given(standing=standings())
def test_everybody_has_one_place_and_sizes_are_right(standing: Standing) -> None:
    """Whether wishes can be kept or not, nobody is lost and the sizes are those wanted."""
    mended = with_fewest_moves(standing)
    seated = sorted(person for group in mended.groups for person in group)
    assert seated == sorted([person for group in standing.groups for person in group] + list(standing.joining))
    assert sorted(len(group) for group in mended.groups if group) == sorted(standing.sizes)


def mended_by(groups: tuple[tuple[int, ...], ...], sizes: tuple[int, ...], joining: tuple[int, ...] = ()) -> tuple:  # type: ignore[type-arg]
    people = sum(map(len, groups)) + len(joining)
    found = with_fewest_moves(Standing(groups, joining, sizes, free_prices(people)))
    return found.moves, found.groups


def test_fours_that_lose_one_stay_as_they_are() -> None:
    """Seven in 4 and 3 where eight stood in fours: nobody moves."""
    assert mended_by(((0, 1, 2, 3), (4, 5, 6)), (4, 3)) == (0, ((0, 1, 2, 3), (4, 5, 6)))


def test_one_left_over_of_a_pair_joins_another() -> None:
    """Pairs that lose one: the one left over is the only one to move."""
    moves, groups = mended_by(((0, 1), (2, 3), (4,)), (3, 2))
    assert moves == 1
    assert sorted(map(len, groups)) == [0, 2, 3]


def test_trio_of_which_one_is_gone_is_a_pair() -> None:
    """An odd class that loses one of its trio: nobody moves."""
    assert mended_by(((0, 1), (2, 3)), (2, 2))[0] == 0


def test_two_left_over_make_a_pair() -> None:
    """Two pairs that lose one each: one of those left over moves to the other."""
    moves, groups = mended_by(((0,), (1,), (2, 3)), (2, 2))
    assert moves == 1
    assert (2, 3) in groups


def test_who_joins_fills_the_gap() -> None:
    """Somebody new in a class of trios with one place short: nobody else moves."""
    assert mended_by(((0, 1, 2), (3, 4)), (3, 3), (5,)) == (0, ((0, 1, 2), (3, 4, 5)))


def test_home_decides_between_ways_of_equal_cost() -> None:
    """Who comes back goes to the group where the plan had them."""
    standing = Standing(((0, 1), (2, 3)), (4,), (3, 2), free_prices(5), homes={4: 1})
    assert with_fewest_moves(standing).groups == ((0, 1), (2, 3, 4))


def test_whoever_has_had_the_trio_less_goes_into_it() -> None:
    """Of two pairs that could take a third, the one with fewer turns does."""
    cost = [[0.0] * 5 for _ in range(5)]
    standing = Standing(
        ((0, 1), (2, 3), (4,)),
        (),
        (3, 2),
        Prices(cost, HARD, turn_cost=(20.0, 0.0, 0.0, 0.0, 0.0), turn_sizes=frozenset({3})),
    )
    assert with_fewest_moves(standing).groups == ((0, 1), (2, 3, 4), ())


def test_a_wish_is_worth_a_move() -> None:
    """Two apart left over together: one of them goes elsewhere, though staying would need no move."""
    cost = [[0.0] * 4 for _ in range(4)]
    cost[0][1] = cost[1][0] = HARD
    mended = with_fewest_moves(Standing(((0, 1), (2, 3)), (), (2, 2), Prices(cost, HARD)))
    assert mended.kept
    assert mended.moves == 2


def test_one_more_move_than_the_sizes_demand_is_looked_for() -> None:
    """0 and 1 are left together and are apart; 0 going to 2 is the one move that keeps all wishes (by hand), one more
    than the sizes demand, and mending step by step takes two."""
    cost = [[0.0] * 5 for _ in range(5)]
    for one, other in ((0, 1), (0, 4), (1, 2), (1, 4)):
        cost[one][other] = cost[other][one] = HARD
    mended = with_fewest_moves(Standing(((4, 3), (0, 1), (2,)), (), (2, 2, 1), Prices(cost, HARD)))
    assert mended.kept and mended.moves == 1 and {frozenset(group) for group in mended.groups} >= {frozenset((0, 2))}
