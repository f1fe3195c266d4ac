"""Slots as colours of the games: no team twice in one colour, then colours made equally large."""

from __future__ import annotations

from grouper.games.colours import Colours
from grouper.games.filling import Rest
from grouper.games.pairing import Slots


def balanced_slots(rest: Rest) -> Slots | None:
    """All games left in the fewest slots, or ``None`` if the exchanges do not find a place for one of them."""
    table = Colours(rest.fewest_slots())
    if not all(table.add(number, pair) for number, pair in enumerate(rest.left)):
        return None
    table.balance()
    slots = table.slots()
    return _in_good_order(slots, rest) if max(map(len, slots), default=0) <= rest.at_once else None


def _in_good_order(slots: Slots, rest: Rest) -> Slots:
    """The slot next whose teams have together waited longest."""
    last = dict.fromkeys(rest.teams, -1)
    for place, games in enumerate(rest.before):
        last.update((team, place) for pair in games for team in pair)
    ordered: Slots = []
    left = list(slots)
    while left:
        place = len(rest.before) + len(ordered)
        games = min(left, key=lambda games: sum(last[team] for pair in games for team in pair) / (1 + len(games)))
        left.remove(games)
        last.update((team, place) for pair in games for team in pair)
        ordered.append(games)
    return ordered
