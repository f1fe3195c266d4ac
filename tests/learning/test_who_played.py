"""A score is of those who played: it stays theirs when groups are mended, and follows where they are put right."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import key
from played import class_with_teams

from grouper.games.days.hold import held
from grouper.games.days.scores import Scored, scored, unscored
from grouper.games.days.start import GamesWish, Place, games_for
from grouper.learning.about import lessons_outdated
from grouper.learning.games import games_about
from grouper.learning.guesses import Guesses
from grouper.model.record import ClassRecord
from grouper.planning.adjust import swapped, with_other_groups
from grouper.planning.attend import absent
from grouper.planning.ran import moved
from grouper.planning.repair import repair

ONE, TWO = {"ana", "dia", "eva", "hana"}, {"ben", "cem", "fin", "gil"}


def with_score() -> ClassRecord:
    """Team 1 has beaten team 2 in lesson 1."""
    record = class_with_teams()
    day = games_for(("1", "2"), GamesWish(1), Place(1, "Games", 1))
    return held(record, scored(day, Scored("1", 30), Scored("2", 1))[0])


def sides(record: ClassRecord) -> list[tuple[set[str], set[str]]]:
    """Who is learnt to have won, and who to have lost."""
    found = []
    for game in games_about(Guesses(record, "passing")):
        home, away = ({one.student for one in side} for side in (game.home, game.away))
        found.append((home, away) if game.home_points > game.away_points else (away, home))
    return found


def test_a_score_knows_who_played() -> None:
    """The members of the two teams when it was entered; taken out, nothing is left of it."""
    record = with_score()
    assert sides(record) == [(ONE, TWO)]
    day, _ = unscored(record.games[0], "1", "2")
    assert {game.lineup for game in held(record, day).games[0].fixtures} == {()}


def test_nobody_gets_the_score_of_others() -> None:
    """After a swap, an absence and other groups it is still of those who played."""
    record = with_score()
    assert sides(swapped(record, 1, "ana", "ben", 1).record) == [(ONE, TWO)]
    assert sides(absent(record, 1, ("ana", "dia")).record) == [(ONE, TWO)]
    three = repair(with_other_groups(record, 1, "Games", 3, None)).record
    assert sides(three) == [(ONE, TWO)] and lessons_outdated(three) == ()
    assert sides(repair(with_other_groups(three, 1, "Games", 2, None)).record) == [(ONE, TWO)]


def test_a_score_follows_where_a_round_is_put_right() -> None:
    """Ana played in the other team, as the teacher says now: so the score is of those who really played."""
    right = moved(with_score(), key(1), "ana", "2")
    assert sides(right) == [(ONE - {"ana"}, TWO | {"ana"})]


@pytest.mark.parametrize("same_labels", [True, False])
def test_an_old_score_tells_of_the_groups_of_today_or_of_nobody(same_labels: bool) -> None:
    """Scores from before lineups were kept: as long as the labels are the same."""
    record = with_score()
    day = record.games[0]
    old = replace(record, games=(replace(day, fixtures=tuple(replace(f, lineup=()) for f in day.fixtures)),))
    now = old if same_labels else repair(with_other_groups(old, 1, "Games", 3, None)).record
    assert sides(now) == ([(ONE, TWO)] if same_labels else [])
    assert lessons_outdated(now) == (() if same_labels else (1,))
