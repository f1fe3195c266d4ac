"""What a design is, and that its own check finds every repeat.

`recount` is written from the definition alone and shares nothing with the code under test.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.engines.designs import Design
from grouper.errors import InputError


def recount(design):
    """Times that each pair is together, from nothing but the rounds."""
    times = {}
    for groups in design.rounds:
        for a in range(design.people):
            for b in range(a):
                times[b, a] = times.get((b, a), 0) + any(a in group and b in group for group in groups)
    return times


@st.composite
def random_designs(draw):
    """Rounds of random groups: most of them repeat somebody."""
    sizes = draw(st.sampled_from([(2, 2), (3, 3), (2, 2, 2, 2), (4, 3, 3), (3, 2, 2)]))
    rounds = []
    for _ in range(draw(st.integers(1, 3))):
        order = draw(st.permutations(range(sum(sizes))))
        ends = [sum(sizes[: i + 1]) for i in range(len(sizes))]
        rounds.append(tuple(tuple(order[end - size : end]) for end, size in zip(ends, sizes, strict=True)))
    return Design(sizes, tuple(rounds), "random")


@given(random_designs())
def test_repeats_are_exactly_the_meetings_after_the_first(design):
    """A design finds as many repeats as counting each pair gives, and none where there are none."""
    times = recount(design)
    assert len(design.repeats()) == sum(max(0, count - 1) for count in times.values())
    assert design.is_repeat_free() == all(count <= 1 for count in times.values())


@pytest.mark.parametrize(
    ("sizes", "groups"),
    [
        ((2, 2), ((0, 1), (2,))),
        ((2, 2), ((0, 1), (1, 2))),
        ((2, 2), ((0, 1), (2, 4))),
        ((1, 2), ((0,), (1, 2))),
        ((0,), ((),)),
    ],
)
def test_rounds_that_do_not_place_everybody_are_refused(sizes, groups):
    """Wrong sizes, somebody twice, somebody unknown, sizes out of order, an empty group."""
    with pytest.raises(InputError):
        Design(sizes, (groups,), "wrong")
