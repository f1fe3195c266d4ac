"""The class file: everything about one class in one SQLite file, with undo."""

from grouper.files.store.class_file import Check, ClassFile, Edit, Snapshot, bytes_of_new
from grouper.files.store.history import Change

__all__ = ["Change", "Check", "ClassFile", "Edit", "Snapshot", "bytes_of_new"]
