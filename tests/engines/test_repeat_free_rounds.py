"""The longest repeat-free schedules, against the tables of what is known, and against pair counting.

Sources of the two tables: tests/reference/README.md.
"""

from __future__ import annotations

import csv
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.engines.designs import CONSTRUCTIONS, most_rounds, repeat_free_rounds
from grouper.engines.designs.catalogue import catalogue, sizes_from
from grouper.errors import InputError

REFERENCE = Path(__file__).parents[1] / "reference"
PAGE = (Path(__file__).parents[2] / "docs" / "quality" / "designs.md").read_text(encoding="utf-8")
SHORT: dict[str, int] = {}
"""Rows of the tables that are not reached, with how far it goes: may shrink, must not grow."""


def csv_rows(name):
    """The rows of a reference table."""
    with (REFERENCE / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def rows(name, reached):
    """Sizes, known rounds and upper bound of each row of a reference table."""
    for row in csv_rows(name):
        key = row.get("group_sizes") or f"{row['groups']}x{row['size']}"
        yield key, int(row[reached]), int(row["upper_bound"])


ROWS = [
    *rows("repeat_free_rounds_equal.csv", "best_known"),
    *rows("repeat_free_rounds_near_equal.csv", "reached"),
]


def class_sizes():
    """Group sizes for every class of 6 to 60 and groups of 2 to 10, as they are planned."""
    for people in range(6, 61):
        for size in range(2, min(10, people) + 1):
            yield as_planned(people, size)


def as_planned(people, size):
    """Group sizes of a class in groups of that size at most; but in pairs there may be a trio."""
    groups = people // 2 if size == 2 else -(-people // size)
    small, larger = divmod(people, groups)
    return (small + 1,) * larger + (small,) * (groups - larger)


SIZES = sorted(set(class_sizes()))


@cache
def rounds_of(sizes):
    """The rounds alone."""
    return repeat_free_rounds(sizes).rounds


def holds(sizes, rounds):
    """Whether each round has these sizes and everybody once, and no pair meets twice: the definition."""
    met = set()
    for groups in rounds:
        if sorted(map(len, groups), reverse=True) != list(sizes):
            return False
        if sorted(place for group in groups for place in group) != list(range(sum(sizes))):
            return False
        for group in groups:
            for pair in ((a, b) for a in group for b in group if a < b):
                if pair in met:
                    return False
                met.add(pair)
    return True


def pair_bound(sizes):
    """No schedule is longer: all pairs over the pairs of a round, and one person's companions."""
    pairs = sum(size * (size - 1) // 2 for size in sizes)
    people = sum(sizes)
    by_pairs = people * (people - 1) // 2 // pairs
    by_person = (people - 1) // (sizes[-1] - 1) if sizes[-1] > 1 else by_pairs
    return min(by_pairs, by_person) if sizes[0] <= len(sizes) else 1


def bound(sizes):
    """What is proven: by counting pairs, or beyond that."""
    proven = most_rounds(sizes)
    return pair_bound(sizes) if proven is None else min(proven, pair_bound(sizes))


@pytest.mark.parametrize(("key", "known", "most"), ROWS, ids=[row[0] for row in ROWS])
def test_as_many_rounds_as_are_known(key, known, most):
    """Every row of the tables is reached, but for the shortfalls named above, and no row is above its bound."""
    sizes = sizes_from(key)
    rounds = rounds_of(sizes)
    assert holds(sizes, rounds)
    assert SHORT.get(key, known) <= len(rounds) <= most


@pytest.mark.parametrize("row", csv_rows("repeat_free_rounds_equal.csv"), ids=lambda r: f"{r['groups']}x{r['size']}")
def test_the_proven_maxima_of_equal_groups_are_those_of_the_table(row):
    """Wherever the table calls a row optimal, what is proven here and by counting is just that."""
    assert row["status"] != "optimal" or bound((int(row["size"]),) * int(row["groups"])) == int(row["best_known"])


@pytest.mark.parametrize("row", csv_rows("repeat_free_rounds_near_equal.csv"), ids=lambda row: row["group_sizes"])
def test_the_proven_maxima_of_other_groups_agree_with_the_table(row):
    """The same where the groups differ by one; and no open row is proven to have fewer than it says are reached."""
    proven = bound(sizes_from(row["group_sizes"]))
    assert proven >= int(row["reached"])
    assert row["note"] == "open" or proven == int(row["reached"])


def test_shortfalls_are_still_short():
    """A row that is reached by now does not stay in the list of shortfalls."""
    assert all(SHORT[key] < known for key, known, _ in ROWS if key in SHORT)
    assert {key: len(rounds_of(sizes_from(key))) for key in SHORT} == SHORT


@pytest.mark.parametrize("sizes", catalogue(), ids=str)
def test_every_entry_of_the_catalogue_holds(sizes):
    """Each entry, turned step by step, has as many rounds as it says, and nobody meets twice."""
    entry = catalogue()[sizes]
    rounds = list(entry.developed())
    assert len(rounds) == entry.length
    assert holds(sizes, rounds)


def test_every_class_gets_a_schedule_that_holds():
    """Every class of 6 to 60 in groups of 2 to 10: at least one round, nobody twice, never above the bound."""
    for sizes in SIZES:
        rounds = rounds_of(sizes)
        assert holds(sizes, rounds), sizes
        assert 1 <= len(rounds) <= bound(sizes), sizes


def test_every_construction_holds_wherever_it_applies():
    """Not only the longest: each construction gives the rounds it promises, and they repeat nobody."""
    for construction in CONSTRUCTIONS:
        for sizes in SIZES[::7]:
            rounds = list(construction.rounds(sizes)) if construction.length(sizes) else []
            assert len(rounds) == construction.length(sizes), (construction.key, sizes)
            assert holds(sizes, rounds), (construction.key, sizes)


@pytest.mark.parametrize("people", range(6, 61, 2))
def test_pairs_meet_everyone(people):
    """An even class has n - 1 rounds of pairs (1-factorisation of the complete graph; Kirkman 1847)."""
    assert len(rounds_of((2,) * (people // 2))) == people - 1


@pytest.mark.parametrize("people", range(11, 61, 2))
def test_trios_reach_the_pair_count(people):
    """With one trio a round, n - 4 rounds: as many as counting pairs allows, n (n - 1) over n + 3, rounded down."""
    sizes = (3,) + (2,) * ((people - 3) // 2)
    assert len(rounds_of(sizes)) == people - 4 == people * (people - 1) // (people + 3)


@given(st.integers(2, 9), st.integers(61, 130))
def test_larger_classes_hold_too(size, people):
    """Beyond the sizes of a class, whatever is given repeats nobody."""
    sizes = as_planned(people, size)
    assert holds(sizes, repeat_free_rounds(sizes, most=12).rounds)


@pytest.mark.parametrize(("people", "rounds"), [(7, 3), (9, 6)])
def test_trios_in_small_classes(people, rounds):
    """Seven have three rounds (exhaustive search excludes four), nine six, all that pair counting allows."""
    assert len(rounds_of((3,) + (2,) * ((people - 3) // 2))) == rounds


def test_the_page_of_results_is_up_to_date():
    """Every number of the page's large table is what the tool has and what the bound is."""
    checked = 0
    for people in range(6, 61):
        cells = next(line for line in PAGE.splitlines() if line.startswith(f"| {people} | ")).split("|")[2:-1]
        for size, cell in zip(range(3, min(10, people) + 1), cells, strict=False):
            sizes = as_planned(people, size)
            reached, most = len(rounds_of(sizes)), bound(sizes)
            assert cell.strip() == (f"={most}" if reached == most else f"{reached}/{most}"), (people, size)
            checked += 1
    assert checked == 55 * 8 - 4 - 3 - 2 - 1


def test_the_proven_maxima_stand_on_the_page():
    """All classes of which most rounds are proven to be fewer than counting allows, as planned, and no others."""
    words = ("threes", "fours", "fives", "sixes", "sevens", "eights", "nines", "tens")
    named = dict(zip(words, range(3, 11), strict=True))
    told = {
        (int(people), named[word]): int(most)
        for listed, word, most in re.findall(r"^\| ([\d, ]+) in (\w+) \| (\d+) \| [a-zL]", PAGE, re.MULTILINE)
        for people in listed.split(",")
    }
    classes = ((people, size) for people in range(6, 61) for size in range(3, min(10, people) + 1))
    planned = {(people, size): as_planned(people, size) for people, size in classes}
    assert told == {way: bound(sizes) for way, sizes in planned.items() if bound(sizes) < pair_bound(sizes)}


def certificates():
    """Sizes, how many rounds it says, cycles (none: all rounds are written out) and lines of each certificate."""
    pattern = r"^\*\*(\S+), (\d+) rounds\*\*(.*?)\n```\n(.*?)\n```"
    for key, rounds, about, lines in re.findall(pattern, PAGE, re.MULTILINE | re.DOTALL):
        turned = re.findall(r"(\d+) of length (\d+)", about)
        cycles = [int(length) for count, length in turned for _ in range(int(count))]
        yield key, int(rounds), cycles, lines.splitlines()


CERTIFICATES = list(certificates())


@pytest.mark.parametrize(("key", "length", "cycles", "lines"), CERTIFICATES, ids=[row[0] for row in CERTIFICATES])
def test_every_certificate_of_the_page_holds(key, length, cycles, lines):
    """Read as the page says, each is a schedule of so many rounds in which nobody meets twice."""
    rounds = [[[*map(int, group.split())] for group in line.split("|")] for line in lines]
    if cycles:
        base = [group for (group,) in rounds]
        following = {}
        for cycle in cycles:
            start = len(following)
            following.update({start + i: start + (i + 1) % cycle for i in range(cycle)})
        rounds = [base]
        for _ in range(length - 1):
            rounds.append([[following[place] for place in group] for group in rounds[-1]])
    assert len(rounds) == length == len(rounds_of(sizes_from(key)))
    assert holds(sizes_from(key), rounds)


def test_rows_that_are_beaten_stand_on_the_page():
    """The rounds of the page's first table are more than the reference tables have, and all such rows are there."""
    told = re.findall(r"^\| (\d+x[\dx+]+) \| (\d+) \| (\d+) \| (\d+) \|$", PAGE, re.MULTILINE)
    here = [(key, len(rounds_of(sizes_from(key))), known, most) for key, known, most in ROWS]
    assert {(key, *map(int, numbers)) for key, *numbers in told} == {row for row in here if row[1] > row[2]}


def test_most_cuts_the_schedule_short():
    """With ``most``, the first rounds of the same schedule."""
    assert repeat_free_rounds((4,) * 7, most=3).rounds == rounds_of((4,) * 7)[:3]


def test_sizes_that_differ_by_more_than_one_have_no_design():
    """Groups of five and three in one round: no construction is for these, and the answer says so."""
    assert repeat_free_rounds((5, 3)) is None


def test_sizes_out_of_order_are_refused():
    """Sizes are given largest first."""
    with pytest.raises(InputError):
        repeat_free_rounds((2, 3))


def test_same_schedule_in_every_process():
    """The schedule does not hang on the hash seed of the process."""
    code = "from grouper.engines.designs import repeat_free_rounds as r; print(hash(r((4,)*8+(3,)*2).rounds))"
    runs = [
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
