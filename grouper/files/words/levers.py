"""Headers of tables of levers and of the cupboard; what levers and activities are called; what no card says.

The words stand in ``levers.txt`` and ``telling.txt``.
"""

from __future__ import annotations

import re
from unicodedata import normalize

from grouper.files.cells import fold
from grouper.files.table import texts_of_words, vocabularies

_WORDS = vocabularies("levers")
LEVERS, CUPBOARD, LEVER_SHEETS = (_WORDS[table] for table in ("levers", "cupboard", "lever sheets"))
ADAPTATIONS_TABLE, ADAPTATION_KINDS = _WORDS["adaptations"], _WORDS["adaptation kinds"]
SCORING_WAYS = _WORDS["scoring"]
KIND = _WORDS["lever kinds"]
"""What a lever moves, by what it is called."""

ACTIVITY_KINDS = _WORDS["activity kinds"]
"""Kinds of activity, by words that stand in what an activity is called (common practice, no source)."""


def kind_of_activity(name: str) -> str:
    """The kind whose levers come along, by the name of an activity; empty where that cannot be told.

    The longest words go first: 'jump rope' is rope skipping and no jumping.

    Examples
    --------
    >>> kind_of_activity("Chest passes in pairs"), kind_of_activity("Seilspringen"), kind_of_activity("Chess")
    ('Throwing and catching', 'Rope skipping', '')
    """
    words = fold(name).split()
    for length in range(min(4, len(words)), 0, -1):
        for start in range(len(words) - length + 1):
            said = " ".join(words[start : start + length])
            for form in (said, said.removesuffix("es"), said.removesuffix("s"), f"{said}s"):
                if found := ACTIVITY_KINDS.meaning(form):
                    return found
    return ""


def scoring_in(text: str) -> str:
    """The way of scoring that is meant, in several languages, with its number of points; empty where none is.

    Examples
    --------
    >>> scoring_in("Near miss"), scoring_in("Gefahrenzone 5"), scoring_in("whatever")
    ('near misses', 'danger zone 5', '')
    """
    words, _, number = text.strip().rpartition(" ")
    numbered = number.isascii() and number.isdecimal()
    meant = SCORING_WAYS.meaning(words if numbered else text)
    return f"{meant} {number}" if meant and numbered else meant


def kind_of(name: str) -> str:
    """What a lever moves, by its name: 'ball' is equipment; empty where that cannot be told."""
    return KIND.meaning(name)


_TELLING = {called: "|".join(text.splitlines()) for called, text in texts_of_words("telling").items()}
_BY_WORDS = re.compile(rf"\b({_TELLING['whole words']})\b", re.IGNORECASE)
_ANYWHERE = re.compile(_TELLING["anywhere"])


def telling(text: str) -> str:
    """The first word of a text that tells students how able they are held to be; empty where there is none.

    In the languages that rosters are read in. Words that may as well speak of a ball or a hand ('weaker hand',
    'schwerer Ball') are not among them.

    Examples
    --------
    >>> telling("for Beginners"), telling("plus facile"), telling("with your weaker hand"), telling("初心者むけ")
    ('Beginners', 'plus facile', '', '初心者')
    """
    text = normalize("NFC", text)
    found = _BY_WORDS.search(text) or _ANYWHERE.search(text)
    return found[0] if found else ""


_ABLE, _GROUP = _TELLING["able"], _TELLING["groups"]
_THE = "the|der|die|den|les|des|los|las|gli|i|os|as|de|ai|a|az|oi|οι"
_ABLE_GROUP = rf"\b({_ABLE})\W+({_GROUP})\b|\b({_GROUP})\W+(\w+\W+){{0,2}}({_ABLE})\b|\b({_THE})\W+({_ABLE})$"
_ABLE_TEAM = (
    rf"\b({_ABLE})\b|\b([a-d]|1st|2nd|first|second|third|erste|zweite|1\.|2\.)[ -](team|side|set|squad|mannschaft|"
    r"lag)\b|\b(première|deuxième|primer|segundo|prima|seconda) (équipe|equipo|squadra)\b|\breserves?\b"
)
_ABLE_ANYWHERE = re.compile(_TELLING["able anywhere"])


def telling_name(name: str, of_people: bool = False) -> str:
    """The first words of a name that put those whom it is given to in an order of ability; empty where there are none.

    An activity or a lever may speak of a strong throw or a slow ball, but of no strong group. With ``of_people`` it is
    the name of a team, which has no other meaning.

    Examples
    --------
    >>> telling_name("Gruppe der Schwachen"), telling_name("Strong throws"), telling_name("A-Team", of_people=True)
    ('Gruppe der Schwachen', '', 'A-Team')
    """
    text = normalize("NFC", name)
    # Compiled when a first name is looked at, as most commands look at none.
    found = re.search(_ABLE_TEAM if of_people else _ABLE_GROUP, text, re.IGNORECASE) or _ABLE_ANYWHERE.search(text)
    return telling(text) or (found[0] if found else "")


def on_a_name(name: str, of_people: bool = False) -> str:
    """What is to be said of such a name; empty where it tells nothing."""
    told = telling_name(name, of_people)
    instead = "colours and animals tell nothing" if of_people else "call it by what is done"
    return f"students read '{name}', and '{told}' tells them how able they are held to be: {instead}" if told else ""
