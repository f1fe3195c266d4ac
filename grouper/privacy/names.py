"""Names in what a teacher has typed: whole, in part, in other letters of the same name, and in scripts without spaces.

Upper and lower case are alike, and so are letters with and without marks, however they are coded: a note on 'Jose'
speaks of José. A name is found with an s at its end, and if it is not short at the beginning of a word ('Lukasza' is
Lukasz's in Polish); in scripts that put no spaces between words it is found anywhere. What is not found: nicknames,
misspellings, and endings that change the name's own last letters. Whoever hands a text on reads it first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from unicodedata import category, name, normalize

from grouper.model.roster import Roster, Student

UNSPACED = ("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "THAI", "LAO", "KHMER", "MYANMAR", "TIBETAN")
"""First words of Unicode's names for letters of scripts in which a name may stand amid a word."""

SHORTEST = 2
"""Letters of a word that is looked for by itself: initials are no help to find anybody."""
BEGINS_WORDS = 4
"""Letters from which on a name is found at the beginning of a longer word; shorter ones begin too many of them."""

LONG_ENOUGH = 3
"""Letters of an id that is looked for in a text: a shorter one looks like any number."""

MASK = "[classmate]"

ALIKE = {"ł": "l", "ø": "o", "đ": "d", "ð": "d", "ħ": "h", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th", "ə": "e"}
"""Letters whose mark is a part of them, and how they are typed where the keyboard has none."""


def words_of(full: str) -> tuple[str, ...]:
    """What could stand for a name, folded: the whole of it first, then its words, the longest first.

    A name in Chinese or Korean letters without a space is taken without its first letter, the family name, too.

    Examples
    --------
    >>> words_of("Mia B. van Berg"), words_of("王小明")
    (('mia b van berg', 'berg', 'mia', 'van'), ('王小明', '小明'))
    """
    parts = re.findall(r"[^\W_]+", folded(full).text)
    words = {word for word in parts if len(word) >= SHORTEST}
    # The family name comes first in these scripts, and has one letter mostly.
    words |= {word[1:] for word in words if unspaced(word) and len(word) > SHORTEST}
    whole = [" ".join(parts)] if parts else []
    return tuple(dict.fromkeys([*whole, *sorted(words, key=lambda word: (-len(word), word))]))


def given_word(full: str) -> str:
    """The first word of the given name, folded: after the comma in 'Berg, Mia'; empty for initials.

    Examples
    --------
    >>> given_word("Berg, Mia"), given_word("Mia Berg")
    ('mia', 'mia')
    """
    family, comma, given = full.partition(",")
    words = re.findall(r"[^\W_]+", folded(given if comma and given.strip() else family).text)
    return next((word for word in words if len(word) >= SHORTEST), "")


def unspaced(word: str) -> bool:
    """Whether a word is in a script that puts no spaces between words, or sticks endings to names."""
    return any(name(char, "").startswith(UNSPACED) for char in word)


@dataclass(frozen=True)
class Folded:
    """A text as compared, and the place in the text as typed that each of its letters comes from (and its end)."""

    text: str
    places: tuple[int, ...]


@lru_cache(maxsize=2048)
def folded(typed: str) -> Folded:
    """A text in small letters without marks."""
    letters: list[str] = []
    places: list[int] = []
    start = 0
    for place in range(1, len(typed) + 1):
        # Marks, and the later parts of a Korean syllable, belong to the letter that they are typed behind.
        if place < len(typed) and (category(typed[place]).startswith("M") or "\u1160" <= typed[place] <= "\u11ff"):
            continue
        signs = normalize("NFKD", normalize("NFKC", typed[start:place]).casefold())
        bare = (ALIKE.get(sign, sign) for sign in signs if not category(sign).startswith("M"))
        plain = normalize("NFC", "".join(bare))
        letters += plain
        places += [start] * len(plain)
        start = place
    return Folded("".join(letters), (*places, len(typed)))


@dataclass(frozen=True)
class Found:
    """A place in a text as typed where a word stands, the word looked for, and the whole word that begins with it."""

    start: int
    end: int
    word: str
    whole: str


def find(typed: str, words: Iterable[str], whole: bool = False) -> Iterator[Found]:
    """Where folded words begin a word of a text, the longest first; with ``whole`` only where they are all of it,
    but for an s at the end."""
    wanted = tuple(sorted(dict.fromkeys(words), key=lambda word: (-len(word), word)))
    if not wanted:
        return
    text = folded(typed)
    for match in _any_of(wanted, whole).finditer(text.text):
        start, end = text.places[match.start()], text.places[match.end()]
        yield Found(start, end, wanted[(match.lastindex or 1) - 1], match.group())


# The names of a class are looked for in every text that is kept of it: the pattern of them all is the same each time.
@lru_cache(maxsize=256)
def _any_of(wanted: tuple[str, ...], whole: bool) -> re.Pattern[str]:
    return re.compile("|".join(f"({_pattern(word, whole)})" for word in wanted))


def _pattern(word: str, whole: bool) -> str:
    if unspaced(word):
        return r"\W*".join(re.escape(part) for part in word.split(" "))
    parts = r"\W+".join(re.escape(part) for part in word.split(" "))
    return rf"(?<!\w){parts}s?(?!\w)" if whole or len(word) < BEGINS_WORDS else rf"(?<!\w){parts}\w*"


def replaced(typed: str, found: Iterable[Found], by: str) -> str:
    """A text with what was found in it replaced; the same text where nothing was."""
    pieces, last = [], 0
    for one in found:
        pieces += [typed[last : one.start], by]
        last = one.end
    return "".join([*pieces, typed[last:]]) if pieces else typed


def speaks_of(text: str, person: Student) -> bool:
    """Whether any word of the person's name begins a word of the text, or their id is one."""
    return any(True for _ in find(text, words_of(person.name))) or _id_in(person).search(text) is not None


def _id_in(person: Student) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(person.id)}(?!\w)" if len(person.id) >= LONG_ENOUGH else "(?!)")


class Renaming:
    """What becomes of a text in which the person may be named: the whole name, the given name where nobody else has
    it, and the id give way. Ids of others stay as they are (``ids`` are more of them), and different texts
    stay different."""

    def __init__(self, roster: Roster, person: Student, neutral: str, ids: frozenset[str] = frozenset()) -> None:
        self.ids = {student.id for student in roster.students} - {person.id} | ids
        self.neutral = neutral
        self.whole = words_of(person.name)[:1]
        self.given = [given_word(person.name)] if _is_theirs_alone(roster, person, neutral) else []
        self.id = _id_in(person)
        self.became: dict[str, str] = {}

    def __call__(self, text: str) -> str:
        if text in self.ids:
            return text
        if text not in self.became:
            self.became[text] = self._different(text, self._renamed(text))
        return self.became[text]

    def _renamed(self, text: str) -> str:
        without_whole = replaced(text, find(text, self.whole), self.neutral)
        without_given = replaced(without_whole, find(without_whole, self.given, whole=True), self.neutral)
        return self.id.sub(self.neutral, without_given)

    def _different(self, before: str, after: str) -> str:
        if after == before:
            return before
        names = (after, *(f"{after} ({number})" for number in range(2, len(self.became) + 3)))
        taken = set(self.became.values())
        return next(name for name in names if name not in taken)


def _is_theirs_alone(roster: Roster, person: Student, neutral: str) -> bool:
    """Whether no word of another student's name is the given name, so that a text with it can mean nobody else."""
    given = given_word(person.name)
    others = (student for student in roster.students if student.id not in (person.id, neutral))
    return bool(given) and all(given not in words_of(student.name) for student in others)


@dataclass(frozen=True)
class Others:
    """The words that could stand for classmates of one student, and those that could stand for the student.

    ``shared`` are words of both, such as a given name that two have: such a word tells nobody apart, so that it is
    masked only as part of a classmate's whole name. ``wholes`` are the whole names of classmates: where one name is the
    beginning of another, the longest that stands in a text is the one that is meant.
    """

    others: tuple[str, ...]
    own: tuple[str, ...]
    shared: frozenset[str]
    ids: tuple[str, ...]
    wholes: tuple[str, ...] = ()

    def masked(self, text: str) -> str:
        """The text with a mask in the place of every name and id of a classmate."""
        masked = replaced(text, self._others_in(text), MASK)
        for id_ in self.ids:
            masked = re.sub(rf"(?<!\w){re.escape(id_)}(?!\w)", MASK, masked)
        return masked

    def speaks_of(self, text: str) -> bool:
        """Whether a text names the student, for certain: by a word that no classmate shares."""
        if self._own_whole_in(text):
            return True
        return any(one.word not in self.shared for one in find(replaced(text, self._others_in(text), ""), self.own))

    def may_speak_of(self, text: str) -> bool:
        """Whether a text may name the student: a word of the name stands in it, and not in a classmate's whole name."""
        of_others = [one for one in self._wholes_in(text) if one.word in self.wholes and one.word not in self.own[:1]]
        return any(not _within(one, of_others) for one in find(text, self.own))

    def _own_whole_in(self, text: str) -> list[Found]:
        """Where the student's whole name stands, and no longer name of a classmate; nowhere if two have it."""
        return [one for one in self._wholes_in(text) if one.word in self.own[:1] and one.word not in self.wholes]

    def _wholes_in(self, text: str) -> list[Found]:
        return list(find(text, (*self.wholes, *self.own[:1])))

    def _others_in(self, text: str) -> Iterator[Found]:
        own = self._own_whole_in(text)
        for one in find(text, self.others):
            if _within(one, own):
                continue
            longer = (word for word in self.own if len(word) > len(one.word) and one.whole.startswith(word))
            if next(longer, None) is None:
                yield one


def _within(one: Found, spans: list[Found]) -> bool:
    return any(span.start <= one.start and one.end <= span.end for span in spans)


def others_of(roster: Roster, student: Student) -> Others:
    """The words for masking all classmates of a student, those who left included."""
    own = words_of(student.name)
    classmates = [other for other in roster.students if other.id != student.id]
    words = dict.fromkeys(word for other in classmates for word in words_of(other.name))
    shared = frozenset(words) & frozenset(own)
    ids = sorted((o.id for o in classmates if len(o.id) >= LONG_ENOUGH), key=lambda id_: (-len(id_), id_))
    wholes = tuple(dict.fromkeys(words_of(other.name)[0] for other in classmates if words_of(other.name)))
    return Others(tuple(word for word in words if word not in shared), own, shared, tuple(ids), wholes)
