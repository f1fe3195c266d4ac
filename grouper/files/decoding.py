"""Bytes of a text file to text: byte order mark, then UTF-16 without one, then strict UTF-8, then Windows-1252."""

from __future__ import annotations

import codecs
from dataclasses import dataclass

from grouper.files.notes import refuse

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_SIGNS_OF_TABLES = "\n\r\t,;|\" "


@dataclass(frozen=True)
class Decoded:
    """A text and the name of the encoding that it was read in; ``guessed`` where nothing in the file proves it."""

    text: str
    encoding: str
    guessed: bool = False


def decode(data: bytes, file: str) -> Decoded:
    """The text of a file.

    Raises
    ------
    InputError
        The bytes are text in none of the encodings that are tried.
    """
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return _marked(data.removeprefix(mark), encoding, file)
    if b"\0" in data:
        wide = _wide_without_mark(data)
        if wide is not None:
            return wide
    return _narrow(data, file)


def _marked(data: bytes, encoding: str, file: str) -> Decoded:
    try:
        return Decoded(data.decode(encoding), encoding)
    except UnicodeDecodeError as error:
        raise _damaged(file, f"it says that it is {encoding.upper()} and breaks off at byte {error.start}") from error


def _wide_without_mark(data: bytes) -> Decoded | None:
    """UTF-16 in the byte order that gives more of the signs that every table has; None where neither does."""
    if len(data) % 2:
        return None
    candidates = [(_sureness(text), encoding, text) for encoding, text in _wide_texts(data)]
    best = max(candidates, default=None, key=lambda candidate: candidate[0])
    narrow = sum(data.count(sign.encode()) for sign in _SIGNS_OF_TABLES)
    # Wide text has the signs at half of its bytes' places; narrow text with a NUL in it has next to none of them.
    return Decoded(best[2], best[1]) if best and 0 < narrow < 2 * best[0] else None


def _wide_texts(data: bytes) -> list[tuple[str, str]]:
    texts = []
    for encoding in ("utf-16-le", "utf-16-be"):
        try:
            texts.append((encoding, data.decode(encoding)))
        except UnicodeDecodeError:
            continue
    return [(encoding, text) for encoding, text in texts if "\0" not in text]


def _sureness(text: str) -> int:
    return sum(map(text.count, _SIGNS_OF_TABLES))


def _narrow(data: bytes, file: str) -> Decoded:
    try:
        return Decoded(data.decode("utf-8"), "utf-8")
    except UnicodeDecodeError:
        pass
    try:
        return Decoded(data.decode("windows-1252"), "windows-1252", guessed=True)
    except UnicodeDecodeError as error:
        raise _damaged(file, f"byte {error.start} is no letter in UTF-8, UTF-16 or Windows-1252") from error


def _damaged(file: str, what: str) -> Exception:
    return refuse(file, f"this is no text that can be read: {what}", "save it again as CSV UTF-8 or as XLSX")
