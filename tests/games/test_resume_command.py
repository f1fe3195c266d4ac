"""``grouper resume``: what was played is untouched, whatever goes wrong afterwards."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.files.store import ClassFile
from grouper.games.days.plan import Changes, News, TimeLeft, plan, resumed
from grouper.model.play import Assignment, Event, Score, Timing

from .conftest import Run

GAMES = ("games", "7b.class", "--lesson", 1, "--activity", "games", "--courts", 2)
RESUME = ("resume", "7b.class", "--lesson", 1)


def day_of(file: ClassFile) -> Event:
    (day,) = file.read().record.games
    return day


def until(day: Event, slot: int) -> list[Assignment]:
    return [game for game in day.assignments if game.slot <= slot]


def after(day: Event, slot: int) -> list[Assignment]:
    return [game for game in day.assignments if game.slot > slot]


def test_a_court_closes_after_games_with_results(run: Run, file: ClassFile) -> None:
    """Games over keep teams, court, duty and score; none follows on the court; every two teams still meet once."""
    run(*GAMES)
    before = day_of(file)
    for game in until(before, 3):
        run("score", "7b.class", f"{game.home}=4", f"{game.away}=2", "--lesson", 1)
    scored = until(day_of(file), 3)
    assert run(*RESUME, "--court-closed", 2).status == 0
    now = day_of(file)
    assert until(now, 3) == scored and all(game.score == Score(4, 2) for game in scored)
    assert {game.place for game in after(now, 3)} == {1}
    assert Counter(frozenset((g.home, g.away)) for g in now.assignments) == Counter(
        frozenset((g.home, g.away)) for g in before.assignments
    )


def test_undo_brings_back_the_games_as_they_were(run: Run, file: ClassFile) -> None:
    """One command back, results and all."""
    run(*GAMES)
    before = file.read().record
    run(*RESUME, "--played", 2, "--team-missing", 3)
    assert file.read().record != before
    assert file.undo().what == "'Games' in lesson 1 planned again after slot 2"
    assert file.read().record == before


def test_a_missing_team_plays_no_more_and_comes_back(run: Run, file: ClassFile) -> None:
    """Team 3 is out after slot 2 and back after slot 4: the games that it missed are planned again."""
    run(*GAMES)
    run(*RESUME, "--played", 2, "--team-missing", 3)
    gone = day_of(file)
    assert not any(3 in (g.home, g.away, g.duty) for g in after(gone, 2))
    run(*RESUME, "--played", 4, "--team-back", 3)
    back = day_of(file)
    assert until(back, 4) == until(gone, 4)
    assert Counter(team for g in back.assignments for team in (g.home, g.away)) == dict.fromkeys(range(1, 7), 5)


def test_a_short_team_has_a_lender_in_each_of_its_games(run: Run, file: ClassFile) -> None:
    """Who lends neither plays nor officiates in that slot."""
    run(*GAMES)
    out = run(*RESUME, "--played", 1, "--team-short", 5).out
    day = day_of(file)
    games = [game for game in after(day, 1) if 5 in (game.home, game.away)]
    assert len(day.loans) == len(games) and "lends team 5 players" in out
    for slot, short, lender in day.loans:
        busy = {team for g in day.assignments if g.slot == slot for team in (g.home, g.away, g.duty)}
        assert short == 5 and lender not in busy


def test_ten_minutes_lost(run: Run, file: ClassFile) -> None:
    """Eight slots of 4 with 1 between end at minute 39; after two, 29 minutes are left; less 10 hold four (by hand)."""
    run(*GAMES, "--play", 4, "--changeover", 1)
    assert run(*RESUME, "--played", 2, "--minutes-lost", 10).status == 0
    assert day_of(file).slots == 6


def test_lost_minutes_need_the_length_of_a_slot(run: Run, file: ClassFile) -> None:
    """Where neither the command nor the unit gave minutes, slots are asked for instead."""
    run("games", "7b.class", "--lesson", 3, "--courts", 2)
    ran = run("resume", "7b.class", "--lesson", 3, "--played", 2, "--minutes-lost", 5)
    assert ran.status == 2 and "--slots-left N" in ran.err


def test_a_limit_on_time_holds_at_the_next_setback_too(run: Run, file: ClassFile) -> None:
    """Three slots left after slot 2 are two after slot 3, when a court closes."""
    run(*GAMES)
    run(*RESUME, "--played", 2, "--slots-left", 3)
    run(*RESUME, "--played", 3, "--court-closed", 1)
    assert day_of(file).slots == 5
    assert day_of(file).setback.slots_left == 2


def test_a_game_cut_short_is_played_later(run: Run, file: ClassFile) -> None:
    """Court 2 closes during slot 2: its game falls out of slot 2 and is planned again, the other one stays."""
    run(*GAMES)
    first, second = [game for game in day_of(file).assignments if game.slot == 2]
    run(*RESUME, "--played", 2, "--court-closed", 2, "--not-played", 2)
    day = day_of(file)
    assert [game for game in day.assignments if game.slot == 2] == [first]
    assert any({*game.teams} == {*second.teams} for game in after(day, 2))
    assert len(day.assignments) == 15


def test_without_a_result_the_slots_that_are_over_have_to_be_said(run: Run, file: ClassFile) -> None:
    """Nothing that may have been played is ever planned anew because somebody forgot to say so."""
    run(*GAMES)
    run("stations", "7b.class", "--lesson", 2, "--stations", 4)
    for news in ((*RESUME, "--court-closed", 2), ("resume", "7b.class", "--lesson", 2, "--station-closed", 1)):
        ran = run(*news)
        assert ran.status == 2 and "--played K" in ran.err


def test_ten_minutes_lost_at_stations(run: Run, file: ClassFile) -> None:
    """Four slots of 5 with 1 between; after one 17 minutes are left, less 10 hold one (by hand)."""
    run("stations", "7b.class", "--lesson", 2, "--stations", 4, "--play", 5, "--changeover", 1)
    assert run("resume", "7b.class", "--lesson", 2, "--played", 1, "--minutes-lost", 10).status == 0
    assert file.read().record.events[0].slots == 2


def test_games_that_no_longer_fit_are_said_not_to(run: Run, file: ClassFile) -> None:
    """Fifteen games on two courts are 8 slots, 5 minutes each in the 40 of the activity; after two, one court takes 11
    more (by hand: 15 less 4): 13 slots, 65 minutes, and 8 slots fit. Nothing is cut; what the line says then fits."""
    out = run(*GAMES).out
    assert "minutes, and there are" not in out
    ran = run(*RESUME, "--played", 2, "--court-closed", 2)
    assert "6 teams, 1 of 2 courts open: 15 games in 13 slots (65 minutes: 5 each)" in ran.out
    assert "This takes 65 minutes, and there are 40: 8 of 13 slots fit. Nothing was cut" in ran.out
    assert "--played 2 --slots-left 6" in ran.out and len(day_of(file).assignments) == 15
    cut = run(*RESUME, "--played", 2, "--slots-left", 6)
    assert day_of(file).slots == 8 and "minutes, and there are" not in cut.out


def test_without_minutes_of_the_unit_the_length_before_counts(run: Run, file: ClassFile) -> None:
    """Lesson 3 has no minutes; 24 were given with the command, for 8 slots of 3, and 13 of them are 39."""
    run("games", "7b.class", "--lesson", 3, "--courts", 2, "--minutes", 24)
    ran = run("resume", "7b.class", "--lesson", 3, "--played", 2, "--court-closed", 2)
    assert "This takes 39 minutes, and there are 24: 8 of 13 slots fit" in ran.out


def test_teams_with_a_result_are_not_made_anew(run: Run, file: ClassFile) -> None:
    """The round whose groups play is pinned by the first result, and no other."""
    run(*GAMES)
    game = day_of(file).assignments[0]
    run("score", "7b.class", f"{game.home}=1", f"{game.away}=0", "--lesson", 1)
    assert [round_.key for round_ in file.read().record.plan.rounds if round_.pinned] == [(1, 2, 1)]


@pytest.mark.parametrize(
    ("news", "word"),
    [
        (("--court-closed", 1, "--court-closed", 2), "every court is closed"),
        (("--court-closed", 7), "no court 7"),
        (("--team-missing", "Red"), "no team Red; there are 1, 2, 3, 4, 5, 6"),
        (("--played", 99), "cannot be over"),
        (("--played", 1), "slot 2 has a result"),
        (("--slots-left", -1), "0 or more"),
        (("--slots-left", 2, "--minutes-left", 9), "give one of them"),
        (("--station-closed", 1), "no stations yet"),
        (("--station-closed", 1, "--court-closed", 1), "once for each"),
    ],
)
def test_news_that_make_no_sense_change_nothing(run: Run, file: ClassFile, news: tuple[object, ...], word: str) -> None:
    """Exit status 2 and what to do."""
    run(*GAMES)
    game = next(game for game in day_of(file).assignments if game.slot == 2)
    run("score", "7b.class", f"{game.home}=1", f"{game.away}=0", "--lesson", 1)
    before = file.read()
    ran = run(*RESUME, *news)
    assert ran.status == 2 and word in ran.err
    assert file.read() == before


def test_games_with_results_are_not_planned_from_scratch(run: Run, file: ClassFile) -> None:
    """``grouper games`` would lose them, so it refuses and names the command that keeps them."""
    run(*GAMES)
    game = day_of(file).assignments[0]
    run("score", "7b.class", f"{game.home}=1", f"{game.away}=0", "--lesson", 1)
    ran = run(*GAMES)
    assert ran.status == 2 and "grouper resume" in ran.err


def test_a_taught_lesson_is_left_alone(run: Run, file: ClassFile) -> None:
    """Neither games nor stations are planned in it, nor planned anew; results may still be entered."""
    run(*GAMES)
    game = day_of(file).assignments[0]
    run("taught", "7b.class", "--lesson", 1)
    for command in (GAMES, (*RESUME, "--court-closed", 2)):
        ran = run(*command)
        assert ran.status == 2 and "has been taught" in ran.err
    assert run("score", "7b.class", f"{game.home}=1", f"{game.away}=0", "--lesson", 1).status == 0


@st.composite
def troubled_days(draw: st.DrawFn) -> tuple[Event, News]:
    """A day with some slots over, their games scored or not, and any news on courts, teams and time."""
    teams, courts = draw(st.integers(3, 9)), draw(st.integers(1, 4))
    labels = tuple(map(str, range(1, teams + 1)))
    day = plan(Event("games", labels, ("",) * courts, timing=Timing(5, 1)))
    over = draw(st.integers(0, day.slots))
    scored = tuple(replace(g, score=Score(g.home, g.away)) if g.slot <= over else g for g in day.assignments)
    some_teams, some_courts = st.sets(st.integers(1, teams)), st.sets(st.integers(1, courts))
    time = draw(st.builds(TimeLeft, slots=st.none() | st.integers(0, 9)) | st.builds(TimeLeft, lost=st.floats(0, 60)))
    news = News(
        Changes(tuple(sorted(draw(some_courts)))),
        Changes(tuple(sorted(draw(some_teams)))),
        Changes(tuple(sorted(draw(some_teams)))),
        time,
        over,
    )
    return replace(day, assignments=scored), news


@settings(max_examples=60, deadline=None)
@given(troubled=troubled_days())
def test_any_news_leave_what_was_played_and_nobody_in_two_places(troubled: tuple[Event, News]) -> None:
    """Games over stay to the last score; later ones use what is open and who is there, each team once in a slot."""
    day, news = troubled
    over = news.played or 0
    try:
        now = resumed(day, news)
    except InputError as error:
        assert "closed" in str(error) or "fewer than 2" in str(error)
        return
    assert until(now, over) == until(day, over)
    for slot in range(over + 1, now.slots + 1):
        games = [game for game in now.assignments if game.slot == slot]
        busy = [team for g in games for team in (g.home, g.away, g.duty) if team]
        assert len(busy) == len(set(busy)) and not set(busy) & set(news.missing.wrong)
        assert not {g.place for g in games} & set(news.places.wrong)
    assert max(Counter(frozenset((g.home, g.away)) for g in now.assignments).values(), default=0) <= 1
