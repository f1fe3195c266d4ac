"""How many groups, and how large: the sizes of a round's groups follow from how many take part."""

from __future__ import annotations

from grouper.errors import InputError
from grouper.model.unit import Activity


def sizes_for(activity: Activity, people: int) -> tuple[int, ...]:
    """Sizes of the groups of a round, largest first.

    Groups differ by at most one. With size 2 an odd class gets one trio; with a larger size no group is larger, so
    that there are ceil(people / size) groups.

    Examples
    --------
    >>> sizes_for(Activity("Passing", size=2), 7)
    (3, 2, 2)
    >>> sizes_for(Activity("Relay", size=4), 10)
    (4, 3, 3)
    >>> sizes_for(Activity("Game", groups=3), 10)
    (4, 3, 3)
    """
    if people == 0:
        return ()
    return _even_sizes(people, _how_many_groups(activity, people))


def _how_many_groups(activity: Activity, people: int) -> int:
    if activity.groups is not None:
        return min(activity.groups, people)
    if activity.size is None:
        raise InputError("activity '{name}' has no size of its own", name=activity.name)
    if activity.size == 2:
        return max(1, people // 2)
    return -(-people // activity.size)


def _even_sizes(people: int, groups: int) -> tuple[int, ...]:
    small, larger = divmod(people, groups)
    return (small + 1,) * larger + (small,) * (groups - larger)
