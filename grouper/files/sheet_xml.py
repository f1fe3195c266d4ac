"""The XML of a workbook (ECMA-376, part 1, 18.2 to 18.8), read piece by piece and no further than a table can go.

How many members of a zip and how many bytes are taken out of it is counted while they are taken out.
"""

from __future__ import annotations

import codecs
import re
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from io import BytesIO
from xml.parsers import expat

from grouper.files.notes import LIMITS, Budget, refuse

MOST_MEMBERS = 5_000
MOST_BYTES_UNPACKED = 400_000_000
"""A sheet of a million empty rows with a style, as spreadsheet programs write them, is a third of it."""

_CHUNK = 1 << 18
_DAMAGE = (zipfile.BadZipFile, zlib.error, struct.error, EOFError, RuntimeError, ValueError, LookupError, OSError)
"""What reading a damaged or locked zip can raise."""


class Packed:
    """A zip whose members can be read, each chunk by chunk, until together they are larger than any table.

    Raises
    ------
    InputError
        On opening and on reading: it is damaged or locked, or holds too much.
    """

    def __init__(self, data: bytes, file: str) -> None:
        self._file, self._read = file, 0
        # Counted before the directory is read: each entry of it takes many times its size in memory.
        if data.count(b"PK\x01\x02") > MOST_MEMBERS:
            raise refuse(file, f"this zip holds more than {MOST_MEMBERS} files", "give one file: CSV or XLSX")
        try:
            self._zip = zipfile.ZipFile(BytesIO(data))
        except _DAMAGE as error:
            raise refuse(file, "the file is damaged or only half downloaded", "fetch or save it again") from error
        # What the directory says may be a lie, so that the bytes are counted while they are unpacked as well.
        if sum(member.file_size for member in self._zip.infolist()) > MOST_BYTES_UNPACKED:
            raise refuse(file, "unpacked, this is larger than any table", "export one class alone")
        self.names = tuple(self._zip.namelist())

    def chunks(self, name: str) -> Iterator[bytes]:
        """The bytes of a member, a piece at a time."""
        try:
            if self._zip.getinfo(name).compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
                raise ValueError("packed in an unusual way")
            with self._zip.open(name) as member:
                while chunk := member.read(_CHUNK):
                    self._read += len(chunk)
                    if self._read > MOST_BYTES_UNPACKED:
                        raise refuse(self._file, "unpacked, this is larger than any table", "export one class alone")
                    yield chunk
        except _DAMAGE as error:
            message = f"the file is damaged or locked ({error})"
            raise refuse(self._file, message, "take a password off, and save it again") from error

    def bytes_of(self, name: str, most: int) -> bytes:
        """A whole member of no more than so many bytes."""
        whole = bytearray()
        for chunk in self.chunks(name):
            whole += chunk
            if len(whole) > most:
                raise refuse(self._file, f"'{name}' in it is larger than {most // 1_000_000} MB", "export less at once")
        return bytes(whole)


MOST_ELEMENTS = 1_000_000
_LONGEST_TOKEN = 2_000_000
_LAST_COLUMN = 16_384

Attributes = dict[str, str]

_CELL = rb'<(?:\w+:)?c(?=[^<>]*?\sr=")[^<>/]*+(?:/>|></(?:\w+:)?c>)'
_ROW = rb'<(?:\w+:)?row(?=[^<>]*?\sr=")[^<>/]*+(?:/>|>(?:' + _CELL + rb"|\s++)*+</(?:\w+:)?row>)"
_EMPTY = re.compile(rb"(?:" + _ROW + rb"|" + _CELL + rb")++")
_PLACE = re.compile(r"([A-Z]{1,3})([1-9]\d{0,9})")


@dataclass
class Xml:
    """Parses the members of one workbook, all out of one budget of elements.

    Raises
    ------
    InputError
        While parsing: no XML, more than any table holds, or a document type, which no spreadsheet program writes and
        in which entities could be declared.
    """

    file: str
    elements: int = 0

    def parse(
        self,
        chunks: Iterable[bytes],
        start: Callable[[str, Attributes], None],
        end: Callable[[str], None] | None = None,
        text: Callable[[str], None] | None = None,
    ) -> None:
        """Tell of every element, by its name without a prefix."""

        def counted(name: str, attributes: Attributes) -> None:
            self.elements += 1
            if self.elements > MOST_ELEMENTS:
                raise refuse(self.file, "it holds more than any table", "export one class alone")
            # Programs differ in the prefix that they give the elements of a workbook.
            start(name.rpartition(":")[2], attributes)

        parser = expat.ParserCreate("utf-8")
        # Else a text with an entity in it comes in pieces, each of which is a call.
        parser.buffer_text = True
        parser.StartDoctypeDeclHandler = self._no_document_type
        parser.StartElementHandler = counted
        if end is not None:
            parser.EndElementHandler = lambda name: end(name.rpartition(":")[2])
        if text is not None:
            parser.CharacterDataHandler = text
        try:
            for chunk in _as_utf8(chunks):
                parser.Parse(chunk, False)
            parser.Parse(b"", True)
        except (expat.ExpatError, ValueError, LookupError) as error:
            raise refuse(self.file, f"the workbook is damaged ({error})", "open it, save it again as XLSX") from error

    def _no_document_type(self, *_declared: object) -> None:
        raise refuse(self.file, "the workbook declares a document type", "save it again as XLSX")


def _as_utf8(chunks: Iterable[bytes]) -> Iterator[bytes]:
    """UTF-16, the other encoding that a workbook may be in (ECMA-376, part 2), as UTF-8; all else as it stands."""
    decode: Callable[[bytes], str] | None = None
    for number, chunk in enumerate(chunks):
        if number == 0 and chunk.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            decode = codecs.getincrementaldecoder("utf-16")("replace").decode
        yield decode(chunk).encode("utf-8", "replace") if decode else chunk


def without_empty(chunks: Iterable[bytes], file: str) -> Iterator[bytes]:
    """The XML of a sheet without its empty cells and rows, of which a spreadsheet with a style may have a million.

    Only those go that say where they stand, so that the others stay where they are.
    """
    rest = b""
    for chunk in _as_utf8(chunks):
        piece = rest + chunk
        whole = piece.rfind(b"</row>") + 6
        cut = whole if whole > 5 else piece.rfind(b"<")
        if len(piece) - max(cut, 0) > _LONGEST_TOKEN:
            raise refuse(file, "a cell or a row in it is larger than any of a table", "export one class alone")
        rest = piece[max(cut, 0) :]
        if cut > 0:
            yield _EMPTY.sub(b"", piece[:cut])
    yield _EMPTY.sub(b"", rest)


@dataclass
class Strings:
    """The texts that cells share, in order."""

    file: str
    texts: list[str] = field(default_factory=list)
    _parts: list[str] = field(default_factory=list)
    _in_text: bool = False
    _spoken: bool = False
    _letters: int = 0

    def start(self, name: str, _attributes: Attributes) -> None:
        """Begin a text, or a piece of one; how it is spoken (``rPh``) is no part of it."""
        if name == "si":
            self._parts = []
        elif name == "rPh":
            self._spoken = True
        self._in_text = name == "t" and not self._spoken

    def end(self, name: str) -> None:
        """End a text, or a piece of one."""
        self._in_text = False
        if name == "rPh":
            self._spoken = False
        elif name == "si":
            self.texts.append("".join(self._parts))

    def text(self, piece: str) -> None:
        """Letters of a text."""
        if self._in_text:
            self._letters += len(piece)
            if self._letters > LIMITS.letters:
                raise refuse(self.file, "there is more text in it than in any table", "export one class alone")
            self._parts.append(piece)


@dataclass
class Cell:
    """A cell as it stands in the file: its place, kind and style, what is stored, and whether it has a formula."""

    row: int
    place: int
    kind: str
    style: int
    value: str | None = None
    formula: bool = False


@dataclass
class Cells:
    """The cells of a sheet that hold something, each handed to ``take``."""

    file: str
    budget: Budget
    take: Callable[[Cell], None]
    _row: int = 0
    _place: int = -1
    _cell: Cell | None = None
    _in: str = ""
    _spoken: bool = False

    def start(self, name: str, attributes: Attributes) -> None:
        """Begin a row, a cell or what is in it."""
        if name == "row":
            self._row = self._number(attributes["r"]) if "r" in attributes else self._row + 1
            self._place = -1
        elif name == "c":
            self._begin(attributes)
        elif self._cell is not None:
            self._spoken = self._spoken or name == "rPh"
            self._in = name
            if name == "f":
                self._cell.formula = True
            elif name == "v" and self._cell.value is None and self._cell.kind == "str":
                self._cell.value = ""

    def _begin(self, attributes: Attributes) -> None:
        row, self._place = self._row or 1, self._place + 1
        if "r" in attributes:
            match = _PLACE.fullmatch(attributes["r"])
            if match is None:
                raise refuse(self.file, "a cell in it stands nowhere", "open it, save it again as XLSX")
            row, self._place = self._number(match[2]), _place(match[1])
        if self._place >= _LAST_COLUMN:
            raise refuse(self.file, "a column in it is beyond the last one", "open it, save it again as XLSX", row)
        style = attributes.get("s", "")
        known = int(style) if style.isdecimal() and len(style) < 6 else 0
        self._cell = Cell(row, self._place, attributes.get("t", "n"), known)

    def _number(self, text: str) -> int:
        number = int(text) if text.isdecimal() and len(text) < 11 else 0
        if not 1 <= number <= LIMITS.lines:
            message = f"a row is numbered '{text}', and the last row of a spreadsheet is {LIMITS.lines}"
            raise refuse(self.file, message, "open it, save it again as XLSX")
        return number

    def end(self, name: str) -> None:
        """End what is in a cell, or the cell."""
        self._in = ""
        if name == "rPh":
            self._spoken = False
        elif name == "c" and self._cell is not None:
            done, self._cell = self._cell, None
            if done.formula or done.value:
                self.take(done)

    def text(self, piece: str) -> None:
        """Letters in a cell."""
        if self._cell is not None and self._in in ("v", "t") and not self._spoken:
            self._cell.value = (self._cell.value or "") + piece
            self.budget.check_letters(len(self._cell.value), self._cell.row)


def _place(letters: str) -> int:
    """The place of a column from 0.

    >>> _place("A"), _place("AA")
    (0, 26)
    """
    place = 0
    for letter in letters:
        place = 26 * place + ord(letter) - 64
    return place - 1


def letters_of(place: int) -> str:
    """The letters of a column by its place from 0.

    >>> letters_of(0), letters_of(26), letters_of(16383)
    ('A', 'AA', 'XFD')
    """
    letters, number = "", place + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
