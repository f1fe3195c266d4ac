"""Reasons and handicaps in words: one line, and the right team."""

from __future__ import annotations

from grouper.faces.wording.tasks import handicap_in_words, play_in_words, reason_in_words
from grouper.model.task_result import TaskResult
from grouper.model.unit import RoundKey
from grouper.tasks.climb import Seen
from grouper.tasks.handicap import Handicap, Play
from grouper.tasks.suggest import GroupTask

NAMES = {"a": "Ana", "b": "Ben", "c": "Cem", "d": "Dia"}


def task(*seen: Seen, unseen: tuple[str, ...] = (), rating: float | None = 3.25, strand: str = "skill") -> GroupTask:
    return GroupTask("1", 2, 6, "space", "Two steps apart", 0.7, strand, rating, seen, unseen)


def result(round_: int, felt: str = "", hits: int | None = None, tries: int | None = None) -> TaskResult:
    return TaskResult(RoundKey(1, 1, round_), "1", felt, hits, tries)


def test_a_group_that_was_together_has_the_short_reason() -> None:
    """No names are needed where all members were in it."""
    whole = Seen(result(1, hits=7, tries=10), 2, ("a", "b"))
    assert reason_in_words(task(whole), NAMES) == "7 of 10 at step 2 last time"


def test_members_of_several_groups_are_named() -> None:
    """Each result with whom it was seen of, and who has none."""
    two = (Seen(result(2, "hard"), 3, ("b", "c")), Seen(result(1, "easy"), 1, ("a",)))
    said = reason_in_words(task(*two, unseen=("d",)), NAMES)
    assert said == (
        "too hard at step 3 last time (Ben and Cem); too easy at step 1 last time (Ana); Dia: nothing seen yet"
    )


def test_without_results_the_reason_is_what_it_starts_from() -> None:
    """The rating, that nobody is rated, or that the activity goes by no strand."""
    assert reason_in_words(task(), NAMES) == "nothing seen yet, skill 3.25 on average"
    assert "nobody is rated in skill" in reason_in_words(task(rating=None), NAMES)
    assert "goes by no rating" in reason_in_words(task(rating=None, strand=""), NAMES)


def test_the_start_goes_to_whom_it_is_meant_for() -> None:
    """Above 0 to the weaker team, below 0 to the stronger, and none where none is needed."""
    play, zoned = Play(11, timed=False), Play(20, timed=True, zone=0.3)
    assert handicap_in_words("2", "1", Handicap(3, 0.25, 0.51), play).startswith("2 - 1: team 2 starts with 3 points (")
    assert "team 1 starts with 1 point, zone for team 2 (" in handicap_in_words("2", "1", Handicap(-1, 0.5, 0.5), zoned)
    assert "no start needed" in handicap_in_words("2", "1", Handicap(0, 0.5, 0.5), play)
    assert "no start, zone for team 2 (" in handicap_in_words("2", "1", Handicap(0, 0.4, 0.5), zoned)
    assert play_in_words(play) == "games to 11 points"
    assert "30% of the weaker team's points" in play_in_words(zoned)
