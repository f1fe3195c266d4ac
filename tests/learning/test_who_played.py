"""A score is of those who played: it stays theirs when groups are mended, and follows where they are put right."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import game, games_of, key
from played import class_with_teams

from grouper.games.days.plan import plan
from grouper.games.days.season import Scored, scored, unscored, with_scores
from grouper.learning.about import lessons_outdated
from grouper.learning.guesses import Guesses
from grouper.learning.suggest import games_about
from grouper.model.record import ClassRecord
from grouper.planning.adjust import swapped, with_other_groups
from grouper.planning.attend import absent
from grouper.planning.ran import corrected, moved, was_away
from grouper.planning.repair import repair

ONE, TWO = {"ana", "dia", "eva", "hana"}, {"ben", "cem", "fin", "gil"}


def with_score() -> ClassRecord:
    """Team 1 has beaten team 2 in lesson 1."""
    record = class_with_teams()
    day = plan(games_of(1, "Games", ("1", "2"), 1))
    return with_scores(record, scored(day, Scored("1", 30), Scored("2", 1))[0])


def sides(record: ClassRecord) -> list[tuple[set[str], set[str]]]:
    """Who is learnt to have won, and who to have lost."""
    found = []
    for played in games_about(Guesses(record, "passing")):
        home, away = ({one.student for one in side} for side in (played.home, played.away))
        found.append((home, away) if played.home_points > played.away_points else (away, home))
    return found


def test_a_score_knows_who_played() -> None:
    """The members of the two teams when it was entered; taken out, nothing is left of it."""
    record = with_score()
    assert sides(record) == [(ONE, TWO)]
    day, _ = unscored(record.games[0], "1", "2")
    assert {game.lineup for game in with_scores(record, day).games[0].assignments} == {()}


def test_points_lost_in_play_are_learnt_from_by_the_net() -> None:
    """30 won and 29 lost against 4 is a lost game, by 3 of the 63 points there were."""
    record = class_with_teams()
    day = plan(games_of(1, "Games", ("1", "2"), 1))
    record = with_scores(record, scored(day, Scored("1", 30, lost=29), Scored("2", 4))[0])
    assert sides(record) == [(TWO, ONE)]
    (game,) = games_about(Guesses(record, "passing"))
    assert abs(game.home_points - game.away_points) == 3 and game.home_points + game.away_points == 63


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
    old = record.with_event(replace(day, assignments=tuple(replace(f, lineup=()) for f in day.assignments)))
    now = old if same_labels else repair(with_other_groups(old, 1, "Games", 3, None)).record
    assert sides(now) == ([(ONE, TWO)] if same_labels else [])
    assert lessons_outdated(now) == (() if same_labels else (1,))


def relabelled(record: ClassRecord, **labels: str) -> ClassRecord:
    """The teams of lesson 1 under other labels, the same people in them."""
    round_ = record.plan.by_key[key(1)]
    now = tuple(replace(group, label=labels.get(f"team{group.label}", group.label)) for group in round_.groups)
    return corrected(record, {key(1): now})


def test_teams_play_on_under_their_new_labels() -> None:
    """Team 1 is called Reds: its score counts, and the next one is entered by that name."""
    record = relabelled(with_score(), team1="Reds")
    assert set(record.games[0].teams) == {"Reds", "2"} and sides(record) == [(ONE, TWO)]
    again = with_scores(record, scored(record.games[0], Scored("Reds", 2), Scored("2", 9))[0])
    assert sides(again) == [(TWO, ONE)] and lessons_outdated(again) == ()


def test_labels_that_change_places_leave_the_score_with_its_people() -> None:
    """What was called 1 is called 2, and the other way round: who won has won."""
    assert sides(relabelled(with_score(), team1="2", team2="1")) == [(ONE, TWO)]


def test_a_team_that_was_not_there_has_lost_nothing() -> None:
    """All four were away as it turned out: the game tells of nobody."""
    record = with_score()
    for student in sorted(ONE):
        record = was_away(record, 1, student)
    assert sides(record) == []


def test_a_score_of_teams_that_are_not_there_is_nobodys() -> None:
    """Entered while there were three teams, it is not credited to whoever is called 1 and 2 afterwards."""
    record = with_score()
    three = repair(with_other_groups(record, 1, "Games", 3, None)).record
    more = replace(three.games[0], assignments=(*three.games[0].assignments, game(2, 1, 1, 2)))
    late = with_scores(three, scored(more, Scored("1", 3), Scored("2", 1), 2)[0])
    assert [len(game.lineup) for game in late.games[0].assignments] == [2, 0]
    assert sides(repair(with_other_groups(late, 1, "Games", 2, None)).record) == [(ONE, TWO)]
