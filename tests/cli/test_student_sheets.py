"""Students' sheets, made by the real command and searched for anything that is not for students."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from .shell import grouper
from .tables import LESSONS, REQUESTS, ClassOnDisk, write_rows

NAMES = ("Ada", "Bo", "Cy", "Dee", "Eli", "Flo", "Gus", "Hal", "<Ivo>")
RATINGS = ("3.14159", "8.25", "1.625", "47.5", "2.71828", "6.0625", "9.875", "5.4375", "4.6875")
SECRETS = ("zwurf", "qx9", "apart", "together", "strand", "skill", "rating", "request", "balanced", "coaching")
"""The name of the strand, the ids, and the words for what is the teacher's alone."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the sheets are."""
    return tmp_path_factory.mktemp("sheets")


@pytest.fixture(scope="module")
def wall_pages(folder: Path) -> dict[int, str]:
    """The students' sheets of a unit with every aim, size bands, requests, somebody away and somebody aside."""
    disk = ClassOnDisk(folder)
    rows = [
        (f"qx9{n}", f"{name} Nachnam", rating, "SML"[n % 3])
        for n, (name, rating) in enumerate(zip(NAMES, RATINGS, strict=True))
    ]
    write_rows(disk.roster, ("student_id", "name", "zwurf", "size_band"), rows)
    write_rows(
        disk.lessons,
        (*LESSONS, "date"),
        [
            (1, "Passing", 2, "", 2, 5, "fresh", "", "", "", "2027-03-01"),
            (2, "Tag", "", 3, 1, 10, "balanced", "zwurf"),
            (2, "Tag again", "", "", 1, 5, "stay"),
            (3, "Throwing", 2, "", 2, 8, "coaching", "zwurf", 0, 60),
            (4, "Running", 3, "", 1, 8, "similar", "zwurf"),
            (4, "Rugby", 4, "", 1, 8, "fresh"),
        ],
    )
    write_rows(disk.requests, REQUESTS, [("apart", "qx90", "qx91"), ("together", "qx92", "qx93", 1, 2)])
    disk.plan()
    grouper("absent", disk.file, "--lesson", 1, "qx95")
    grouper("aside", disk.file, "--lesson", 1, "qx96", "--role", "timekeeper")
    pages = {}
    for lesson in (1, 2, 3, 4):
        grouper("sheets", disk.file, "--lesson", lesson, "--to", folder / "sheets")
        (page,) = (folder / "sheets").glob(f"lesson-{lesson:02d}*wall*.html")
        pages[lesson] = page.read_text(encoding="utf-8")
    return pages


def read(page: str) -> str:
    """What stands on a page, tags taken out, attributes that are read aloud or shown kept."""
    spoken = re.findall(r"(?:title|alt|aria-label|content|value|id|class|data-[\w-]+)=\"([^\"]*)\"", page)
    body = re.sub(r"<(style|script).*?</\1>", " ", page, flags=re.S)
    return unescape(re.sub(r"<[^>]*>", " ", body)) + " " + unescape(" ".join(spoken))


def test_nothing_that_tells_ability(wall_pages: dict[int, str]) -> None:
    """No rating, not the name of the strand, no id, no request, no aim, no size band."""
    for page in wall_pages.values():
        text = read(page).casefold().replace("same groups, stay together", "")
        assert not [rating for rating in RATINGS if rating in page]
        assert not [word for word in SECRETS if re.search(rf"\b{word}", text)]
        assert not re.search(r"\b(band|gap|low|high|strong|weak|level|ability)\b", text)
        assert "mixed" not in text


def test_no_comment_and_no_script(wall_pages: dict[int, str]) -> None:
    """Nothing is hidden in comments, and nothing is fetched from elsewhere."""
    for page in wall_pages.values():
        assert "<!--" not in page
        assert "<script" not in page
        assert not re.search(r"(?:src|href)=\"(?!#)", page)
        assert not re.search(r"https?:|//\w", page)


def test_everybody_there_is_on_it_and_who_is_away_is_not(wall_pages: dict[int, str]) -> None:
    """Names and roles are there; markup in a name is shown as it is written; nobody learns who is absent."""
    first = read(wall_pages[1])
    for name in ("Ada", "Bo", "Cy", "Dee", "Eli", "Hal", "<Ivo>", "Gus"):
        assert name in first
    assert "timekeeper" in first
    assert "Flo" not in first
    assert "<Ivo>" not in wall_pages[1]
    assert "Passing" in first


def test_the_teachers_sheet_is_another_file(folder: Path, wall_pages: dict[int, str]) -> None:
    """Ratings and requests stand on the teacher's sheet alone."""
    (teacher,) = (folder / "sheets").glob("lesson-02*teacher*.html")
    text = read(teacher.read_text(encoding="utf-8"))
    assert "zwurf" in text
    assert re.search(r"8\.25|8\.2|8\.3", text)
