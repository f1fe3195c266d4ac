"""Other ids for the same people: nothing that names a student is left behind."""

from __future__ import annotations

from builders import game, games_of

from grouper.model.play import Score
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.tags import as_called_in, free_id, with_ids


def test_two_swap_their_ids_in_the_line_ups_of_a_game() -> None:
    """All at once, so that neither becomes the other on the way."""
    roster = Roster((Student("1", "Ana"), Student("2", "Ben")))
    won = game(1, 1, 1, 2, score=Score(1, 0), lineup=(("1",), ("2",)))
    day = games_of(1, "Game", ("1", "2"), 1, (won,), method="a draw")
    swapped = with_ids(ClassRecord(roster, events=(day,)), {"1": "2", "2": "1"})
    assert [student.id for student in swapped.roster.students] == ["2", "1"]
    assert swapped.games[0].assignments[0].lineup == (("2",), ("1",))
    assert swapped.games[0].teams == ("1", "2")
    assert as_called_in(swapped, roster) == ClassRecord(roster, events=(day,))


def test_an_id_that_is_taken() -> None:
    """It says whose it was, as often as it takes."""
    assert free_id("7", ()) == "7"
    assert free_id("7", {"7"}) == "was 7"
    assert free_id("7", {"7", "was 7"}) == "was 7 (2)"
