"""What the page says of games and stations that take longer than there is time; nothing where they fit."""

from __future__ import annotations

from grouper.faces.page.play_view import lesson_play
from grouper.files.store import ClassFile

from .conftest import Run


def test_games_on_the_page_say_that_they_are_too_long(run: Run, file: ClassFile) -> None:
    """Eight slots of 5 fill the 40 minutes of the activity; 13 do not."""
    run("games", "7b.class", "--lesson", 1, "--activity", "games", "--courts", 2)
    assert lesson_play(file.read().record, "games", 1).events[0].too_long == ""
    run("resume", "7b.class", "--lesson", 1, "--played", 2, "--court-closed", 2)
    (day,) = lesson_play(file.read().record, "games", 1).events
    assert day.too_long == "This takes 65 minutes, and there are 40: 8 of 13 slots fit"
    assert day.heading.startswith("6 teams, 1 of 2 courts open")


def test_stations_on_the_page_say_that_they_are_too_long(run: Run, file: ClassFile) -> None:
    """Four slots of 7.5 fill the 30 minutes; station 4, closed for all of them, takes four more."""
    run("stations", "7b.class", "--lesson", 2, "--stations", 4)
    run("resume", "7b.class", "--lesson", 2, "--played", 0, "--station-closed", 4)
    (day,) = lesson_play(file.read().record, "stations", 2).events
    assert (day.too_long, day.heading.split(":")[0]) == ("", "8 groups, 3 of 4 stations open")
    run("resume", "7b.class", "--lesson", 2, "--played", 4, "--station-open", 4, "--slots-left", 9)
    (day,) = lesson_play(file.read().record, "stations", 2).events
    assert day.too_long == "This takes 60 minutes, and there are 30: 4 of 8 slots fit"
