"""Short names: unique, no longer than they have to be, in any script."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.faces.views.names import display_names, folded, label_order, letters_of, name_order
from grouper.model.roster import Student

CASES = {
    "only the given name where it is unique": (("Mia Berg", "Ali Can"), ("Mia", "Ali")),
    "one letter where it is enough": (("Mia Berg", "Mia Can"), ("Mia B.", "Mia C.")),
    "as many letters as it takes": (("Mia Bergen", "Mia Becker"), ("Mia Ber.", "Mia Bec.")),
    "a whole ending that another one begins with": (("Mia Berg", "Mia Bergmann"), ("Mia Berg", "Mia Bergm.")),
    "upper and lower case are one name": (("mia berg", "Mia Can"), ("mia b.", "Mia C.")),
    "a name of one part beside a longer one": (("Mia", "Mia Berg"), ("Mia", "Mia B.")),
    "the last part first": (("Ana Ruiz Soto", "Ana Ruiz Vega"), ("Ana S.", "Ana V.")),
    "the whole name where the last parts are equal": (
        ("Anna Lena Berg", "Anna Maria Berg", "Anna Koch"),
        ("Anna Lena Berg", "Anna Maria Berg", "Anna K."),
    ),
    "a number where nothing else is left": (("Mia Berg", "Mia Berg"), ("Mia (1)", "Mia (2)")),
    "a number behind the ending": (
        ("Mia Berg", "mia berg", "Mia Can", "Ali Can"),
        ("Mia B. (1)", "mia b. (2)", "Mia C.", "Ali"),
    ),
    "an initial is no given name": (("R. Praveen", "R. Kumar"), ("R. Praveen", "R. Kumar")),
    "family name first, with a comma": (("Berg, Mia", "Can, Mia"), ("Mia B.", "Mia C.")),
    "scripts without blanks": (("王小明", "王小红"), ("王小明", "王小红")),
    "right to left": (("يوسف الحداد", "يوسف النجار"), ("يوسف الح.", "يوسف الن.")),
    "a mark stays with its letter": (("आरव शिवाजी", "आरव शाह"), ("आरव शि.", "आरव शाह")),
    "an accent in two pieces is one letter": (("Zoe\u0301 Roy", "Zoé Lam"), ("Zoé R.", "Zoé L.")),
    "no control characters, no turned direction": (("\u202eMia\x00 Berg", "Ali Can"), ("Mia", "Ali")),
}


@pytest.mark.parametrize("case", CASES)
def test_display_names_by_hand(case: str) -> None:
    """Worked by hand."""
    names, wanted = CASES[case]
    students = [Student(str(place), name) for place, name in enumerate(names, start=1)]
    assert tuple(display_names(students).values()) == wanted


NAME_LETTERS = st.text(alphabet="aAbBéßñ王اのक्षि -", min_size=1, max_size=9).filter(lambda name: name.strip(" -"))


@given(st.lists(NAME_LETTERS, min_size=1, max_size=12), st.randoms(use_true_random=False))
def test_display_names_are_unique_and_independent_of_order(names: list[str], random: object) -> None:
    """No two are alike, upper and lower case taken together, and the order of the roster does not matter."""
    students = [Student(str(place), name) for place, name in enumerate(names)]
    short = display_names(students)
    assert len({folded(name) for name in short.values()}) == len(students)
    random.shuffle(students)  # type: ignore[attr-defined]
    assert display_names(students) == short


@given(NAME_LETTERS)
def test_letters_lose_nothing(name: str) -> None:
    """The letters of a name put together again are the name."""
    assert "".join(letters_of(folded(name))) == folded(name)


def test_names_sort_as_in_a_class_list() -> None:
    """Accents and case do not send a name to the end (common practice, no source)."""
    assert sorted(["Zoe", "Émile", "emil", "Ada", "Özil"], key=name_order) == ["Ada", "emil", "Émile", "Özil", "Zoe"]


def test_labels_sort_by_value() -> None:
    """Group 2 stands before group 10, and numbers before letters."""
    assert sorted(["B10", "10", "B2", "A", "2"], key=label_order) == ["2", "10", "A", "B2", "B10"]
