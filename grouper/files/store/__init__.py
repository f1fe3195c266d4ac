"""The class file: everything about one class in one SQLite file, with undo."""

from grouper.files.store.class_file import ClassFile, Edit, bytes_of_new
from grouper.files.store.history import Change
from grouper.files.store.open_file import Check, Snapshot

__all__ = ["Change", "Check", "ClassFile", "Edit", "Snapshot", "bytes_of_new"]
