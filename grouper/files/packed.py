"""Zips from outside: how many members and how many bytes are taken out of one is counted while they are taken out."""

from __future__ import annotations

import struct
import zipfile
import zlib
from collections.abc import Iterator
from io import BytesIO

from grouper.files.notes import refuse

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
