"""OneRoster zips, with the column names of the 1EdTech CSV binding 1.1 and 1.2 (from memory of the specification)."""

from __future__ import annotations

from pathlib import Path

import pytest
from table_files import names, notes, zip_file

from grouper.errors import InputError
from grouper.files.roster import read_roster

MANIFEST = (
    "propertyName,value\nmanifest.version,1.0\noneroster.version,{version}\nfile.users,{mode}\nfile.classes,bulk\n"
    "file.enrollments,bulk\n"
)
USERS_11 = (
    "sourcedId,status,dateLastModified,enabledUser,orgSourcedIds,role,username,userIds,givenName,familyName,middleName,"
    "identifier,email,sms,phone,agentSourcedIds,grades,password\n"
    "u1,,,true,o1,student,ana,,Ana,Silva,,17,ana@school.example,,,,07,\n"
    "u2,,,true,o1,student,ben,,Ben,Okoro,,18,,,,,07,\n"
    "u3,tobedeleted,,true,o1,student,cle,,Cleo,Dahl,,19,,,,,07,\n"
    "u4,,,true,o1,teacher,tea,,Tea,Cher,,,,,,,,\n"
)
USERS_12 = (
    "sourcedId,status,dateLastModified,enabledUser,username,userIds,givenName,familyName,middleName,identifier,email,sms,"
    "phone,agentSourcedIds,grades,password,userMasterIdentifier,resourceSourcedIds,preferredGivenName,"
    "preferredMiddleName,preferredFamilyName,primaryOrgSourcedId,pronouns\n"
    "u1,,,true,ana,,Anastasia,Silva,,17,,,,,07,,,,Ana,,,o1,\n"
    "u2,,,true,ben,,Ben,Okoro,,18,,,,,07,,,,,,,o1,\n"
)
CLASSES = (
    "sourcedId,status,dateLastModified,title,grades,courseSourcedId,classCode,classType,location,schoolSourcedId,"
    "termSourcedIds,subjects,subjectCodes,periods\n"
    "c1,,,PE 7b,07,k1,PE-7B,scheduled,,o1,t1,,,\n"
    "c2,,,PE 8a,08,k1,PE-8A,scheduled,,o1,t1,,,\n"
)
ENROLLMENTS = (
    "sourcedId,status,dateLastModified,classSourcedId,schoolSourcedId,userSourcedId,role,primary,beginDate,endDate\n"
    "e1,,,c1,o1,u1,student,false,,\n"
    "e2,,,c1,o1,u2,student,false,,\n"
    "e3,,,c1,o1,u4,teacher,true,,\n"
    "e4,,,c2,o1,u2,student,false,,\n"
    "e5,tobedeleted,,c2,o1,u1,student,false,,\n"
)


def oneroster(folder: Path, version: str = "1.1", mode: str = "bulk", **files: str) -> Path:
    members = {
        "manifest.csv": MANIFEST.format(version=version, mode=mode),
        "users.csv": USERS_12 if version == "1.2" else USERS_11,
        "classes.csv": CLASSES,
        "enrollments.csv": ENROLLMENTS,
        "orgs.csv": "sourcedId,name\no1,Invented School\n",
    }
    members |= {f"{name}.csv": text for name, text in files.items()}
    return zip_file(folder, {name: text for name, text in members.items() if text})


@pytest.mark.parametrize("class_name", ["PE 7b", "pe-7b", "c1"])
def test_students_of_the_class_that_is_asked_for(tmp_path: Path, class_name: str) -> None:
    """A class is meant by its title, code or sourcedId; teachers are no students; ids are the sourcedIds."""
    reading = read_roster(oneroster(tmp_path), class_name)
    assert [(s.id, s.name) for s in reading.roster.students] == [("u1", "Ana Silva"), ("u2", "Ben Okoro")]
    assert "OneRoster 1.1" in notes(reading, "understood")
    assert "email" in reading.summary


def test_enrollments_and_users_marked_for_deletion_are_left_out(tmp_path: Path) -> None:
    """tobedeleted in enrollments.csv or users.csv means gone, with a note of the rows."""
    more = ENROLLMENTS + "e6,,,c1,o1,u3,student,false,,\n"
    reading = read_roster(oneroster(tmp_path, enrollments=more), "PE 7b")
    assert names(reading) == ["Ana Silva", "Ben Okoro"]
    assert names(read_roster(oneroster(tmp_path), "PE 8a")) == ["Ben Okoro"]
    assert "row 4: marked for deletion in users.csv" in notes(reading, "left out")


def test_preferred_names_of_version_1_2(tmp_path: Path) -> None:
    """The preferred given name goes first; 1.2 has no role column in users.csv."""
    assert names(read_roster(oneroster(tmp_path, "1.2"), "PE 7b")) == ["Ana Silva", "Ben Okoro"]


def test_columns_are_matched_by_name_not_by_place(tmp_path: Path) -> None:
    """Another order and case of columns, and a byte order mark, read the same."""
    users = "\ufefffamilyname,GIVENNAME,sourcedid\nSilva,Ana,u1\nOkoro,Ben,u2\nCher,Tea,u4\n"
    assert names(read_roster(oneroster(tmp_path, users=users), "PE 7b")) == ["Ana Silva", "Ben Okoro"]


@pytest.mark.parametrize("class_name", ["", "PE 9z"])
def test_several_classes_are_listed_where_none_is_meant(tmp_path: Path, class_name: str) -> None:
    """Without a class name, or with an unknown one, the trouble lists the classes."""
    with pytest.raises(InputError) as caught:
        read_roster(oneroster(tmp_path), class_name)
    assert "PE 7b (PE-7B), PE 8a (PE-8A)" in str(caught.value.troubles[0])


@pytest.mark.parametrize(
    ("files", "says"),
    [
        ({"enrollments": ""}, "no enrollments.csv"),
        ({"classes": "sourcedId,name\nc1,PE 7b\n"}, "no column title"),
        ({"users": "sourcedId,givenName,familyName\nu1,Ana,Silva\n"}, "not in users.csv"),
    ],
)
def test_incomplete_zips_are_troubles(tmp_path: Path, files: dict[str, str], says: str) -> None:
    """A missing file, column or user stops the reading."""
    with pytest.raises(InputError) as caught:
        read_roster(oneroster(tmp_path, **files), "PE 7b" if "classes" not in files else "")
    assert any(says in str(trouble) for trouble in caught.value.troubles)


def test_a_zip_of_changes_alone_is_refused(tmp_path: Path) -> None:
    """A delta holds only what has changed, never the whole class."""
    with pytest.raises(InputError) as caught:
        read_roster(oneroster(tmp_path, mode="delta"), "PE 7b")
    assert "delta" in str(caught.value.troubles[0])


def test_files_in_a_folder_of_the_zip(tmp_path: Path) -> None:
    """A zip that was packed again with its folder reads the same."""
    members = {
        "export/users.csv": USERS_11,
        "export/classes.csv": CLASSES,
        "export/enrollments.csv": ENROLLMENTS,
        "__MACOSX/export/users.csv": "x",
    }
    assert names(read_roster(zip_file(tmp_path, members), "PE 7b")) == ["Ana Silva", "Ben Okoro"]
