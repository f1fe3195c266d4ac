"""A process of its own that clears a class file again and again, to be killed; see ``class_file_child.py``."""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from class_file_child import tell
from class_states import large_state

from grouper.files.store import ClassFile
from grouper.privacy.less import Clearing, cleared


def purge_for_ever(path: Path, first: int) -> None:
    """Save a large state, then clear it away; the number of a cleared state is that of the state, negative."""
    file = ClassFile(path)
    for number in count(first):
        tell("try", number)
        version = file.save(large_state(number), "saved", file.read().version)
        tell("done", number)
        tell("try", -number)
        file.purge(cleared(large_state(number), Clearing(names=True)), version)
        tell("done", -number)


if __name__ == "__main__":
    purge_for_ever(Path(sys.argv[1]), int(sys.argv[2]))
