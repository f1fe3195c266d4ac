"""The best set of tasks for a round: exact, within the cupboard, and a clash in words where it cannot be."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from random import Random
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.engines.exact import Choice, shared_out
from grouper.model.levers import At, Challenge, Lever, Needed, Setting, Store
from grouper.model.roster import Roster, Student
from grouper.tasks.fitting import AtWork, Short, costs_of, fitted, tasks_open_to
from grouper.tasks.success import Success, chance

BALL = Lever(
    "ball",
    (Setting("large", "", (Needed("large ball"),)), Setting("small", "", (Needed("small ball", 1, each=True),))),
    "equipment",
)
DISTANCE = Lever("distance", (Setting("near"), Setting("half way"), Setting("far")), "space")
GOAL = Lever("goal", (Setting("wide", "", (Needed("goal", 2),)), Setting("narrow", "", (Needed("goal"),))), "target")
CHALLENGE = Challenge("Shooting", (BALL, DISTANCE, GOAL))
PEOPLE = [f"s{n}" for n in range(12)]


def success(levers: Challenge = CHALLENGE, wanted: float = 0.75) -> Success:
    students = tuple(Student(who, who, {"skill": 1 + n % 5}) for n, who in enumerate(PEOPLE))
    return Success(Roster(students, ("skill",)), "skill", levers, wanted)


def work(n: int, *had: At, **more: object) -> AtWork:
    return AtWork(str(n), (PEOPLE[2 * n], PEOPLE[2 * n + 1]), 2, (had, had), **more)  # type: ignore[arg-type]


@settings(deadline=None, max_examples=40)
@given(st.randoms(use_true_random=False), st.integers(1, 4), st.integers(1, 2))
def test_choices_are_the_cheapest_of_all_that_there_is_enough_for(random: Random, groups: int, things: int) -> None:
    """Against every set of choices one by one, where as few as can be are missing and then the cost is least."""
    menus = [
        [Choice(random.randint(0, 20) / 4, tuple(random.randint(0, 3) for _ in range(things))) for _ in range(3)]
        for _ in range(groups)
    ]
    counts = [random.randint(0, 5) for _ in range(things)]
    found = shared_out(menus, counts)

    def worth(places: tuple[int, ...]) -> tuple[int, float]:
        chosen = [menu[place] for menu, place in zip(menus, places, strict=True)]
        missing = sum(max(0, sum(c.needs[t] for c in chosen) - counts[t]) for t in range(things))
        return missing, sum(choice.cost for choice in chosen)

    best = min(worth(places) for places in product(range(3), repeat=groups))
    assert worth(found.chosen) == pytest.approx(best)
    assert sum(found.missing) == best[0]


@settings(deadline=None, max_examples=25)
@given(st.randoms(use_true_random=False))
def test_a_set_of_tasks_is_the_best_of_all_sets(random: Random) -> None:
    """Three groups and 12 tasks each: all 1,728 sets, by costs worked out task by task."""
    groups = [work(n, random.choice(tasks_open_to(CHALLENGE, work(n)))) for n in range(3)]
    cupboard = [Store("large ball", random.randint(0, 3)), Store("goal", random.randint(3, 6))]
    found = fitted(success(), groups, cupboard)
    ats = tasks_open_to(CHALLENGE, groups[0])
    costs = [dict(zip(ats, costs_of(success(), group, ats), strict=True)) for group in groups]

    def needed(tasks: tuple[At, ...], item: str) -> int:
        return sum(CHALLENGE.needs(at, 2).get(item, 0) for at in tasks)

    allowed = (s for s in product(ats, repeat=3) if all(needed(s, each.item) <= each.count for each in cupboard))
    best = min(sum(cost[at] for cost, at in zip(costs, tasks, strict=True)) for tasks in allowed)
    got = tuple(found.tasks[group.label] for group in groups)
    assert sum(cost[at] for cost, at in zip(costs, got, strict=True)) == pytest.approx(best, abs=1e-5)
    assert not found.short and all(needed(got, each.item) <= each.count for each in cupboard)


def test_where_nothing_is_scarce_each_group_gets_its_own_best() -> None:
    """And what all need together is listed, things for each of a group counted by heads."""
    groups = [work(n) for n in range(6)]
    found = fitted(success(), groups, ())
    for group in groups:
        ats = tasks_open_to(CHALLENGE, group)
        assert found.tasks[group.label] == ats[int(costs_of(success(), group, ats).argmin())]
    balls = [at[0] for at in found.tasks.values()]
    said = dict(found.lay_out)
    assert (said.get("large ball", 0), said.get("small ball", 0)) == (balls.count(1), 2 * balls.count(2))


def test_the_share_is_as_near_to_the_one_that_is_wanted_as_tasks_allow() -> None:
    """A group with no task before it: nothing but the share counts."""
    for wanted in (0.6, 0.75, 0.9):
        model = success(Challenge("Far", (DISTANCE, Lever("hand", DISTANCE.settings))), wanted)
        at = fitted(model, [work(2)], ()).tasks["2"]
        shares = {each: model.share(work(2).members, each) for each in tasks_open_to(model.challenge, work(2))}
        assert abs(shares[at] - wanted) <= min(abs(share - wanted) for share in shares.values()) + 0.05


def test_one_lever_is_changed_at_a_time() -> None:
    """From what a group had, unless the share would be far off: by more than the change costs."""
    model = success()
    for n in range(6):
        for had in ((1, 1, 1), (2, 3, 2), (1, 2, 2)):
            group = work(n, had)
            at = fitted(model, [group], ()).tasks[group.label]
            changed = sum(a != b for a, b in zip(at, had, strict=True))
            means, _ = model.expect(group.members, [had])
            assert changed <= 1 or abs(chance(float(means[0])) - 0.75) > 0.1


def test_the_same_again_and_again_gives_way_to_something_else() -> None:
    """Of two tasks as good as each other the one that was not done seven times running is taken."""
    flat = Challenge("Throws", (Lever("hand", (Setting("right"), Setting("left"))), Lever("ball", BALL.settings)))
    model = success(flat, wanted=0.75)
    shares = {at: model.share(work(2).members, at) for at in ((1, 2), (2, 1))}
    assert shares[(1, 2)] == pytest.approx(shares[(2, 1)])
    at = fitted(model, [work(2, *[(1, 2)] * 7)], ()).tasks["2"]
    assert at != (1, 2)


def test_a_task_that_is_chosen_stays_and_takes_its_things_first() -> None:
    """The others make do with what is left."""
    groups = [work(0, fixed=(1, 3, 1)), *(work(n) for n in range(1, 6))]
    found = fitted(success(), groups, (Store("large ball", 1),))
    assert found.tasks["0"] == (1, 3, 1)
    assert [at[0] for at in found.tasks.values()].count(1) == 1 and not found.short


def test_what_the_cupboard_does_not_allow_is_said() -> None:
    """Six groups need six goals at least, and there are four: two are missing, and no more than that."""
    found = fitted(success(), [work(n) for n in range(6)], (Store("Goal", 4),))
    assert found.short == (Short("Goal", 4, 2),)
    assert all(at[2] == 2 for at in found.tasks.values())


def test_only_settings_that_are_right_for_all_at_work_are_used() -> None:
    """Always the large ball, and never far; where nothing is right all is, so that there is a task."""
    barred = {(0, 2), (1, 3)}
    group = work(5, allowed=lambda lever, place: (lever, place) not in barred)
    assert {at[:2] for at in tasks_open_to(CHALLENGE, group)} == {(1, 1), (1, 2)}
    assert len(tasks_open_to(CHALLENGE, replace(group, allowed=lambda lever, place: False))) == 12


def test_many_levers_are_weighed_near_to_what_a_group_had() -> None:
    """Six levers of five are 15,625 tasks: those a setting away at most are weighed."""
    five = tuple(Setting(str(k)) for k in range(1, 6))
    many = Challenge("Much", tuple(Lever(f"lever {n}", five) for n in range(6)))
    ats = tasks_open_to(many, work(0, (1, 2, 3, 4, 5, 3)))
    assert len(ats) == 2 * 3 * 3 * 3 * 2 * 3 and max(at[0] for at in ats) == 2


def test_fifteen_groups_have_the_best_set_of_tasks_in_less_than_half_a_second() -> None:
    """Of 162 tasks each, with balls and goals scarce: by processor time, and by a loop as slow as the machine."""
    three = tuple(Setting(f"{step}", "", (Needed(f"thing {step}"),)) for step in range(1, 4))
    goals = tuple(Setting(f"{step}", "", (Needed(f"goal {step}"),)) for step in range(1, 4))
    plain = tuple(Setting(f"{step}") for step in range(1, 4))
    levers = (Lever("ball", three), Lever("goal", goals), Lever("space", plain), Lever("hand", plain))
    model = success(Challenge("Shooting", (*levers, Lever("move", plain[:2]))))
    groups = [AtWork(str(n), (PEOPLE[n % 12], PEOPLE[-1 - n % 11]), 2, (((2, 2, 2, 1, 1),),)) for n in range(15)]
    few = [Store(f"{what} {step}", 6) for what in ("thing", "goal") for step in range(1, 4)]
    alone = fitted(model, groups, ()).lay_out
    assert any(count > 6 for _, count in alone), "without a cupboard more would be needed than there is"
    fits, loops = [], []
    for _ in range(3):
        begun = process_time()
        sum(n * n for n in range(1_000_000))
        loops.append(process_time() - begun)
        begun = process_time()
        found = fitted(model, groups, few)
        fits.append(process_time() - begun)
    assert found.short == () and all(count <= 6 for _, count in found.lay_out)
    assert min(fits) < 0.5 and min(fits) < 3 * min(loops)
