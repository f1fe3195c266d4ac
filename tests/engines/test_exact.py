"""Whether a round can be grouped at all, and the smallest set of wishes that clash, against every way there is."""

from __future__ import annotations

from itertools import combinations

import pytest
from builders import partitions
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.engines.exact import Answer, Demand, Groups, HardWish, can_be_grouped, smallest_clash

Asked = tuple[int, tuple[int, ...], tuple[HardWish, ...]]


def keeps(wishes: tuple[HardWish, ...], way: Groups) -> bool:
    return all(_kept(wish, way) for wish in wishes)


def _kept(wish: HardWish, way: Groups) -> bool:
    shared = next((group for group in way if set(wish.pair) <= set(group)), None)
    if wish.kind == "together":
        return shared is not None
    return shared is None or (wish.loose and len(shared) > 2)


def exists(people: int, sizes: tuple[int, ...], wishes: tuple[HardWish, ...]) -> bool:
    return any(keeps(wishes, way) for way in partitions(range(people), sizes))


def apart(*people: int) -> tuple[HardWish, ...]:
    return tuple(HardWish("apart", pair) for pair in combinations(sorted(people), 2))


@st.composite
def asked(draw: st.DrawFn) -> Asked:
    """Two to seven people, groups that differ by at most one, and up to nine wishes."""
    people = draw(st.integers(2, 7))
    groups = draw(st.sampled_from([n for n in range(1, people + 1) if n == 1 or people // n > 1]))
    small, larger = divmod(people, groups)
    sizes = (small + 1,) * larger + (small,) * (groups - larger)
    pair = st.sampled_from(list(combinations(range(people), 2)))
    kinds = st.sampled_from((("apart", False), ("apart", False), ("apart", True), ("together", False)))
    drawn = draw(st.lists(st.tuples(kinds, pair), max_size=9))
    return people, sizes, tuple(HardWish(kind, two, loose) for (kind, loose), two in drawn)


@settings(max_examples=60)
@given(case=asked())
def test_answer_is_that_of_trying_every_way(case: Asked) -> None:
    """Yes where some way keeps all wishes, and then with such groups; no where none does."""
    people, sizes, wishes = case
    verdict = can_be_grouped(people, sizes, wishes)
    assert (verdict.answer is Answer.YES) == exists(people, sizes, wishes)
    if verdict.answer is Answer.YES:
        assert sorted(person for group in verdict.groups for person in group) == list(range(people))
        assert sorted((len(group) for group in verdict.groups), reverse=True) == list(sizes)
        assert keeps(wishes, verdict.groups)
    else:
        assert verdict.answer is Answer.NO


@given(case=asked())
def test_clash_cannot_be_met_and_nothing_in_it_can_be_left_out(case: Asked) -> None:
    """Of wishes that clash a set is left that clashes as well, and no longer does without any one of them."""
    people, sizes, wishes = case
    if exists(people, sizes, wishes):
        return
    clash = smallest_clash(people, sizes, tuple((wish,) for wish in wishes))
    assert clash.sure
    assert not exists(people, sizes, tuple(wishes[number] for number in clash.demands))
    for left_out in clash.demands:
        assert exists(people, sizes, tuple(wishes[number] for number in clash.demands if number != left_out))


def named(demands: tuple[Demand, ...], people: int, sizes: tuple[int, ...]) -> set[tuple[str, tuple[int, int]]]:
    clash = smallest_clash(people, sizes, demands)
    assert clash.sure
    return {(wish.kind, wish.pair) for number in clash.demands for wish in demands[number]}


def test_one_apart_from_everyone() -> None:
    """In pairs of six, 0 apart from all five others: all five wishes are the clash, the one beside them is not."""
    demands = tuple((wish,) for wish in (*(HardWish("apart", (0, other)) for other in range(1, 6)), *apart(3, 4)))
    assert named(demands, 6, (2, 2, 2)) == {("apart", (0, other)) for other in range(1, 6)}


def test_together_and_apart_both() -> None:
    """The same two together and apart: just these two wishes."""
    wishes = (HardWish("together", (0, 1)), HardWish("apart", (0, 1)), *apart(2, 3), HardWish("together", (4, 5)))
    assert named(tuple((wish,) for wish in wishes), 6, (3, 3)) == {("together", (0, 1)), ("apart", (0, 1))}


def test_shortest_chain_between_two_apart() -> None:
    """0 is together with 1, 1 with 2, and 0 apart from 2: the shorter of two such chains is named."""
    links = ((0, 1), (1, 2), (0, 3), (3, 4), (2, 4))
    wishes = (*(HardWish("together", link) for link in links), HardWish("apart", (0, 2)))
    assert named(tuple((wish,) for wish in wishes), 10, (5, 5)) == {
        ("together", (0, 1)),
        ("together", (1, 2)),
        ("apart", (0, 2)),
    }


def test_more_apart_than_groups() -> None:
    """Five who are all apart in four groups of seven: ten wishes clash, and others are left out."""
    wishes = (*apart(0, 1, 2, 3, 4), *apart(10, 11), *apart(12, 13))
    assert named(tuple((wish,) for wish in wishes), 28, (7, 7, 7, 7)) == {("apart", wish.pair) for wish in wishes[:10]}


def test_seven_apart_in_four_groups_name_five_of_them() -> None:
    """Of a larger clique no more people are named than it takes: one more than there are groups."""
    found = named(tuple((wish,) for wish in apart(*range(7))), 28, (7, 7, 7, 7))
    assert len({person for _, pair in found for person in pair}) == 5
    assert len(found) == 10


def test_too_many_together() -> None:
    """A chain of four together where no group has more than three: the three wishes of the chain."""
    wishes = tuple(HardWish("together", (n, n + 1)) for n in range(3)) + apart(7, 8)
    assert named(tuple((wish,) for wish in wishes), 9, (3, 3, 3)) == {("together", (n, n + 1)) for n in range(3)}


def test_window_stands_or_falls_as_a_whole() -> None:
    """A demand of several wishes, as a gap window is, is one thing in the clash."""
    window = tuple(HardWish("apart", (0, other), loose=True) for other in range(1, 4))
    clash = smallest_clash(4, (2, 2), (apart(2, 3), window))
    assert clash.demands == (1,)


@pytest.mark.parametrize("people", [4, 6, 8])
def test_tutte_odd_components(people: int) -> None:
    """Pairs between two odd halves only within each half: no way, though everybody has partners (Tutte 1947).

    Halves of 2 and 4 are even, and then there is a way.
    """
    half = people // 2
    across = tuple(HardWish("apart", (a, b)) for a in range(half) for b in range(half, people))
    answer = can_be_grouped(people, (2,) * half, across).answer
    assert answer is (Answer.NO if half % 2 else Answer.YES)


def test_loose_wish_holds_in_a_pair_only() -> None:
    """Three whose gaps are all outside of a window may make up the trio, but no pair."""
    loose = tuple(HardWish("apart", wish.pair, loose=True) for wish in apart(0, 1, 2))
    bound_to = (*loose, HardWish("together", (0, 1)), HardWish("together", (1, 2)))
    assert can_be_grouped(5, (3, 2), bound_to).answer is Answer.YES
    assert can_be_grouped(4, (2, 2), (*loose, HardWish("together", (0, 1)))).answer is Answer.NO


def test_two_apart_are_no_pair_whichever_is_named_first() -> None:
    """Of three ways to pair four, one is left by two requests, their people in either order."""
    wishes = (HardWish("apart", (3, 0)), HardWish("apart", (2, 0)))
    assert can_be_grouped(4, (2, 2), wishes).groups == ((0, 1), (2, 3))
