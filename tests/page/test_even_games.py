"""Starting points for uneven games, on the page, for the teacher alone."""

from __future__ import annotations

from grouper.tasks.handicap import Play
from grouper.tasks.uneven import levelled, pairings_of, strand_meant

from .conftest import Class


def test_the_page_says_what_the_verbs_say(klass: Class) -> None:
    """Games to eleven points in the second activity of lesson 2: as many lines as games, the starts as computed."""
    page = klass.open("/lesson/2/games")
    page.click("#even")
    page.select_option("#activity", klass.record.lesson(2).activities[1].name)
    page.select_option("#until", "points")
    page.fill("#points", "11")
    page.click("#show")
    page.wait_for_url("**points=11**")
    record = klass.record
    round_ = next(r for r in record.plan.of_lesson(2) if r.key.activity == 2)
    strand = strand_meant(record, round_, "")
    wanted = levelled(record, round_, pairings_of(record, round_), strand, Play(11, False))
    lines = page.locator("#starts li").all_inner_texts()
    assert len(lines) == len(wanted)
    for line, game in zip(lines, wanted, strict=True):
        start = game.handicap.start
        assert ("no start needed" in line) if start == 0 else (f"starts with {abs(start)} point" in line)


def test_an_activity_without_a_rating_says_what_to_do(klass: Class) -> None:
    """Nothing can be told by no strand; the page names those there are."""
    page = klass.open(f"/lesson/1/even?activity={klass.record.lesson(1).activities[0].name}")
    assert "goes by no rating" in page.inner_text("#cannot")
    klass.open(f"/lesson/2/even?activity={klass.record.lesson(2).activities[1].name}&points=0")
    assert "a game has 1 to" in page.inner_text("#cannot")
