"""Clearing a file at the end of a unit: gone from every byte, and whole at any moment."""

from __future__ import annotations

import random
import struct
from dataclasses import replace
from pathlib import Path

import pytest
from class_file_child import purge_for_ever
from class_states import large_state, state
from test_class_file_crash import a_moment, killed
from test_class_file_round_trip import assert_sound

from grouper.errors import InputError, InUseError
from grouper.files.store import ClassFile, placing
from grouper.model.ledger import COACH, ledger_of
from grouper.model.noted import Absence, Note
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import RoundKey, Unit
from grouper.privacy.less import Clearing, cleared

HERE = Path(__file__).parent
NAMES = ("Qzxina Wvyk", "王小嬗", "Ζήξης Ψώρας")
GOES = ("Qzhurt", "Qznote", "log of Qzxina", "Qzscorer")
RATING = 0.123456789


def full(number: int = 10) -> ClassRecord:
    """A state with texts and a rating found nowhere else."""
    record = state(number)
    first, second, third, *others = record.roster.students
    students = (
        replace(first, name=NAMES[0], ratings={"throw": RATING}, size_band="L", availability="aside"),
        replace(second, name=NAMES[1]),
        replace(third, name=NAMES[2]),
        *others,
    )
    key = RoundKey(1, 1, 1)
    round_ = record.plan.by_key[key]
    roles = (Group(round_.groups[0].label, round_.groups[0].members, ("Qzscorer", COACH)), *round_.groups[1:])
    named = (replace(roles[0], label="Qzxina"), *roles[1:])
    return replace(
        record,
        roster=replace(record.roster, students=students),
        absences=(Absence(1, first.id, "aside", role="Qzhurt"),),
        notes=(Note(1, 0, "Qznote"),),
        plan=record.plan.with_rounds({key: replace(round_, groups=named)}),
        events=(),
    )


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """A file with a log that names somebody."""
    file = ClassFile(tmp_path / "7b.class")
    file.create(full(9), "made")
    with file.change("log of Qzxina") as edit:
        edit.record = full()
    return file


def purge(file: ClassFile, clearing: Clearing = Clearing()) -> ClassRecord:  # noqa: B008
    """Clear a file; what it then holds."""
    found = file.read()
    file.purge(cleared(found.record, clearing), found.version)
    return file.read().record


def there(file: ClassFile, texts: tuple[str, ...]) -> list[str]:
    """Which of some texts stand in the file, in UTF-8 or UTF-16."""
    held = file.path.read_bytes()
    return [t for t in texts if any(t.encode(code) in held for code in ("utf-8", "utf-16-le", "utf-16-be"))]


def rated(file: ClassFile) -> bool:
    """Whether the rating stands in the file, as SQLite keeps it or as text."""
    held = file.path.read_bytes()
    return struct.pack(">d", RATING) in held or str(RATING).encode() in held


def test_what_a_unit_leaves_behind_goes(file: ClassFile) -> None:
    """From every byte: requests, notes, causes, roles, the log. Names and ratings stay unless asked for."""
    assert there(file, GOES) == list(GOES)
    purge(file)
    assert there(file, GOES) == [] and there(file, NAMES) == list(NAMES) and rated(file)
    assert [path.name for path in file.path.parent.iterdir()] == [file.path.name]


def test_the_record_without_it(file: ClassFile) -> None:
    """Requests, absences, notes, results, learnt ratings, games and stations are empty; lessons not taught are gone."""
    before, after = file.read().record, purge(file)
    for part in ("requests", "absences", "notes", "results", "chosen_tasks", "learnt", "events"):
        assert getattr(after, part) == ()
    assert {round_.key.lesson for round_ in after.plan.rounds} == {1, 2} == set(after.taught)
    assert after.roster == before.roster and after.challenges == before.challenges


def test_who_worked_with_whom_stays(file: ClassFile) -> None:
    """In the lessons taught and in earlier units, pair by pair; so do turns as coach."""
    before, after = file.read().record, purge(file)
    taught = [round_ for round_ in before.plan.rounds if round_.key.lesson in before.taught]
    assert ledger_of(after.plan.rounds) == ledger_of(taught)
    assert [past.as_round.as_sets for past in after.past] == [past.as_round.as_sets for past in before.past]


def test_that_somebody_was_replaced_goes(file: ClassFile) -> None:
    """Planned beside actual would tell who was away: only the actual is left."""
    assert all(round_.planned == round_.groups for round_ in purge(file).plan.rounds)


def test_ratings_go_when_asked_for(file: ClassFile) -> None:
    """With size bands and availability; names stay."""
    after = purge(file, Clearing(ratings=True))
    assert not rated(file) and there(file, NAMES) == list(NAMES)
    assert all(s == Student(s.id, s.name) for s in after.roster.students) and after.roster.strands == ()


def test_names_go_when_asked_for(file: ClassFile) -> None:
    """Names in any script, words of them in labels, ids and ratings."""
    after = purge(file, Clearing(names=True))
    words = (*NAMES, "Qzxina", "Wvyk", "Pupil", "小嬗", "Ζήξης", "Ψώρας")
    assert there(file, words) == [] and not rated(file)
    assert sorted(s.name for s in after.roster.students) == sorted(f"student {n}" for n in range(1, 13))
    assert all(s.id == s.name and not s.ratings and not s.size_band for s in after.roster.students)


def test_without_names_the_counts_are_the_same(file: ClassFile) -> None:
    """How many pairs met how often, in all."""
    before, after = file.read().record, purge(file, Clearing(names=True))
    taught = [round_ for round_ in before.plan.rounds if round_.key.lesson in before.taught]
    assert sorted(ledger_of(after.plan.rounds).meetings.values()) == sorted(ledger_of(taught).meetings.values())


def test_numbers_are_drawn_by_lot() -> None:
    """Not in the order of the roster, and in another one for another file."""
    orders = set()
    for number in range(20):
        record = full(number)
        named = cleared(record, Clearing(names=True))
        assert [s.name for s in named.roster.students] == [f"student {n}" for n in range(1, 13)]
        labels = {g.label for r in record.plan.rounds if r.key == RoundKey(1, 1, 2) for g in r.groups}
        first = next(g for r in record.plan.rounds if r.key == RoundKey(1, 1, 2) for g in r.groups)
        now = next(g for r in named.plan.rounds if r.key == RoundKey(1, 1, 2) for g in r.groups)
        assert now.label in labels
        orders.add(tuple(zip(first.members, now.members, strict=True)))
    assert len({dict(order).get("001") for order in orders} - {None}) > 1


def test_it_cannot_be_undone(file: ClassFile) -> None:
    """The log holds the clearing alone."""
    purge(file)
    assert [change.what for change in file.history()] == ["the unit was cleared away"]
    with pytest.raises(InputError, match="let go of what was there before"):
        file.undo()


def test_a_change_meanwhile_is_not_lost(file: ClassFile) -> None:
    """What another command has written since is not cleared away unseen."""
    found = file.read()
    with file.change("meanwhile") as edit:
        edit.record = replace(edit.record, seed=77)
    before = file.path.read_bytes()
    with pytest.raises(InUseError, match="meanwhile"):
        file.purge(cleared(found.record, Clearing()), found.version)
    assert file.path.read_bytes() == before


def test_before_the_file_is_packed_nothing_is_left_either(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """Killed between the clearing and the packing: freed pages are overwritten already."""

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(placing, "pack", killed)
    with pytest.raises(KeyboardInterrupt):
        purge(file, Clearing(names=True))
    assert there(file, (*GOES, *NAMES)) == [] and not rated(file)


def test_a_file_that_was_cleared_goes_on(file: ClassFile) -> None:
    """A unit can be put in it, and that can be undone."""
    cleared_ = purge(file, Clearing(ratings=True))
    with file.change("new unit") as edit:
        edit.record = replace(edit.record, unit=Unit(()), plan=type(edit.record.plan)(), taught=frozenset())
    assert file.undo().what == "new unit" and file.read().record == cleared_


def test_killed_at_any_moment(on_disk: Path) -> None:
    """Fifteen kills amid saving and clearing: the file is whole, and before or after the step that was cut short."""
    draw = random.Random(5)
    file = ClassFile(on_disk / "7b.class")
    file.create(large_state(1), "made")
    cut_short = 0
    for attempt in range(15):
        told = killed(purge_for_ever, file.path, 1000 * attempt + 1, a_moment(draw))
        done = [number for word, number in told if word == "done"]
        states = {told[-1][1], *done[-1:]}
        found = file.read().record
        assert any(found == _expected(number) for number in states), told
        assert_sound(file.path)
        cut_short += told[-1][0] == "try" and told[-1][1] < 0
    assert cut_short > 3


def _expected(number: int) -> ClassRecord:
    return large_state(number) if number > 0 else cleared(large_state(-number), Clearing(names=True))
