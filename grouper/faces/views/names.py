"""Names as a class knows them: the given name, and no more of the rest than tells two students apart.

With the orders that tell nothing: names by the alphabet, groups by their label.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable
from unicodedata import category, combining, normalize

from grouper.model.roster import Student

ZERO_WIDTH_JOINER = "\u200d"
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
        if letters and _clings(letters[-1], char):
            letters[-1] += char
        else:
            letters.append(char)
    return letters


def _clings(letter: str, char: str) -> bool:
    """Whether a character belongs to the letter before it."""
    if category(char).startswith("M") or char in (ZERO_WIDTH_JOINER, "\u200c") or "\U0001f3fb" <= char <= "\U0001f3ff":
        return True
    return letter[-1] == ZERO_WIDTH_JOINER or (combining(letter[-1]) == VIRAMA and category(char) == "Lo")


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
    for student, name in full.items():
        namesakes[folded(given_name(name))].append(student)
    short = {
        student: _short(name, _others(name, [full[other] for other in namesakes[folded(given_name(name))]]))
        for student, name in full.items()
    }
    return _told_apart(short, full, numbers)


def _others(name: str, names: list[str]) -> list[str]:
    """The names that an ending can tell from this one."""
    return [other for other in names if folded(other) != folded(name)]


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
    return _given_first(_tidy(student.name)) or "?"


def given_name(name: str) -> str:
    """The first part of a name; the whole of it where the first part is an initial, or where there is one part."""
    first = name.split(" ", 1)[0]
    return name if len(letters_of(first.rstrip("."))) < 2 else first


def folded(text: str) -> str:
    """A text as compared: upper and lower case alike, accents in one form."""
    return normalize("NFC", normalize("NFC", text).casefold())


def _tidy(name: str) -> str:
    kept = (char if category(char) not in ("Cc", "Cs") else " " for char in name if char not in OVERRIDES)
    return " ".join(normalize("NFC", "".join(kept)).split())


def _given_first(name: str) -> str:
    """'Berg, Mia' as 'Mia Berg'; a name with more than one comma is left alone."""
    family, comma, given = name.partition(",")
    if not comma or "," in given or not family.strip() or not given.strip():
        return name
    return f"{given.strip()} {family.strip()}"


def _short(name: str, others: list[str]) -> str:
    given = given_name(name)
    if not others or given == name:
        return given
    ending = _ending(_last(name), [folded(_last(other)) for other in others])
    return f"{given} {ending}" if ending else name


def _last(name: str) -> str:
    parts = name.split(" ")
    return parts[-1] if len(parts) > 1 else ""


def _ending(last: str, others: list[str]) -> str:
    """The shortest beginning of the last part that no other shares, or nothing where there is none."""
    letters = letters_of(last)
    for length in range(1, len(letters) - 1):
        beginning = "".join(letters[:length])
        if not any(other.startswith(folded(beginning)) for other in others):
            return f"{beginning}."
    return "" if folded(last) in others else last


def _told_apart(short: dict[str, str], full: dict[str, str], numbers: dict[str, str]) -> dict[str, str]:
    """With their numbers; whatever still looks alike gives way to the full name, and that to a further number."""
    named = {student: f"{name}{numbers[student]}" for student, name in short.items()}
    times = Counter(map(folded, named.values()))
    named = {s: f"{full[s]}{numbers[s]}" if times[folded(name)] > 1 else name for s, name in named.items()}
    taken: set[str] = set()
    for student, name in named.items():
        others = (f"{name} ({number})" for number in range(2, len(named) + 2))
        named[student] = next(free for free in (name, *others) if folded(free) not in taken)
        taken.add(folded(named[student]))
    return named
