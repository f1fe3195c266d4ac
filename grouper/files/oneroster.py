"""Students of one class from a OneRoster zip.

The columns are those of the CSV binding of 1EdTech OneRoster 1.1 and 1.2 (from memory of the published
specification), matched by name, never by place:

- ``users.csv``: sourcedId, status, givenName, familyName, and in 1.2 preferredGivenName, preferredFamilyName;
- ``classes.csv``: sourcedId, status, title, classCode;
- ``enrollments.csv``: status, classSourcedId, userSourcedId, role;
- ``manifest.csv``: propertyName, value.
"""

from __future__ import annotations

from dataclasses import dataclass

from grouper.files.delimited import decode, read_delimited
from grouper.files.notes import OF_A_SCHOOL, Findings, refuse
from grouper.files.opening import MOST_BYTES, Opened
from grouper.files.roster_rows import Entry
from grouper.files.sheet_xml import Packed
from grouper.words import Remedy

_USED = {
    "users.csv": ("sourcedId", "givenName", "familyName"),
    "classes.csv": ("sourcedId", "title"),
    "enrollments.csv": ("classSourcedId", "userSourcedId", "role"),
}
_USED_OPTIONAL = frozenset({"status", "preferredGivenName", "preferredFamilyName", "classCode", "role"})
_MANIFEST = "manifest.csv"
_GONE = frozenset({"tobedeleted", "inactive"})
_AGAIN = "export the zip again from the school's system"

Record = dict[str, str]


@dataclass(frozen=True)
class _File:
    """The records of one file of the zip: row number and cells by header in lower case."""

    name: str
    headers: tuple[str, ...]
    records: tuple[tuple[int, Record], ...]

    @property
    def current(self) -> tuple[tuple[int, Record], ...]:
        """The records that are not marked for deletion."""
        return tuple((row, record) for row, record in self.records if not _is_gone(record))


def read_oneroster(opened: Opened, class_name: str, findings: Findings) -> tuple[list[Entry], tuple[str, ...]]:
    """The students of one class, and the columns that were left out with why.

    Raises
    ------
    InputError
        Files or columns are missing, the zip holds changes alone, or it does not tell which class is meant.
    """
    files = _files(opened, findings)
    if findings.troubled:
        raise findings.error()
    class_id = _class_meant(files["classes.csv"], class_name, findings)
    users = {record["sourcedid"]: (row, record) for row, record in files["users.csv"].records}
    for file in (files["users.csv"], files["enrollments.csv"]):
        rows = tuple(row for row, record in file.records if _is_gone(record))
        if rows:
            findings.note("left out", f"marked for deletion in {file.name}", rows)
    entries = _enrolled(class_id, files["enrollments.csv"], users, findings)
    return entries, _report_left_out(files["users.csv"], findings)


def _files(opened: Opened, findings: Findings) -> dict[str, _File]:
    packed = Packed(opened.data, opened.file)
    names: dict[str, str] = {}
    for name in packed.names:
        base = name.rsplit("/", 1)[-1].lower()
        if name.startswith("__MACOSX"):
            continue
        if base in names and base in (*_USED, _MANIFEST):
            raise refuse(opened.file, f"there is more than one {base} in the zip", _AGAIN)
        names[base] = name
    _check_manifest(packed, names, findings)
    files = {base: _file(packed, names[base], base) for base in _USED if base in names}
    for base, headers in _USED.items():
        file = files.get(base)
        if file is None:
            findings.trouble(f"the zip has no {base}", _AGAIN)
        have = {header.lower() for header in file.headers} if file else set()
        for header in headers if file else ():
            if header.lower() not in have:
                findings.trouble(f"{base} has no column {header}", _AGAIN)
    others = sorted(base for base in names if base and base not in _USED and base != _MANIFEST)
    if others:
        findings.note("left out", f"files that are not needed: {', '.join(others)}")
    return files


def _file(packed: Packed, member: str, base: str) -> _File:
    sheet = read_delimited(decode(packed.bytes_of(member, 3 * MOST_BYTES), base), base, lambda cells: 0, OF_A_SCHOOL)
    headers = sheet.rows[0].cells if sheet.rows else ()
    keys = [header.lower() for header in headers]
    records = ((row.number, {key: row.cell(at) for at, key in enumerate(keys)}) for row in sheet.rows[1:])
    return _File(base, headers, tuple(records))


def _check_manifest(packed: Packed, names: dict[str, str], findings: Findings) -> None:
    if _MANIFEST not in names:
        findings.note("understood", "there is no manifest.csv; read as OneRoster all the same")
        return
    manifest = _file(packed, names[_MANIFEST], _MANIFEST)
    values = {r.get("propertyname", "").lower(): r.get("value", "").lower() for _row, r in manifest.records}
    findings.note("understood", f"OneRoster {values.get('oneroster.version', 'of a version that it does not name')}")
    for base in _USED:
        if values.get(f"file.{base.removesuffix('.csv')}") == "delta":
            # Read as whole it would take everybody for gone who has not changed.
            findings.trouble(f"{base} holds only what has changed (delta)", "export it whole (bulk)")


def _is_gone(record: Record) -> bool:
    return record.get("status", "").lower() in _GONE


def _class_meant(classes: _File, wanted: str, findings: Findings) -> str:
    current = [record for _row, record in classes.current]
    matching = current
    if wanted:
        called = ("title", "classcode", "sourcedid")
        matching = [one for one in current if wanted.casefold() in (one.get(key, "").casefold() for key in called)]
    if len(matching) == 1:
        findings.note("understood", f"the class {matching[0]['title'] or matching[0]['sourcedid']}")
        return matching[0]["sourcedid"]
    have = ", ".join(_called(record) for record in (matching or current)) or "none"
    problem = f"no class is called '{wanted}'" if wanted and not matching else "it does not tell which class is meant"
    findings.trouble(f"{problem}; the classes are {have}", Remedy.CHOOSE_CLASS)
    raise findings.error()


def _called(record: Record) -> str:
    code = record.get("classcode") or record["sourcedid"]
    return f"{record['title']} ({code})" if record["title"] else code


def _enrolled(
    class_id: str, enrollments: _File, users: dict[str, tuple[int, Record]], findings: Findings
) -> list[Entry]:
    entries = []
    for row, record in enrollments.current:
        if record["classsourcedid"] != class_id or record["role"].lower() != "student":
            continue
        user = users.get(record["usersourcedid"])
        if user is None:
            findings.trouble(f"row {row} of enrollments.csv has a user who is not in users.csv", _AGAIN)
        elif not _is_gone(user[1]):
            at, person = user
            # What a child is called in class, which is not always what the office has.
            given = person.get("preferredgivenname") or person["givenname"]
            family = person.get("preferredfamilyname") or person["familyname"]
            name = " ".join(part for part in (given, family) if part)
            if not name:
                findings.trouble(f"row {at} of users.csv has no name", _AGAIN)
            entries.append(Entry(at, person["sourcedid"], name))
    return entries


def _report_left_out(users: _File, findings: Findings) -> tuple[str, ...]:
    used = {header.lower() for header in (*_USED["users.csv"], *_USED_OPTIONAL)}
    unused = [header for header in users.headers if header and header.lower() not in used]
    if not unused:
        return ()
    findings.note("left out", f"columns of users.csv that are not needed: {', '.join(unused)}")
    return (f"{', '.join(unused)} (not needed)",)
