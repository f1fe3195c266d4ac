"""Games and stations on the students' screen: a scene a slot after the round whose groups play, and nothing stale."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from playwright.sync_api import Page

from grouper.faces.views.students import Scene, screen_view
from grouper.files.store import ClassFile
from grouper.games.days.groups import called, labels_of, of_class
from grouper.games.days.plan import plan
from grouper.model.play import GAMES, STATIONS, Asked, Event, Score, Timing
from grouper.model.record import ClassRecord
from grouper.planning.adjust import with_other_groups
from grouper.planning.attend import aside
from grouper.planning.repair import repair

from .conftest import Class, screen_of

LESSON, TEAMS = 2, 4
"""The lesson whose last round has four teams; three rounds come before it."""
NAMES = {"1": "Red", "2": "Blue", "3": "Foxes"}
"""What three of the teams are called."""


def game(record: ClassRecord) -> str:
    return record.lesson(LESSON).activities[-1].name


def with_play(record: ClassRecord, courts: int = 1) -> ClassRecord:
    """Every two of the four teams meet once, four minutes each."""
    wish = Event(GAMES, (), ("",) * courts, timing=Timing(4.0, 1.0))
    return record.with_event(plan(of_class(record, wish, LESSON, game(record))))


def with_stations(record: ClassRecord) -> ClassRecord:
    stations = ("Skipping", "", "", "", "Balance")
    wish = Event(STATIONS, (), stations, asked=Asked(order="balanced"), timing=Timing(3.0))
    return record.with_event(plan(of_class(record, wish, LESSON, game(record))))


def change(klass: Class, verb: Callable[[ClassRecord], ClassRecord]) -> None:
    with ClassFile(klass.file.path).change("play") as edit:
        edit.record = verb(edit.record)


def slots_of(record: ClassRecord) -> list[Scene]:
    return [scene for scene in screen_view(record, LESSON).scenes if scene.slot]


def test_a_scene_a_slot_with_every_game_and_everybody_in_it(klass: Class) -> None:
    """Courts, teams and their people as planned; who neither plays nor has duty waits; minutes are those of play."""
    record = with_play(klass.record, courts=1)
    view = screen_view(record, LESSON)
    assert [scene.key for scene in view.scenes[:4]] == ["1", "2", "3", "4"] and view.rounds == 4
    scenes = slots_of(record)
    assert len(scenes) == 6 and {scene.minutes for scene in scenes} == {4.0}
    people = {card.label: {person.name for person in card.members} for card in view.scenes[3].block.groups}
    met = set()
    for scene in scenes:
        assert scene.slot and len(scene.slot.cards) == 1
        (card,) = scene.slot.cards
        home, away = (side.label for side in card.sides)
        assert all(set(side.people) == people[side.label] for side in card.sides)
        assert {home, away, card.duty, *scene.slot.resting} - {""} == set(people)
        met.add(frozenset((home, away)))
    assert len(met) == 6


def test_groups_are_called_on_their_round_as_in_their_play(klass: Class) -> None:
    """Bibs that the teacher chose stand with their word on the cards of the round whose groups play."""
    change(klass, lambda record: with_play(record).with_event(called(with_play(record).games[0], NAMES)))
    screen = screen_of(klass, LESSON)
    assert screen.locator(".round.now .called").count() == 0
    turn(screen, 3)
    words = screen.locator(".round.now .called bdi")
    assert words.all_inner_texts() == ["Red", "Blue", "Foxes"]
    assert [one.get_attribute("data-bib") for one in words.all()] == ["red", "blue", None]
    assert screen.locator(".round.now .label").all_inner_texts() == ["1", "2", "3", "4"]
    screen.keyboard.press("a")
    assert set(screen.locator("#list b").all_inner_texts()) == {"Red", "Blue", "Foxes", "4"}


def test_stations_name_what_is_done_and_who_rests(klass: Class) -> None:
    """Five stations for four teams: each slot has four at work, and none in two places."""
    for scene in slots_of(with_stations(klass.record)):
        assert scene.slot
        there = [side.label for card in scene.slot.cards for side in card.sides]
        assert sorted([*there, *scene.slot.resting]) == ["1", "2", "3", "4"] and scene.minutes == 3.0
        assert {card.name for card in scene.slot.cards if card.number == 1} <= {"Skipping"}


def test_play_for_other_groups_than_there_are_is_not_shown(klass: Class) -> None:
    """Two groups where four teams were: their games would send people to games that are none."""
    other = repair(with_other_groups(with_play(klass.record), LESSON, game(klass.record), 2, None)).record
    assert labels_of(other.plan.of_lesson(LESSON)[-1].groups) != other.games[0].teams
    assert slots_of(other) == [] and slots_of(with_play(klass.record)) != []


def test_no_score_reaches_the_screen(klass: Class) -> None:
    """A game with a score is the same scene as one without."""
    record = with_play(klass.record)
    day = record.games[0]
    scored = replace(day, assignments=tuple(replace(one, score=Score(31, 17)) for one in day.assignments))
    assert screen_view(record.with_event(scored), LESSON) == screen_view(record, LESSON)


def on(screen: Page) -> str:
    return screen.inner_text("#of")


def turn(screen: Page, times: int) -> None:
    for _ in range(times):
        screen.keyboard.press("ArrowRight")


def test_games_on_the_wall_can_be_read_and_have_a_clock(klass: Class) -> None:
    """On three common pictures no name is cut; the countdown is that of a slot, and the next slot is announced."""
    change(klass, lambda record: with_play(record, courts=2))
    screen = screen_of(klass, LESSON)
    turn(screen, 4)
    assert on(screen) == "Round 4 of 4, slot 1 of 3" and screen.inner_text("#clock-time") == "4:00"
    assert " ".join(screen.inner_text("#next").split()) == "Next: Lighthouse game, slot 2 of 3 · 4 min"
    everybody = {student.name for student in klass.record.roster.active}
    for width, height in ((1920, 1080), (1280, 800), (1024, 768)):
        screen.set_viewport_size({"width": width, "height": height})
        screen.wait_for_timeout(250)
        names = screen.eval_on_selector_all(
            ".round.now .members bdi",
            """all => all.map(name => { const n = name.getBoundingClientRect();
               const card = name.closest('.group').getBoundingClientRect();
               const foot = document.querySelector('.foot').getBoundingClientRect();
               return [name.textContent,
                       n.left >= card.left && n.right <= card.right + 1 && n.bottom <= foot.top + 1]; })""",
        )
        assert len(names) == len(everybody) and all(inside for _, inside in names), width


def test_the_screen_stays_where_it_is_when_games_come_and_go(klass: Class) -> None:
    """Games are planned, changed and dropped at the desk while the screen is on."""
    change(klass, with_play)
    screen = screen_of(klass, LESSON)
    turn(screen, 5)
    assert on(screen) == "Round 4 of 4, slot 2 of 6"
    change(klass, lambda record: with_play(record, courts=2))
    screen.wait_for_function("() => document.getElementById('of').textContent.endsWith('slot 2 of 3')")
    change(klass, lambda record: replace(record, events=()))
    screen.wait_for_function("() => document.getElementById('of').textContent === 'Round 4 of 4'")
    change(klass, with_play)
    screen.wait_for_function("() => document.querySelectorAll('.round').length === 10")
    assert on(screen) == "Round 4 of 4"


def test_the_door_knows_the_round_of_a_slot(klass: Class) -> None:
    """In the second slot of the games of round 1, a tap counts from round 2 on."""

    def with_first_games(record: ClassRecord) -> ClassRecord:
        wish = Event(GAMES, (), ("", "", ""))
        return record.with_event(plan(of_class(record, wish, LESSON, record.lesson(LESSON).activities[0].name)))

    change(klass, with_first_games)
    screen = screen_of(klass, LESSON)
    turn(screen, 2)
    assert on(screen).startswith("Round 1 of 4, slot 2 of ")
    with screen.expect_response(lambda answer: "rounds?round=1" in answer.url):
        pass
    klass.open(f"/lesson/{LESSON}")
    assert klass.page.locator("#since-2").is_checked()


def test_the_lesson_turns_through_all_slots_on_a_phone(klass: Class) -> None:
    """At 360 px nothing sticks out to the side in any scene."""
    change(klass, lambda record: with_stations(with_play(record, courts=2)))
    screen = screen_of(klass, LESSON)
    screen.set_viewport_size({"width": 360, "height": 740})
    for scene in screen_view(klass.record, LESSON).scenes:
        screen.wait_for_function("k => document.querySelector('.round.now').dataset.key === k", arg=scene.key)
        assert screen.evaluate("() => document.documentElement.scrollWidth") <= 360
        screen.keyboard.press("ArrowRight")


def test_a_reload_finds_the_scene_again_when_others_came(klass: Class) -> None:
    """Stations of round 1 are planned while round 2 runs; after a reload it is round 2 still, and its clock."""
    screen = screen_of(klass, LESSON)
    turn(screen, 1)
    screen.keyboard.press(" ")

    def with_first_games(record: ClassRecord) -> ClassRecord:
        wish = Event(GAMES, (), ("", "", ""))
        return record.with_event(plan(of_class(record, wish, LESSON, record.lesson(LESSON).activities[0].name)))

    change(klass, with_first_games)
    screen.wait_for_function("() => document.querySelectorAll('.round').length > 4")
    assert on(screen) == "Round 2 of 4"
    screen.reload()
    screen.wait_for_selector(".round.now")
    assert on(screen) == "Round 2 of 4" and screen.inner_text("#go") == "Pause"


def test_one_clock_for_games_and_everybody_aside_in_sight(klass: Class) -> None:
    """The round's own scene has no clock where its slots have theirs; who is aside stands beside every slot."""
    record = aside(with_play(klass.record), LESSON, ("0004",), "scorer").record
    scenes = screen_view(record, LESSON).scenes
    assert scenes[3].minutes is None and {scene.minutes for scene in scenes[4:]} == {4.0}
    change(klass, lambda _: record)
    screen = screen_of(klass, LESSON)
    turn(screen, 5)
    assert "Davud" in screen.inner_text(".round.now .helpers >> nth=-1")
    without_time = replace(record, events=tuple(replace(day, timing=Timing()) for day in record.events))
    assert screen_view(without_time, LESSON).scenes[3].minutes == 15.0
