"""Frozen dataclasses as rows of tables, and back: one mapping for every part of a record.

A table is declared as a :class:`Part`, which says where in the record its things stand and what tells them apart. All
else is read off the dataclass that stands there: each field that holds a number, a text or a yes or no is a column of
its own name; a dataclass in a field gives its fields to the same row; a field that holds several of something has a
part, and a table, of its own. Whoever is named is kept by an internal number, so that an id stands in one place.
"""

from __future__ import annotations

import typing
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, is_dataclass, replace
from functools import cache
from itertools import repeat
from operator import attrgetter
from types import UnionType
from typing import Any

from grouper.errors import InputError
from grouper.files.store.tables import PLACE, Part, Row, Rows, Table

_COUNTED = (PLACE, "number", "key")
"""Keys that say nothing by themselves: the tables of what belongs to a row call them by the name of its table."""


@dataclass(frozen=True)
class Column:
    """A column: its name, the field that it holds (dotted), the kind of its values, and whether it may be empty."""

    name: str
    at: str
    kind: type
    optional: bool = False
    is_person: bool = False


Persons = Mapping[type, tuple[str, ...]]
"""Which fields of a dataclass hold ids of students."""


@cache
def _hints(of: type) -> dict[str, Any]:
    return typing.get_type_hints(of)


def _plain(hint: Any) -> tuple[Any, bool]:
    """The kind of a plain value, None where it is something else, and whether it may be left out."""
    kinds = [kind for kind in typing.get_args(hint) if kind is not type(None)]
    one = kinds[0] if isinstance(hint, UnionType) and len(kinds) == 1 else hint
    return (one if one in (int, float, str, bool) else None), one is not hint


def _is_key(hint: Any) -> bool:
    """Whether it is a tuple whose values have names, as the key of a round."""
    return isinstance(hint, type) and issubclass(hint, tuple)


def _fields(of: type, names: Mapping[str, str], persons: Persons, prefix: str = "") -> Iterator[Column]:
    """The columns of a dataclass in the order of its fields."""
    for name, hint in _hints(of).items():
        kind, optional = _plain(hint)
        if kind:
            is_person = name in persons.get(of, ())
            yield Column(names.get(prefix + name, name), prefix + name, int if is_person else kind, optional, is_person)
        elif _is_key(hint) or is_dataclass(hint):
            yield from _fields(hint, names, persons, f"{prefix}{name}.")


@dataclass(frozen=True)
class Held:
    """What a field holds several of, or perhaps one: in which container, and the types of one's values."""

    container: Any
    types: tuple[Any, ...]
    are_persons: bool

    @staticmethod
    def by(owner: type, at: str, persons: Persons) -> Held:
        """What is at a field, dotted, of a dataclass."""
        *way, name = at.split(".")
        for step in way:
            owner = _hints(owner)[step]
        hint = _hints(owner)[name]
        container, types = typing.get_origin(hint), typing.get_args(hint)
        if container is tuple:
            types = typing.get_args(types[0]) or types[:1]
        types = tuple(kind for kind in types if kind is not type(None))
        return Held(container, types, name in persons.get(owner, ()))


def _columns(part: Part, held: Held, persons: Persons) -> tuple[Column, ...]:
    """The columns of what a part holds, without those that say what it belongs to and its place."""
    of = part.kept.form if part.kept else held.types[0]
    if is_dataclass(of):
        if part.number_of:
            number = Column(part.key[0], part.number_of, int, is_person=True)
            return (number, *_fields(of, part.names, {}))
        return tuple(_fields(of, part.names, persons))
    kinds = (*held.types, str | None) if part.beside else held.types
    names = (*part.key, *part.columns)[-len(kinds) :]
    columns = [Column(name, "", *_plain(kind)) for name, kind in zip(names, kinds, strict=True)]
    return (replace(columns[0], kind=int, is_person=True), *columns[1:]) if held.are_persons else tuple(columns)


@dataclass(frozen=True)
class Writing:
    """Rows in the making; ``numbers`` has the internal number of each student by id, and refuses whoever is unknown."""

    rows: Rows
    numbers: Mapping[str, int]


class Reading:
    """Rows on their way into a record; ``ids`` has the id of each student by the internal number.

    ``made`` has what was made of the rows of a table, or of a column beside, by the key of what it belongs to. Whoever
    takes it takes it out, so that what is left belongs to nothing.
    """

    def __init__(self, rows: Rows, ids: Mapping[int, str]) -> None:
        self.rows, self.ids = rows, ids
        self.made: dict[tuple[str, str], dict[Row, Any]] = {}

    def check_all_taken(self) -> None:
        """Raise ValueError where a row belongs to something that is not there."""
        for (table, _), made in self.made.items():
            if made:
                raise ValueError(f"a {table} belongs to nothing that is there")


_WHOLE: Mapping[Any, Callable[[Any], Any]] = {
    tuple: tuple,
    frozenset: frozenset,
    Mapping: dict,
    UnionType: lambda items: items[0] if items else None,
}
"""How what belongs together comes into the container of its field."""


class Coder:
    """A part of a record with what follows from the dataclass that stands there.

    All rows of a table are made column by column, and so is all that is made of them, as a row at a time takes twice as
    long.

    Parameters
    ----------
    part, owner, persons
        The part, the dataclass that it is a part of, and which fields hold ids of students.
    outer
        The columns that say what a row belongs to; none for a part of the record itself.
    """

    def __init__(self, part: Part, owner: type, persons: Persons, outer: tuple[str, ...] = ()) -> None:
        self.part = part
        self.held = Held.by(owner, part.at, persons)
        self.of: Any = part.kept.form if part.kept else self.held.types[0]
        found = _columns(part, self.held, persons)
        key = tuple(column for name in part.key for column in found if column.name == name)
        self.columns = (*key, *(column for column in found if column not in key))
        self.is_counted = bool(part.key) and not key
        self.is_in_order = not (outer or self.is_counted or part.placed or any(column.is_person for column in key))
        self.outer = (*outer, "layer") if part.layer else outer
        others = tuple(column.name for column in self.columns[len(key) :])
        self.table = Table(part.table, (*self.outer, *part.key), (PLACE, *others) if part.placed else others)
        self.width = len(self.table.key)
        self.place_at = len(self.outer) + len(key) if self.is_counted or part.placed else None
        inner = tuple(part.known_as or part.table if name in _COUNTED else name for name in part.key)
        self.parts = tuple(Coder(each, self.of, persons, (*self.outer, *inner)) for each in part.parts)
        self.is_dataclass = is_dataclass(self.of)
        self._check_complete(self.of)
        self._items = self._listing()
        self._values = attrgetter(*(c.at for c in self.columns)) if self.is_dataclass else None

    def _check_complete(self, of: Any, prefix: str = "") -> None:
        """Raise TypeError where a field would be lost."""
        kept = {column.at for column in self.columns}
        kept.update(at for each in self.parts for at in (each.part.at, each.part.beside))
        hints = _hints(of) if self.is_dataclass else {}
        for name, hint in hints.items():
            if is_dataclass(hint):
                self._check_complete(hint, f"{prefix}{name}.")
            elif prefix + name not in kept and not _is_key(hint):
                raise TypeError(f"{of.__name__}.{name} has no column and no part; give it a Part in parts.py")

    def write(self, owners: list[Row], holders: Iterable[Any], to: Writing) -> None:
        """Add the rows of all that some things hold at this part, and those of their parts.

        Parameters
        ----------
        owners, holders
            The keys of these things, and the things.
        """
        if self.part.layer:
            owners = [(*owner, self.part.layer) for owner in owners]
        of: list[Row] = []
        places: list[int] = []
        items: list[Any] = []
        for owner, holder in zip(owners, holders, strict=True):
            some = list(self._items(holder))
            # A group of nobody, or a round of none, would be read as damage.
            if self.part.filled and not some:
                raise InputError("a class file cannot hold this record: a {table} is missing", table=self.part.table)
            of += [owner] * len(some)
            places += range(1, len(some) + 1)
            items += some
        if not items:
            return
        columns = [*zip(*of, strict=True), *self._columns_of(items, to.numbers)]
        if self.place_at is not None:
            columns.insert(self.place_at, places)
        rows = list(zip(*columns, strict=True))
        if not self.is_counted:
            rows, items = self._by_key(rows, items)
        to.rows[self.table.name] += rows
        keys = [row[: self.width] for row in rows] if self.parts else []
        for each in self.parts:
            each.write(keys, items, to)

    def _listing(self) -> Callable[[Any], Iterable[Any]]:
        """What lists all that a thing holds at this part."""
        part, held = self.part, attrgetter(self.part.at)
        if part.beside:
            beside = attrgetter(part.beside)
            return lambda holder: zip(held(holder), beside(holder) or repeat(None), strict=False)
        if self.held.container is Mapping:
            return lambda holder: held(holder).items()
        if self.held.container is UnionType:
            return lambda holder: () if (one := held(holder)) is None else (one,)
        if part.kept:
            apart = part.kept.apart
            return lambda holder: map(apart, held(holder))
        return held

    def _columns_of(self, items: Iterable[Any], numbers: Mapping[str, int]) -> Iterator[Iterable[Any]]:
        values = map(self._values, items) if self._values else items
        columns: Iterable[Any] = (values,) if len(self.columns) == 1 else zip(*values, strict=True)
        for column, all_of_it in zip(self.columns, columns, strict=True):
            if column.is_person:
                yield [numbers[student] for student in all_of_it]
            elif column.kind is bool:
                yield map(int, all_of_it)
            elif column.kind is float:
                yield [_real(value, column.name) for value in all_of_it]
            else:
                yield all_of_it

    def _by_key(self, rows: list[Row], items: list[Any]) -> tuple[list[Row], list[Any]]:
        """In the order of the key, as they will be read, unless their place is kept.

        Raises
        ------
        InputError
            A key is there twice, or what stands in the order of play does not.
        """
        keys = [row[: self.width] for row in rows]
        in_order = sorted(set(keys))
        if len(in_order) < len(keys) or (self.is_in_order and self.held.container is tuple and in_order != keys):
            what = self.part.at.rpartition(".")[2].replace("_", " ")
            raise InputError("the {things} are out of order, or one appears twice", things=what)
        if self.part.placed or in_order == keys:
            return rows, items
        order = sorted(range(len(rows)), key=keys.__getitem__)
        return [rows[at] for at in order], [items[at] for at in order]

    def read(self, reading: Reading) -> None:
        """Make what the rows of the table hold, and lay it where the thing that it belongs to takes it."""
        if (self.table.name, "") in reading.made:
            return  # it was read for the other layer
        for each in self.parts:
            each.read(reading)
        rows = reading.rows[self.table.name]
        if not rows:  # as in most tables of most classes
            reading.made[self.table.name, ""] = reading.made[self.table.name, self.part.beside] = {}
            return
        if self.part.placed:
            rows = sorted(rows, key=lambda row: row[self.width])
        width = len(self.outer)
        owners = [row[:width] for row in rows]
        first, *beside = self._made(rows, reading)
        reading.made[self.table.name, ""] = _by_owner(owners, first)
        for values in beside:
            there = [(owner, value) for owner, value in zip(owners, values, strict=True) if value is not None]
            reading.made[self.table.name, self.part.beside] = _by_owner(*zip(*there, strict=True)) if there else {}

    def _made(self, rows: list[Row], reading: Reading) -> list[Iterable[Any]]:
        """What is made of all rows: one thing a row; two where there is a column beside."""
        columns = list(zip(*rows, strict=True))
        if self._values:
            keys = list(zip(*columns[: self.width], strict=True)) if self.parts else []
            things = self._things(self.of, "", columns, keys, reading)
            return [map(self.part.kept.together, things) if self.part.kept else things]
        values = [self._value(at, columns, reading) for at in range(len(self.columns))]
        return values if len(values) == 1 or self.part.beside else [zip(*values, strict=True)]

    def _things(self, of: Any, prefix: str, columns: list[Row], keys: list[Row], reading: Reading) -> Iterable[Any]:
        """A dataclass a row, or what stands in a field of it (``prefix``)."""
        fields = []
        places = {column.at: at for at, column in enumerate(self.columns)}
        for name, hint in _hints(of).items():
            at = prefix + name
            if at in places:
                fields.append(self._value(places[at], columns, reading))
            elif _is_key(hint) or is_dataclass(hint):
                fields.append(self._things(hint, f"{at}.", columns, keys, reading))
            else:
                part = next(each for each in self.parts if at in (each.part.at, each.part.beside))
                fields.append(map(part.taker(reading, at), keys))
        return map(of, *fields)

    def taker(self, reading: Reading, at: str) -> Callable[[Row], Any]:
        """What takes what was made for a key, in the container of the field ``at``."""
        made = reading.made[self.table.name, at if at == self.part.beside else ""]
        whole, layer = _WHOLE[self.held.container], (self.part.layer,)
        if self.part.filled and at == self.part.at:
            return lambda key: whole(made.pop(key))  # KeyError, as for every other row that is missing
        if self.part.layer:
            return lambda key: whole(made.pop(key + layer, ()))
        return lambda key: whole(made.pop(key, ()))

    def _value(self, at: int, columns: list[Row], reading: Reading) -> Iterable[Any]:
        column = self.columns[at]
        place = len(self.outer) + at
        values = columns[place + (self.place_at is not None and place >= self.place_at)]
        if column.is_person:
            return [reading.ids[number] for number in values]
        return map(bool, values) if column.kind is bool else values


def _by_owner(owners: Iterable[Row], values: Iterable[Any]) -> dict[Row, list[Any]]:
    made: dict[Row, list[Any]] = defaultdict(list)
    for owner, value in zip(owners, values, strict=True):
        made[owner].append(value)
    return made


def _real(value: float | None, name: str) -> float | None:
    # SQLite would make NULL of NaN without a word.
    if value != value:
        raise InputError("a {name} is not a number", name=name)
    return None if value is None else float(value)


def of_parts(of: type, coders: Iterable[Coder], reading: Reading, prefix: str = "") -> dict[str, Any]:
    """The fields of a dataclass that parts hold, whatever fields of its fields they stand in."""
    coders = tuple(coders)
    found: dict[str, Any] = {}
    for name, hint in _hints(of).items():
        at = prefix + name
        for coder in coders:
            if coder.part.at == at:
                found[name] = coder.taker(reading, at)(())
        if any(coder.part.at.startswith(f"{at}.") for coder in coders):
            found[name] = hint(**of_parts(hint, coders, reading, f"{at}."))
    return found
