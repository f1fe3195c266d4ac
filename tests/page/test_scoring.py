"""Points on the page, in a real browser: a way is chosen, tapped in for games and for groups, read on the screen."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Locator, Page

from grouper.files.levers import default_levers
from grouper.files.words.levers import kind_of_activity
from grouper.model.play import Event
from grouper.model.record import ClassRecord
from grouper.tasks.kept import class_totals, scored_as, set_up, with_two_ways
from grouper.tasks.rounds import tasks_of_round

from .conftest import Class, screen_of
from .test_games import GAME, LESSON, planned


def choose(klass: Class, activity: str, way: str, worth: str = "", rule: str = "") -> Page:
    """A way of scoring for an activity, on the page of tasks."""
    page = klass.open(f"/tasks?lesson={LESSON}")
    button = page.get_by_label(f"Save how points count in {activity}", exact=True)
    form: Locator = page.locator("form", has=button)
    page.locator("details", has=button).locator("summary").click()
    form.locator("select").select_option(way)
    form.locator("input[name=worth]").fill(worth)
    form.locator("input[name=rule]").fill(rule)
    klass.settle(button.click)
    return page


def edit(klass: Class, what: str, verb: Callable[[ClassRecord], ClassRecord]) -> None:
    """A change of the class file that is made elsewhere."""
    with klass.file.change(what) as change:
        change.record = verb(change.record)


def event(klass: Class) -> Event:
    (day,) = klass.record.games
    return day


def test_a_way_is_chosen_and_its_taps_make_the_net_score(klass: Class) -> None:
    """By hand: a hit and two in the danger zone at 5 each are 1 less 10: the game is -9 to 0, and the screen has the
    rule."""
    planned(klass)
    choose(klass, GAME, "danger zone", "5")
    rule = "1 point for each hit; whoever is in the danger zone loses 5."
    page = klass.open(f"/lesson/{LESSON}/games")
    assert rule in page.inner_text("#rule-1")
    first = event(klass).assignments[0]
    where, home = f"Slot {first.slot}, court {first.place}", event(klass).name(first.home)
    page.get_by_label(f"{where}: one more for team {home}", exact=True).click()
    lost = page.get_by_label(f"{where}: 5 more lost by team {home}, danger zone", exact=True)
    lost.click()
    klass.settle(lost.click)
    page.wait_for_function("() => !document.querySelector('.game.saving') && !quiet.busy")
    score = event(klass).assignments[0].score
    assert score and (score.home, score.home_lost, score.net) == (1, 10, (-9, 0))
    screen = screen_of(klass, LESSON)
    assert rule in (screen.text_content("body") or "")


def test_forms_without_a_rank_show_no_table(klass: Class) -> None:
    """The class has a total together, and no team stands before another."""
    page = planned(klass)
    edit(klass, "results", lambda record: scored_as(record, GAME, "class total"))
    page = klass.open(f"/lesson/{LESSON}/games")
    page.fill("#s-1-1-1-h", "12")
    page.fill("#s-1-1-1-a", "4")
    klass.settle(lambda: page.click("#save-1"))
    assert class_totals(klass.record, GAME) == {LESSON: 16}
    assert "Together, the class: 16 points." in page.inner_text("#total-1")
    assert page.locator("#standings-1").count() == 0


def test_points_of_groups_are_tapped_after_a_round(klass: Class) -> None:
    """Hits at two, near misses at one; what was said of the task stays beside them."""
    name = klass.record.unit.lessons[0].activities[0].name
    edit(klass, "near misses", lambda record: scored_as(record, name, "near misses"))
    page = klass.open("/lesson/1/after")
    klass.settle(lambda: page.click("#f-1-1-easy"))
    label = klass.record.results[0].label
    page.get_by_label(f"Group {label}: 2 more, hit", exact=True).first.click()
    page.get_by_label(f"Group {label}: 2 more, hit", exact=True).first.click()
    klass.settle(page.get_by_label(f"Group {label}: one more, near miss", exact=True).first.click)
    page.wait_for_function("() => !document.querySelector('.game.saving') && !quiet.busy")
    (result,) = klass.record.results
    assert (result.felt, result.points, result.lost) == ("easy", 5, 0)
    assert page.input_value("#p-1-1") == "5"
    page.fill("#p-1-1", "")
    klass.settle(lambda: page.click("#save-points-1"))
    assert klass.record.results[0].points is None


def test_points_of_so_many_attempts_teach_which_task_fits(klass: Class) -> None:
    """Where a hit is all that wins points the hits follow the taps; where it is not, the page says what teaches."""
    library = {one.activity: one for one in default_levers()}
    name = klass.record.unit.lessons[0].activities[0].name
    edit(klass, "levers", lambda record: set_up(record, library, lambda _: "Throwing and catching"))
    edit(klass, "per hit", lambda record: scored_as(record, name, "per hit"))
    page = klass.open("/lesson/1/after")
    page.fill("#p-1-1", "6")
    page.fill("#o-1-1", "10")
    klass.settle(lambda: page.click("#save-points-1"))
    assert [(one.points, one.hits, one.tries) for one in klass.record.results] == [(6, 6, 10)]
    label = klass.record.results[0].label
    klass.settle(page.get_by_label(f"Group {label}: one more", exact=True).first.click)
    page.wait_for_function("() => !document.querySelector('.game.saving') && !quiet.busy")
    assert [(one.points, one.hits, one.tries) for one in klass.record.results] == [(7, 7, 10)]
    page.fill("#o-1-1", "")
    klass.settle(lambda: page.click("#save-points-1"))
    assert [(one.points, one.hits, one.tries) for one in klass.record.results] == [(7, None, None)]
    edit(klass, "misses", lambda record: scored_as(record, name, "near misses"))
    page = klass.open("/lesson/1/after")
    assert page.locator("#o-1-1").count() == 0 and "teach nothing about tasks here" in page.inner_text("#went-1")


def test_which_way_children_chose_is_noted(klass: Class) -> None:
    """One tap; it is what they had then, and tapped again it is not known any more."""
    library = {one.activity: one for one in default_levers()}
    name = klass.record.unit.lessons[0].activities[0].name
    edit(klass, "levers", lambda record: set_up(record, library, lambda _: "Throwing and catching"))
    edit(klass, "two ways", lambda record: with_two_ways(record, name, True))
    key = klass.record.unit.keys[0]
    label, task = next(iter(sorted(tasks_of_round(klass.record, key).items())))
    assert task.other and kind_of_activity("catching") == "Throwing and catching"
    page = klass.open("/lesson/1/after")
    ways = page.locator(f"#went-1 button[value^='{label}|']")
    (lever, now, then), *_ = task.ways
    other = int(lever.settings[now - 1].shown < lever.settings[then - 1].shown)
    klass.settle(ways.nth(other).click)
    (chosen,) = klass.record.chosen_tasks
    assert (chosen.label, chosen.at) == (label, task.other)
    after = tasks_of_round(klass.record, key)[label]
    assert after.card == task.card and after.at == task.other
    assert ways.nth(other).get_attribute("aria-pressed") == "true"
    klass.settle(ways.nth(other).click)
    assert klass.record.chosen_tasks == ()
