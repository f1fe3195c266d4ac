"""Games on the page, in a real browser: planned for the teams of a lesson, scored, carried on."""

from __future__ import annotations

from playwright.sync_api import Page

from grouper.faces.views.students import screen_view
from grouper.games.days.season import season_of
from grouper.model.play import Event

from .conftest import Class, screen_of
from .serving import run

LESSON = 2
GAME = "Lighthouse game"


def games(klass: Class) -> Event:
    """What the class file holds."""
    (day,) = klass.record.games
    return day


def planned(klass: Class, courts: int = 2) -> Page:
    """The teams of the game are given courts, from the door."""
    page = klass.open(f"/lesson/{LESSON}")
    page.click("#to-games")
    page.fill("#courts", str(courts))
    klass.settle(lambda: page.click("#plan-them"))
    return page


def enter(page: Page, spot: str, home: int, away: int) -> None:
    """Type a result."""
    page.fill(f"#s-1-{spot}-h", str(home))
    page.fill(f"#s-1-{spot}-a", str(away))


def table(page: Page) -> list[list[str]]:
    return page.eval_on_selector_all(
        "#standings-1 tbody tr", "rows => rows.map(row => [...row.children].map(cell => cell.textContent))"
    )


def test_games_are_planned_for_the_teams_of_the_lesson(klass: Class) -> None:
    """Four teams on two courts: each two meet once, as the command would plan it."""
    planned(klass)
    day = games(klass)
    pairs = {frozenset((f.home, f.away)) for f in day.assignments}
    assert day.activity == GAME and len(day.teams) == 4 and len(day.assignments) == len(pairs) == 6
    run(klass.served.folder, "undo", klass.name)
    assert klass.record.games == ()
    run(klass.served.folder, "games", klass.name, "--lesson", str(LESSON), "--activity", GAME, "--courts", "2")
    assert games(klass) == day


def test_results_are_typed_and_the_table_runs(klass: Class) -> None:
    """Two results at once; the table has 3 points for the win and 1 for each side of the draw, as on paper."""
    page = planned(klass)
    first, second = games(klass).assignments[:2]
    enter(page, f"{first.slot}-{first.place}", 5, 2)
    enter(page, f"{second.slot}-{second.place}", 3, 3)
    klass.settle(lambda: page.click("#save-1"))
    rows = {row[1]: row for row in table(page)}
    teams = games(klass).teams
    assert rows[teams[first.home - 1]][:7] == ["1", teams[first.home - 1], "3", "1", "1–0–0", "5:2", "+3"]
    assert [rows[teams[side - 1]][2] for side in (second.home, second.away, first.away)] == ["1", "1", "0"]
    assert "2 of 6 with a result" in page.inner_text(".panel-head")
    scores = [game.score for event in season_of(klass.record).events for game in event.scored]
    assert [score.net for score in scores if score] == [(5, 2), (3, 3)]
    assert any(round_.pinned for round_ in klass.record.plan.of_lesson(LESSON))


def test_a_result_is_put_right_and_taken_back(klass: Class) -> None:
    """Typed again it replaces the one before; 'Take back' leaves the game open, and undo brings it back."""
    page = planned(klass)
    game = games(klass).assignments[0]
    spot = f"{game.slot}-{game.place}"
    for home, away in ((4, 1), (1, 4)):
        enter(page, spot, home, away)
        klass.settle(lambda: page.keyboard.press("Enter"))
    score = games(klass).assignments[0].score
    assert score and (score.home, score.away) == (1, 4)
    klass.settle(lambda: page.click(f"button[value^='{spot} ']"))
    assert games(klass).scored == () and not page.locator("#standings-1").count()
    klass.settle(lambda: page.click("#undo"))
    assert games(klass).assignments[0].score == score


def test_enter_saves_what_was_typed_and_takes_nothing_back(klass: Class) -> None:
    """The key on the keyboard is 'Save', although a button to take back stands before it."""
    page = planned(klass)
    first, second = games(klass).assignments[:2]
    for number, game in enumerate((first, second), start=1):
        enter(page, f"{game.slot}-{game.place}", number, 0)
        klass.settle(lambda: page.keyboard.press("Enter"))
    assert [game.score.home for game in games(klass).scored if game.score] == [1, 2]


def test_points_lost_in_play_are_typed_and_decide_the_game(klass: Class) -> None:
    """6 won and 4 lost against 3 is a defeat; the game says how it ended, and the fields keep what was typed."""
    page = planned(klass)
    game = games(klass).assignments[0]
    spot = f"{game.slot}-{game.place}"
    enter(page, spot, 6, 3)
    page.click(f"li.game:has(#l-1-{spot}-h) details.lost summary")
    page.fill(f"#l-1-{spot}-h", "4")
    klass.settle(lambda: page.click("#save-1"))
    score = games(klass).assignments[0].score
    assert score and (score.home, score.home_lost, score.net) == (6, 4, (2, 3))
    assert "the game is 2:3" in page.inner_text(f"li.game:has(#l-1-{spot}-h) details.lost")
    assert page.input_value(f"#l-1-{spot}-h") == "4" and page.input_value(f"#s-1-{spot}-h") == "6"
    assert {row[1]: row[2] for row in table(page)}[games(klass).teams[game.away - 1]] == "3"
    page.fill(f"#l-1-{spot}-h", "")
    klass.settle(lambda: page.click("#save-1"))
    score = games(klass).assignments[0].score
    assert score and score.net == (6, 3)


def test_half_a_result_is_refused_in_words_and_nothing_is_saved(klass: Class) -> None:
    """One number is no result; what was typed stays in the field."""
    page = planned(klass)
    game = games(klass).assignments[0]
    page.fill(f"#s-1-{game.slot}-{game.place}-h", "3")
    page.click("#save-1")
    page.wait_for_selector("#notice:not([hidden])")
    assert "a result needs two numbers" in page.inner_text("#notice-text") and games(klass).scored == ()
    assert page.input_value(f"#s-1-{game.slot}-{game.place}-h") == "3"


def test_results_of_two_windows_both_stand(klass: Class) -> None:
    """Each saves a game of its own from a page that does not know of the other: no result is overwritten."""
    page = planned(klass)
    other = klass.page.context.new_page()
    other.goto(page.url)
    first, second = games(klass).assignments[:2]
    for window in (page, other):
        window.evaluate("() => { quiet.busy = 1; }")
    enter(other, f"{second.slot}-{second.place}", 2, 1)
    other.evaluate("() => { quiet.busy = 0; }")
    other.click("#save-1")
    other.wait_for_selector("#standings-1")
    enter(page, f"{first.slot}-{first.place}", 7, 6)
    klass.settle(lambda: page.click("#save-1"))
    assert len(games(klass).scored) == 2


def test_after_a_court_closed_the_rest_is_planned_on_the_other(klass: Class) -> None:
    """One slot is over with results; from the second on just court 1 is used, and everybody still meets."""
    page = planned(klass)
    for game in [f for f in games(klass).assignments if f.slot == 1]:
        enter(page, f"1-{game.place}", 2, 1)
    klass.settle(lambda: page.click("#save-1"))
    page.click("#on-1 summary")
    page.uncheck("#on-1 input[name='court'][value='2']")
    klass.settle(lambda: page.click("#go-on-1"))
    day = games(klass)
    assert day.setback.closed == (2,) and {f.place for f in day.assignments if f.slot > 1} == {1}
    assert len({frozenset((f.home, f.away)) for f in day.assignments}) == 6 and len(day.scored) == 2
    page.check("#on-1 input[name='court'][value='2']")
    klass.settle(lambda: page.click("#go-on-1"))
    assert games(klass).setback.closed == ()


def test_a_result_for_a_game_that_is_another_now_is_refused(klass: Class) -> None:
    """Planned anew in another window: the old page cannot put a score on other teams."""
    page = planned(klass)
    last = games(klass).assignments[-1]
    page.evaluate("() => { quiet.busy = 1; }")
    command = ("resume", klass.name, "--lesson", str(LESSON), "--played", "0", "--court-closed", "1")
    assert run(klass.served.folder, *command).returncode == 0
    enter(page, f"{last.slot}-{last.place}", 1, 0)
    page.click("#save-1")
    page.wait_for_selector("#notice:not([hidden])")
    assert games(klass).scored == ()


def test_the_table_is_that_of_the_command(klass: Class) -> None:
    """Rank, team and points as ``grouper standings`` writes them."""
    page = planned(klass)
    for place, game in enumerate(games(klass).assignments):
        enter(page, f"{game.slot}-{game.place}", place % 4, 2)
    klass.settle(lambda: page.click("#save-1"))
    assert "first" in page.inner_text("#table-1")
    written = klass.served.folder / "table.csv"
    run(klass.served.folder, "standings", klass.name, "--to", written.name)
    rows = [line.split(",") for line in written.read_text(encoding="utf-8-sig").splitlines()[1:]]
    assert [(row[0], row[1], row[2]) for row in table(page)] == [(row[0], row[1], row[-1]) for row in rows]


def test_teams_get_bibs_and_the_wall_says_so(klass: Class) -> None:
    """A colour by its word for team 1, a name for team 2: games, results and the screen say it; the plan stays."""
    page = planned(klass)
    before = games(klass).assignments
    page.click("#names-1 summary")
    page.fill("#called-1-1", "Red")
    page.fill("#called-1-2", "Foxes")
    klass.settle(lambda: page.click("#name-1"))
    assert games(klass).called == ("Red", "Foxes", "", "") and games(klass).assignments == before
    game = before[0]
    enter(page, f"{game.slot}-{game.place}", 4, 1)
    klass.settle(lambda: page.click("#save-1"))
    assert games(klass).scored
    assert page.locator(".team bdi[data-bib=red]").first.inner_text() == "Red"
    screen = screen_of(klass, LESSON)
    shown = screen.eval_on_selector_all(".places .team", "all => all.map(one => one.textContent)")
    assert {"Red", "Foxes"} <= set(shown)


def test_the_wall_shows_the_first_places_only_when_that_is_chosen(klass: Class) -> None:
    """After the last slot, and not unless the teacher chose it below the table."""
    page = planned(klass)
    game = games(klass).assignments[0]
    enter(page, f"{game.slot}-{game.place}", 4, 1)
    klass.settle(lambda: page.click("#save-1"))
    assert not any(scene.standings for scene in screen_view(klass.record, LESSON).scenes)
    page.select_option("#wall-1", "top")
    klass.settle(lambda: page.click("#show-1"))
    screen = screen_of(klass, LESSON)
    assert screen.locator(".standings").count() == 1
    for _ in range(12):
        if not screen.locator(".round.now .standings").count():
            screen.keyboard.press("ArrowRight")
    assert "the first places" in screen.inner_text("#of")
    assert screen.locator(".round.now .standings li").count() >= 1
