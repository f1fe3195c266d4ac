"""Names as a class knows them: the given name, and no more of the rest than tells two students apart.

With the orders that tell nothing: names by the alphabet, groups by their label.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from unicodedata import category, combining, normalize

from grouper.model.roster import Student

ZERO_WIDTH_JOINER = "\u200d"
JOINERS = (ZERO_WIDTH_JOINER, "\u200c")
VIRAMA = 9
"""The canonical combining class of signs that tie two consonants into one (Unicode Standard, section 4.3)."""


def letters_of(text: str) -> list[str]:
    """The letters of a text, each with its marks: a short form of the extended clusters of UAX #29.

    Examples
    --------
    >>> letters_of("Zoé")
    ['Z', 'o', 'é']
    >>> len(letters_of("क्षमा"))
    2
    """
    letters: list[str] = []
    for char in normalize("NFC", text):
        last = letters[-1][-1] if letters else ""
        # Marks, joiners and shades of skin belong to the letter before them, and what a joiner or a virama ties to it.
        clings = category(char).startswith("M") or char in JOINERS or "\U0001f3fb" <= char <= "\U0001f3ff"
        tied = last == ZERO_WIDTH_JOINER or (last and combining(last) == VIRAMA and category(char) == "Lo")
        if last and (clings or tied):
            letters[-1] += char
        else:
            letters.append(char)
    return letters


NUMBER = re.compile(r"([0-9]{1,15})")


def name_order(name: str) -> tuple[str, str, str]:
    """A sort key for names: accents and case matter only between names that are otherwise the same."""
    bare = "".join(char for char in normalize("NFKD", name.casefold()) if not combining(char))
    return bare, name.casefold(), name


def label_order(label: str) -> tuple[tuple[int, int, str], ...]:
    """A sort key for labels: numbers by value, so that 2 stands before 10.

    Examples
    --------
    >>> sorted(["10", "2", "A"], key=label_order)
    ['2', '10', 'A']
    """
    pieces = (piece for piece in NUMBER.split(label) if piece)
    return tuple((0, int(piece), piece) if NUMBER.fullmatch(piece) else (1, 0, piece.casefold()) for piece in pieces)


OVERRIDES = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Characters that turn the direction of the text around them; a name that ends inside of one would turn the page."""


def display_names(students: Iterable[Student], among: Iterable[Student] | None = None) -> dict[str, str]:
    """Short names, unique in the class, by id.

    Two with one given name get the shortest ending that tells them apart; those whose names are the same throughout a
    number, never an id. ``among`` is everybody of the unit in the order of the roster, so that a number stays whoever
    is there; the order of ids counts where it is left out.

    Examples
    --------
    >>> display_names([Student("1", "Mia Berg"), Student("2", "Mia Bach"), Student("3", "Ali Can")])
    {'1': 'Mia Be.', '2': 'Mia Ba.', '3': 'Ali'}
    >>> display_names([Student("70", "Kim Stone"), Student("71", "Kim Stone"), Student("72", "Kim Roy")])
    {'70': 'Kim S. (1)', '71': 'Kim S. (2)', '72': 'Kim R.'}
    """
    shown = sorted(students, key=lambda student: student.id)
    full = {student.id: full_name(student) for student in shown}
    numbers = _numbers({student.id: student for student in (*(among or ()), *shown)}.values())
    namesakes: dict[str, list[str]] = defaultdict(list)
    for name in full.values():
        namesakes[folded(given_name(name))].append(name)
    short = {}
    for student, name in full.items():
        others = [other for other in namesakes[folded(given_name(name))] if folded(other) != folded(name)]
        short[student] = _short(name, others)
    # Whatever still looks alike gives way to the full name, and that to a further number.
    named = {student: f"{name}{numbers[student]}" for student, name in short.items()}
    times = Counter(map(folded, named.values()))
    named = {s: f"{full[s]}{numbers[s]}" if times[folded(name)] > 1 else name for s, name in named.items()}
    taken: set[str] = set()
    for student, name in named.items():
        further = (f"{name} ({number})" for number in range(2, len(named) + 2))
        named[student] = next(free for free in (name, *further) if folded(free) not in taken)
        taken.add(folded(named[student]))
    return named


def _numbers(students: Iterable[Student]) -> dict[str, str]:
    """What is added to the names of those whose names are the same throughout, by id: a number each, in this order."""
    alike: dict[str, list[str]] = defaultdict(list)
    for student in students:
        alike[folded(full_name(student))].append(student.id)
    return {
        student: f" ({number})" if len(same) > 1 else ""
        for same in alike.values()
        for number, student in enumerate(same, start=1)
    }


def full_names(students: Iterable[Student], among: Iterable[Student]) -> dict[str, str]:
    """Whole names by id, with a number where names are the same throughout; ``among`` as in ``display_names``."""
    shown = list(students)
    numbers = _numbers({student.id: student for student in (*among, *shown)}.values())
    return {student.id: f"{full_name(student)}{numbers[student.id]}" for student in shown}


def full_name(student: Student) -> str:
    """The whole name on one line, given name first, without control characters; a question mark if nothing is left."""
    kept = (char if category(char) not in ("Cc", "Cs") else " " for char in student.name if char not in OVERRIDES)
    name = " ".join(normalize("NFC", "".join(kept)).split())
    family, _, given = (part.strip() for part in name.partition(","))
    # A name with more than one comma is left alone.
    return f"{given} {family}" if given and family and "," not in given else name or "?"


def given_name(name: str) -> str:
    """The first part of a name; the whole of it where the first part is an initial, or where there is one part."""
    first = name.split(" ", 1)[0]
    return name if len(letters_of(first.rstrip("."))) < 2 else first


def folded(text: str) -> str:
    """A text as compared: upper and lower case alike, accents in one form."""
    return normalize("NFC", normalize("NFC", text).casefold())


def _short(name: str, others: list[str]) -> str:
    given = given_name(name)
    if not others or given == name:
        return given
    # The shortest beginning of the last part that no other shares.
    last, theirs = _last(name), [folded(_last(other)) for other in others]
    letters = letters_of(last)
    for length in range(1, len(letters) - 1):
        beginning = "".join(letters[:length])
        if not any(other.startswith(folded(beginning)) for other in theirs):
            return f"{given} {beginning}."
    return name if not last or folded(last) in theirs else f"{given} {last}"


def _last(name: str) -> str:
    parts = name.split(" ")
    return parts[-1] if len(parts) > 1 else ""


def telling_lines(names: Iterable[str], of_people: bool = False) -> Iterator[str]:
    """A line for each name of an activity, a lever, a place or (``of_people``) a team that tells how able somebody is
    held to be."""
    from grouper.files.words.levers import on_a_name  # words of 31 languages, which most commands need none of

    said = (on_a_name(name, of_people) for name in dict.fromkeys(names))
    yield from (f"{each[:1].upper()}{each[1:]}." for each in said if each)
