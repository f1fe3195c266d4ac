"""Tables made to hurt, by kind and seed, and what the readers say of them; written to ``docs/quality/reliability.md``.

Run from the root of the project::

    python -m tests.bench.hostile_tables 10000     # the table under 'Hostile tables'

Each is read in a process with 500 MB of memory and 5 seconds of processor time. ``tests/files/test_hostile_tables.py``
takes a few of each kind.
"""

from __future__ import annotations

import io
import os
import resource
import signal
import struct
import sys
import tempfile
import zipfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from itertools import cycle, islice
from multiprocessing import get_context
from pathlib import Path
from random import Random
from types import FrameType

from grouper.errors import InputError
from grouper.faces.cli.remedies import error_lines
from grouper.files.lessons import read_lessons
from grouper.files.levers import read_levers
from grouper.files.measures import read_measures
from grouper.files.opening import contents_of
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.model.roster import Roster, Student
from grouper.model.texts import has_hidden
from tests.bench.report import table

PAGE = Path(__file__).resolve().parents[2] / "docs" / "quality" / "reliability.md"
MOST_SECONDS, MOST_MEGABYTES, MOST_LETTERS = 5, 500, 300
ROSTER = Roster((Student("1", "Ana Silva"), Student("2", "Ben Okafor")), ("skill",))
READERS: dict[str, Callable[[Path], object]] = {
    "roster": read_roster,
    "lessons": lambda path: read_lessons(path, ROSTER),
    "requests": lambda path: read_requests(path, ROSTER),
    "measures": lambda path: read_measures(path, ROSTER, ("value",)),
    "ladders": read_levers,
    "contents": contents_of,
}
HEADERS = (
    "id,name,skill",
    "lesson,activity,size,date,minutes",
    "kind,student,other",
    "student,value",
    "activity,step,task",
)
STEER = ("\x1b[31m", "\x1b]0;x\x07", "\u202e", "\u2066", "\u200b", "\x00", "\x9b", "\x7f", "\ufeff", "\r")
NUMBERS = (
    "1e308",
    "-1e308",
    "inf",
    "nan",
    "1e400",
    "9" * 5000,
    "1" + "0" * 400,
    "1e-320",
    "0x1p3",
    "٣",
    "−7",
    "1,2,3",
    "²",
)
DATES = ("0001-01-01", "9999-12-31", "10000-01-01", "31.02.2026", "2026-13-01", "1/1/1", "9999年12月31日")
MARKS = "\u0301\u0323"


def large(chance: Random, usual: int, rare: int) -> int:
    """A size; one of thirty is as large as a file can make it."""
    return chance.randint(rare // 2, rare) if chance.random() < 1 / 30 else chance.randint(1, usual)


def lines_of(chance: Random, cells: Callable[[int], str], rows: int) -> bytes:
    """A table of the usual headers, each row ended by one odd cell."""
    header = chance.choice(HEADERS)
    body = (f"{row},Ana {row},{cells(row)}" for row in range(1, rows + 1))
    return "\n".join((header, *body, "")).encode("utf-8", "surrogatepass")


def odd_cells(*cells: str) -> Callable[[Random], bytes]:
    """Tables whose last cells, and some names, are of these."""

    def made(chance: Random) -> bytes:
        rows = [[str(n), f"Ana {n}", chance.choice(cells)] for n in range(1, chance.randint(2, 40))]
        chance.choice(rows)[chance.randrange(2)] = chance.choice(cells)
        text = "\n".join((chance.choice(HEADERS), *(",".join(row) for row in rows)))
        return text.encode("utf-8", "surrogatepass")

    return made


def encodings(chance: Random) -> bytes:
    """Rows in several encodings in one file, some of them broken."""
    kinds = ("utf-8", "utf-8-sig", "utf-16", "utf-16-be", "utf-32", "cp1252", "shift_jis")
    rows = [f"{n},Zoë Müller {n},3\r\n" for n in range(large(chance, 30, 200_000))]
    start, end = chance.choice(kinds), chance.choice(kinds)
    half = len(rows) // 2
    data = ("id,name,skill\r\n" + "".join(rows[:half])).encode(start, "replace") + "".join(rows[half:]).encode(
        end, "replace"
    )
    return data[chance.randrange(3) :]


def letters(chance: Random) -> bytes:
    """Any bytes at all."""
    return chance.randbytes(large(chance, 2000, 20_000_000))


def workbook(sheet: bytes, strings: bytes = b"", sheets: int = 1, method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A workbook of parts as they are given."""
    names = "".join(f'<sheet name="S{n}" sheetId="{n}" r:id="r{n}"/>' for n in range(1, sheets + 1))
    kinds = "".join(
        f'<Relationship Id="r{n}" Type="a/worksheet" Target="worksheets/sheet1.xml"/>' for n in range(1, sheets + 1)
    )
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", method) as archive:
        archive.writestr("xl/workbook.xml", f'<workbook xmlns:r="r"><sheets>{names}</sheets></workbook>')
        shared = '<Relationship Id="s" Type="a/sharedStrings" Target="sharedStrings.xml"/>'
        archive.writestr("xl/_rels/workbook.xml.rels", f"<Relationships>{kinds}{shared}</Relationships>")
        archive.writestr("xl/sharedStrings.xml", strings or b"<sst/>")
        archive.writestr("xl/worksheets/sheet1.xml", sheet)
    return data.getvalue()


TOP = (
    b'<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>id</t></is></c><c r="B1" t="inlineStr"><is>'
    b'<t>name</t></is></c></row><row r="2"><c r="A2"><v>1</v></c><c r="B2" t="str"><v>Ana</v></c></row>'
)
END = b"</sheetData></worksheet>"


def rows_of_workbook(chance: Random) -> bytes:
    """Rows and cells that stand nowhere, or far away."""
    row = chance.choice((b"1000000000", b"1048577", b"0", b"-1", b"9" * 40, b"x", b"3"))
    cell = chance.choice((b"A1000000000", b"ZZZZ3", b"XFE3", b"XFD3", b"", b"3A", b"A3"))
    return workbook(TOP + b'<row r="' + row + b'"><c r="' + cell + b'"><v>3</v></c></row>' + END)


def empty_rows(chance: Random) -> bytes:
    """Rows of empty cells with a style, as spreadsheet programs write them, up to a million."""
    cells = chance.choice(("A", "ABC", "ABCDEFG"))
    rows = large(chance, 500, 1_000_000)
    parts = (
        f'<row r="{n}" spans="1:9">' + "".join(f'<c r="{c}{n}" s="1"/>' for c in cells) + "</row>"
        for n in range(3, rows + 3)
    )
    return workbook(TOP + "".join(parts).encode() + END)


def bombs(chance: Random) -> bytes:
    """Little that unpacks to much: cells, rows, texts, one text, one attribute, elements within elements."""
    piece = chance.choice(
        (
            b"<c/>",
            b"<row/>",
            b"<c r='A3' s='1'/>",
            b'<c r="A3" s="a/b"/>',
            b"<x>",
            b"<c><v>1</v></c>",
            b" ",
            b"x",
            b"&lt;",
        )
    )
    many = piece * (large(chance, 5000, 180_000_000) // len(piece))
    return workbook(TOP + many + END)


def shared_bombs(chance: Random) -> bytes:
    """Texts that cells share: many, empty, or one that is long and stands in many cells."""
    if chance.random() < 0.5:
        piece = chance.choice((b"<si/>", b"<si><t>aaaaaaaa</t></si>", b"<si><r><t>a</t></r></si>"))
        return workbook(TOP + END, b"<sst>" + piece * (large(chance, 5000, 150_000_000) // len(piece)) + b"</sst>")
    text = b"<sst><si><t>" + b"a" * large(chance, 100, 32_000) + b"</t></si></sst>"
    cells = (f'<row r="{n}"><c r="A{n}" t="s"><v>0</v></c></row>' for n in range(3, large(chance, 300, 19_000)))
    return workbook(TOP + "".join(cells).encode() + END, text)


def declared(chance: Random) -> bytes:
    """A document type, plainly, behind UTF-16, after a comment of thousands of bytes, or in another part."""
    comment = b"<!--" + b"x" * chance.choice((0, 3000, 100_000)) + b"-->"
    laughs = b"".join(b'<!ENTITY e%d "%s">' % (n, b"&e%d;" % (n - 1) * 10) for n in range(1, 20))
    xml = b'<?xml version="1.0"?>' + comment + b'<!DOCTYPE x [<!ENTITY e0 "ha">' + laughs + b"]>" + TOP + END
    kind = chance.randrange(3)
    return workbook(xml.decode().encode("utf-16") if kind == 1 else xml if kind == 0 else TOP + END, xml * (kind == 2))


def many_sheets(chance: Random) -> bytes:
    """Hundreds of sheets."""
    return workbook(TOP + END, sheets=large(chance, 300, 20_000))


def damaged(chance: Random) -> bytes:
    """A sound workbook or zip with bytes overwritten, cut off, or packed in an unusual way."""
    method = chance.choice((zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA))
    data = bytearray(workbook(TOP + END, method=method) if chance.random() < 0.5 else roster_zip(chance))
    for _ in range(chance.randint(0, 8)):
        data[chance.randrange(4, len(data))] = chance.randrange(256)
    return bytes(data[: chance.choice((len(data), chance.randrange(len(data))))])


def roster_zip(chance: Random) -> bytes:
    """OneRoster zips: huge, twice, in odd places, locked, one in another."""
    users = "sourcedId,givenName,familyName\n" + "".join(f"u{n},Ana,S{n}\n" for n in range(large(chance, 60, 150_000)))
    files = {
        "users.csv": users,
        "classes.csv": "sourcedId,title\nc,7b\n",
        "enrollments.csv": "classSourcedId,userSourcedId,role\n" + "".join(f"c,u{n},student\n" for n in range(30)),
    }
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(chance.choice(("", "../../", "/etc/", "a/", "C:\\")) + name, text)
        kind = chance.randrange(5)
        if kind == 0:
            archive.writestr("again/users.csv", users)
        elif kind == 1:
            archive.writestr("classes.csv", "\n" * large(chance, 100, 200_000_000))
        elif kind == 2:
            archive.writestr("inner.zip", workbook(TOP + END))
        elif kind == 3:
            for number in range(large(chance, 100, 6000)):
                archive.writestr(f"{number}.csv", "")
    whole = bytearray(data.getvalue())
    if kind == 4:
        place = whole.find(b"PK\x01\x02")
        whole[place + 8 : place + 10] = struct.pack("<H", 1)
    return bytes(whole)


KINDS: dict[str, Callable[[Random], bytes]] = {
    "a long cell": lambda c: lines_of(c, lambda row: "A" * large(c, 200, 150_000), c.randint(1, 9)),
    "an open quotation mark": lambda c: lines_of(c, lambda row: '"' * c.randint(1, 3), large(c, 40, 300_000)),
    "quotation marks alone": lambda c: b"id,name\n" + b'"' * large(c, 300, 19_000_000),
    "newlines": lambda c: b"id,name\n1,Ana\n" + c.choice((b"\n", b"\r", b"\r\n")) * large(c, 300, 9_000_000),
    "rows of empty cells": lambda c: b"id,name\n1,Ana\n" + b",,,,\n" * large(c, 300, 1_040_000),
    "columns": lambda c: lines_of(c, lambda row: ",".join(map(str, range(large(c, 600, 1_000_000)))), c.randint(1, 3)),
    "delimiters alone": lambda c: b"id,name\n1,Ana\n" + c.choice((b",", b";", b"\t", b"|")) * large(c, 900, 19_000_000),
    "rows": lambda c: lines_of(c, lambda row: "3", large(c, 100, 400_000)),
    "wide and long": lambda c: lines_of(c, lambda row: ",".join(["3"] * 400), large(c, 20, 6000)),
    "NULs": lambda c: lines_of(c, lambda row: "\0" * c.randint(1, 9), large(c, 30, 500_000)),
    "mixed encodings": encodings,
    "any bytes": letters,
    "accents in rows": lambda c: lines_of(c, lambda row: "a" + MARKS * large(c, 40, 16_000), large(c, 5, 250)),
    "brackets": lambda c: lines_of(c, lambda row: "(" * large(c, 99, 32_000), large(c, 5, 250)),
    "headers slightly wrong": lambda c: (
        ",".join(f"studnet{n}x" for n in range(large(c, 60, 480))).encode() + b"\n1\n" * 60
    ),
    "numbers beyond sense": odd_cells(*NUMBERS),
    "dates beyond sense": odd_cells(*DATES),
    "signs that steer": odd_cells(*STEER, *(f"Ana{sign}" for sign in STEER)),
    "long names and titles": odd_cells("A" * 101, "Ana " * 30, "x" * 300, "y" * 30_000),
    "formulas": odd_cells("=1+1", "'=1", "@x", "a;=1", '"a;=1"', "\t=1", '=HYPERLINK("x")'),
    "rows numbered at will": rows_of_workbook,
    "empty rows with a style": empty_rows,
    "little that unpacks to much": bombs,
    "shared texts": shared_bombs,
    "a document type": declared,
    "many sheets": many_sheets,
    "damaged": damaged,
    "OneRoster": roster_zip,
}


@dataclass(frozen=True)
class Verdict:
    """What became of a table: ``read``, ``refused``, or a fault in words."""

    kind: str
    word: str
    seconds: float = 0.0


class _Late(BaseException):
    """No Exception, so that no reader takes it for a damaged file."""


def _late(_number: int, _frame: FrameType | None) -> None:
    raise _Late


def judged(reader: str, path: Path) -> str:
    """Read a table within the time; 'read', 'refused', or what went wrong."""
    signal.signal(signal.SIGPROF, _late)
    signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
    try:
        READERS[reader](path)
    except InputError as error:
        return _fault_of(list(error_lines(error))) or "refused"
    except _Late:
        return f"later than {MOST_SECONDS} s"
    except MemoryError:
        return f"more than {MOST_MEGABYTES} MB"
    except Exception as error:
        return f"{type(error).__name__}: {str(error)[:60]}"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    return "read"


def _fault_of(lines: list[str]) -> str:
    """What is wrong with the words of a refusal: too many lines, too long, or steered by what they quote."""
    if len(lines) > 21 or any(len(line) > MOST_LETTERS for line in lines):
        return f"{len(lines)} lines, the longest of {max(map(len, lines))} letters"
    return "" if not any(map(has_hidden, lines)) else "signs that cannot be seen in a message"


def reader_for(kind: str, chance: Random) -> str:
    """Mostly the roster's, as most tables are rosters."""
    return chance.choice(("roster", "roster", *READERS))


def _run(task: tuple[str, int, str]) -> Verdict:
    kind, seed, folder = task
    chance = Random(f"{kind} {seed}")
    path = Path(folder) / f"{os.getpid()}.table"
    path.write_bytes(KINDS[kind](chance)[:20_000_000])
    _limit_memory()
    before = resource.getrusage(resource.RUSAGE_SELF)
    word = judged(reader_for(kind, chance), path)
    after = resource.getrusage(resource.RUSAGE_SELF)
    return Verdict(kind, word, after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)


def _limit_memory() -> None:
    """From now on this process may take so much more than it has, as the making of the table took its own."""
    pages = int(Path("/proc/self/statm").read_text("ascii").split()[0])
    most = pages * resource.getpagesize() + MOST_MEGABYTES * 1_000_000
    resource.setrlimit(resource.RLIMIT_AS, (most, resource.getrlimit(resource.RLIMIT_AS)[1]))


def _unlimited() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))


def _fresh(task: tuple[str, int, str]) -> Verdict:
    """A task with the memory of the one before given free again."""
    _unlimited()
    return _run(task)


def main(count: int) -> None:
    """Read so many tables, the kinds in turn, and write the section of the page."""
    verdicts: list[Verdict] = []
    with tempfile.TemporaryDirectory() as folder, get_context("spawn").Pool(2, maxtasksperchild=200) as workers:
        tasks = ((kind, seed, folder) for seed, kind in enumerate(islice(cycle(KINDS), count)))
        for verdict in workers.imap_unordered(_fresh, tasks, chunksize=5):
            verdicts.append(verdict)
            if verdict.word not in ("read", "refused"):
                print(verdict, flush=True)
    _write(verdicts)


def _write(verdicts: list[Verdict]) -> None:
    rows = []
    for kind in KINDS:
        own = [verdict for verdict in verdicts if verdict.kind == kind]
        words = Counter(verdict.word for verdict in own)
        good = words["read"] + words["refused"]
        slowest = max((verdict.seconds for verdict in own), default=0.0)
        rows.append((kind, len(own), words["read"], words["refused"], len(own) - good, f"{slowest:.1f}"))
    total = [sum(row[place] for row in rows) for place in range(1, 5)]
    rows.append(("all", *total, max(row[5] for row in rows)))
    text = f"{HEADING}\n\n{ABOUT}\n\n{table(('kind', 'tried', 'read', 'refused', 'neither', 'slowest s'), rows)}\n"
    page = PAGE.read_text("utf-8") if PAGE.exists() else "# Reliability\n"
    before, found, rest = page.partition(HEADING)
    _, next_heading, after = rest.partition("\n## ") if found else ("", "", "")
    PAGE.write_text(f"{before.rstrip()}\n\n{text}{next_heading}{after}", "utf-8")


HEADING = "## Hostile tables"
ABOUT = (
    "`python -m tests.bench.hostile_tables 10000` makes tables by kind and seed and reads them as rosters, lessons, "
    "requests, test results and tasks. 'Refused' is an error in words, each line of at most 300 letters without signs "
    f"that steer a terminal; 'neither' is a crash, more than {MOST_SECONDS} s of processor time or more than "
    f"{MOST_MEGABYTES} MB beyond what the process had before. One table of thirty is as large as 20 MB can make it."
)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
