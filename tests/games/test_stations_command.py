"""``grouper stations`` from outside."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from pathlib import Path

import pytest

from grouper.files.store import ClassFile

from .conftest import Run, rows


def visits(path: Path) -> list[tuple[int, int, int]]:
    return [(int(row["slot"]), int(row["station"]), int(row["group"])) for row in rows(path)]


def meetings(all_visits: list[tuple[int, int, int]]) -> Counter[frozenset[int]]:
    places = {visit[:2] for visit in all_visits}
    here = [[group for *place, group in all_visits if tuple(place) == wanted] for wanted in places]
    return Counter(frozenset(pair) for groups in here for pair in combinations(groups, 2))


def test_columns_are_exactly_those_promised(run: Run, tmp_path: Path) -> None:
    """The header is ``slot,station,group``, a row a group a slot."""
    assert run("stations", "--groups", 8, "--stations", 4, "--to", "s.csv").status == 0
    lines = (tmp_path / "s.csv").read_bytes().split(b"\r\n")
    assert lines[0] == b"slot,station,group"
    assert len(lines) == 1 + 8 * 4 + 1


@pytest.mark.parametrize("stations", [3, 4, 5, 6, 7])
def test_every_group_is_at_every_station_once_with_others_each_time(run: Run, tmp_path: Path, stations: int) -> None:
    """2n groups at n stations: a Howell design H(n, 2n), which exists for all n but 2 (design theory)."""
    assert run("stations", "--groups", 2 * stations, "--stations", stations, "--to", "s.csv").status == 0
    found = visits(tmp_path / "s.csv")
    groups = range(1, 2 * stations + 1)
    assert Counter((group, station) for _, station, group in found) == {
        (group, station): 1 for group in groups for station in range(1, stations + 1)
    }
    assert len({(slot, group) for slot, _, group in found}) == len(found)
    assert max(meetings(found).values()) == 1


def test_two_stations_cannot_mix_and_the_bound_says_so(run: Run) -> None:
    """Four groups at two stations: there is no H(2, 4); the same pairs meet again, and no circuit can avoid it."""
    out = run("stations", "--groups", 4, "--stations", 2, "--to", "s.csv").out
    (line,) = [line for line in out.splitlines() if "meetings of two groups after their first" in line]
    assert line.split()[-3:] == ["2", "proven", "best"]


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("--groups", 0, "--stations", 4, "--to", "s.csv"), "at least 1 group"),
        (("--groups", 8, "--stations", 1, "--to", "s.csv"), "at least 2"),
        (("--groups", 8, "--stations", 4, "--minutes", -1, "--to", "s.csv"), "more than 0 minutes"),
        (("--groups", 8, "--to", "s.csv"), "--stations N"),
        (("--groups", 8, "--stations", 1, "--name", "A", "--name", "B", "--to", "s.csv"), "too many"),
        (("--stations", 4, "--to", "s.csv"), "--groups N"),
    ],
)
def test_bad_input_is_refused_in_a_sentence(run: Run, tmp_path: Path, arguments: tuple[object, ...], word: str) -> None:
    """Exit status 2, what to change, and no file is written."""
    ran = run("stations", *arguments)
    assert ran.status == 2
    assert word in ran.err
    assert not list(tmp_path.iterdir())


def test_short_time_takes_fewer_slots(run: Run, tmp_path: Path) -> None:
    """20 minutes hold three slots of 5 with 1 between (by hand)."""
    run("stations", "--groups", 8, "--stations", 4, "--minutes", 20, "--play", 5, "--changeover", 1, "--to", "s.csv")
    assert {slot for slot, *_ in visits(tmp_path / "s.csv")} == {1, 2, 3}


def test_a_station_closed_midway_keeps_what_was_worked(run: Run, tmp_path: Path, file: ClassFile) -> None:
    """After two slots station 4 is closed: those slots stay, nobody is sent there or is in two places, nobody waits.

    And nobody is twice at a station before they have been at all of the three that are open.
    """
    run("stations", "7b.class", "--lesson", 2, "--stations", 4, "--to", "before.csv")
    ran = run("resume", "7b.class", "--lesson", 2, "--played", 2, "--station-closed", 4, "--to", "after.csv")
    before, after = visits(tmp_path / "before.csv"), visits(tmp_path / "after.csv")
    assert ran.status == 0
    assert [v for v in after if v[0] <= 2] == [v for v in before if v[0] <= 2]
    assert all(station != 4 for slot, station, _ in after if slot > 2)
    assert len({(slot, group) for slot, _, group in after}) == len(after)
    assert Counter(slot for slot, *_ in after) == dict.fromkeys(range(1, 5), 8)
    for group in range(1, 9):
        way = [station for _, station, one in sorted(after) if one == group]
        assert all(place not in way[:at] or {1, 2, 3} <= set(way[:at]) for at, place in enumerate(way))
    (kept,) = file.read().record.events
    worked = [(*one.spot, group) for one in kept.assignments for group in one.teams]
    assert (kept.setback.closed, kept.played, worked) == ((4,), 2, sorted(after))


def test_a_closed_station_stays_closed_until_it_opens(run: Run, file: ClassFile) -> None:
    """News are added to what is known; a station that opens again is used again."""
    run("stations", "7b.class", "--lesson", 2, "--stations", 4)
    run("resume", "7b.class", "--lesson", 2, "--played", 1, "--station-closed", 4)
    run("resume", "7b.class", "--lesson", 2, "--played", 2, "--station-closed", 3)
    assert file.read().record.events[0].setback.closed == (3, 4)
    run("resume", "7b.class", "--lesson", 2, "--played", 2, "--station-open", 4)
    assert file.read().record.events[0].setback.closed == (3,)
    assert any(one.slot > 2 and one.place == 4 for one in file.read().record.events[0].assignments)


def test_the_report_says_how_many_stations_are_open_and_that_nobody_waits(run: Run, file: ClassFile) -> None:
    """Eight groups, three of four stations: the heading and the measures after a closure."""
    assert "8 groups, 4 stations: 4 slots" in run("stations", "7b.class", "--lesson", 2, "--stations", 4).out
    out = run("resume", "7b.class", "--lesson", 2, "--played", 2, "--station-closed", 4).out
    assert "8 groups, 3 of 4 stations open: 4 slots" in out
    (waits,) = [line for line in out.splitlines() if "groups that wait" in line]
    assert waits.split()[-3:] == ["0", "proven", "best"] and "waiting:" not in out


def test_stations_longer_than_the_activity_are_said_to_be(run: Run, file: ClassFile) -> None:
    """Four slots of 7 with 0.5 between are 29.5 of 30 minutes; with four more they are 59.5, and four of eight fit.

    Station 4 is closed for all of the first four, then opens; eight groups, two at a time, take four slots for it.
    """
    run("stations", "7b.class", "--lesson", 2, "--stations", 4, "--changeover", 0.5)
    fits = run("resume", "7b.class", "--lesson", 2, "--played", 0, "--station-closed", 4)
    assert fits.status == 0 and "minutes, and there are" not in fits.out
    out = run("resume", "7b.class", "--lesson", 2, "--played", 4, "--station-open", 4, "--slots-left", 9).out
    assert "This takes 59.5 minutes, and there are 30: 4 of 8 slots fit. Nothing was cut" in out
    assert "--played 4 --slots-left 0" in out
