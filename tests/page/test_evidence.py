"""Evidence and the unit open with one sentence; earlier units can be opened; a lesson makes the rating it goes by."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from subprocess import PIPE, Popen
from time import monotonic, sleep

import pytest
from builders import class_of, class_of_eight, pairs, quick, with_plan
from werkzeug.test import TestResponse

from grouper.model.ledger import ledger_of
from grouper.model.unit import Activity
from grouper.planning.adjust import taught
from grouper.planning.ran import next_unit

from .clients import NAME, House

ONE = "ana ben | cem dia | eva fin | gil hana"
TWO = "ana cem | ben dia | eva gil | fin hana"


def page(answer: TestResponse) -> str:
    return answer.get_data(as_text=True)


def house_on(tmp_path: Path, *rounds: str) -> House:
    return House(tmp_path, with_plan(class_of_eight(pairs(), lessons=len(rounds)), *rounds))


@pytest.mark.parametrize(
    ("rounds", "sentence"),
    [
        ((ONE, TWO), "Everybody works with 2 of 7 others; no plan gives more."),
        ((ONE, ONE), "Everybody works with 1 of 7 others; at best 4 more of the 8 meetings could be with"),
        ((ONE, "ana ben | cem eva | dia fin | gil hana"), "Everybody works with 1 to 2 of 7 others; at best 2 more"),
    ],
)
def test_the_unit_and_the_evidence_open_with_the_gist(tmp_path: Path, rounds: tuple[str, ...], sentence: str) -> None:
    """Counted by hand: eight students in two rounds of pairs can all meet two others."""
    house = house_on(tmp_path, *rounds)
    teacher = house.teacher()
    assert sentence in page(teacher.get(f"/c/{NAME}/unit"))
    assert sentence in page(teacher.get(f"/c/{NAME}/evidence"))
    with house.file.change("taught") as edit:
        edit.record = taught(edit.record, 1)
    so_far = page(teacher.get(f"/c/{NAME}/evidence"))
    assert "Everybody has worked with 1 of 7 others; no plan gives more." in so_far


def test_a_unit_that_is_over_can_be_opened(tmp_path: Path) -> None:
    """Its map, partners and one student are what ran then, and the unit at hand is not in it."""
    house = house_on(tmp_path, ONE, TWO)
    with house.file.change("next unit") as edit:
        over = taught(taught(edit.record, 1), 2)
        edit.record = next_unit(over, over.unit).record
    teacher = house.teacher()
    assert "unit=1" not in page(teacher.get(f"/c/{NAME}/evidence")) and 'id="unit-1"' in page(
        teacher.get(f"/c/{NAME}/evidence")
    )
    then = page(teacher.get(f"/c/{NAME}/evidence?unit=1"))
    assert "In unit 1 everybody worked with 2 of 7 others." in then
    met = {frozenset(pair) for groups in (ONE, TWO) for group in groups.split(" | ") for pair in [group.split()]}
    names = ["Ana", "Ben", "Cem", "Dia", "Eva", "Fin", "Gil", "Hana"]
    for one, other in combinations(names, 2):
        together = frozenset((one.casefold(), other.casefold())) in met
        assert (f"{one} and {other}: once" in then) == together
    student = page(teacher.get(f"/c/{NAME}/evidence/student/ana?unit=1"))
    assert "Ben" in student and "Cem" in student and "2 rounds of unit 1" in student
    assert teacher.get(f"/c/{NAME}/evidence?unit=2").status_code == 400


def test_a_proof_is_looked_for_in_the_background(tmp_path: Path) -> None:
    """Eight in fours, four times: counting says that no plan is below 32, exact cover that none is below what it is."""
    house = House(tmp_path, quick(class_of(8, Activity("Game", size=4), lessons=4)))
    teacher, address = house.teacher(), f"/c/{NAME}/evidence"
    assert "Could any plan be better?" in page(teacher.get(address))
    assert teacher.post(f"{address}/proof", house.form()).status_code == 303
    assert 'id="progress"' in page(teacher.get(address)) and "Could any plan" not in page(teacher.get(address))
    assert teacher.post(f"{address}/proof", house.form()).status_code == 409, "one at a time"
    _until(lambda: teacher.get(f"{address}/proof").json["over"])
    said = page(teacher.get(address))
    cost = ledger_of(house.file.read().record.plan.rounds).meeting_cost
    assert f"Evenness of repeats {cost}: proven best, no plan has less." in said
    assert "All together: " in said and "no plan weighs less" in said
    with house.file.change("taught") as edit:
        edit.record = taught(edit.record, 1)
    assert "proven best, no plan has less" not in page(teacher.get(address)), "the class is another now"


def test_a_proof_is_ended_at_once_and_with_what_it_was_of(tmp_path: Path) -> None:
    """By the button, by a change of the class, and by what is erased; its process is gone each time."""
    house = House(tmp_path, quick(class_of(24, Activity("Game", size=4), lessons=6)))
    teacher, address = house.teacher(), f"/c/{NAME}/evidence"

    def begun() -> int:
        teacher.post(f"{address}/proof", house.form())
        proof = house.desk.proofs.of(NAME, house.file.read().version, True)
        assert proof is not None and proof.process.is_alive()
        return int(proof.process.pid or 0)

    def stopped() -> None:
        teacher.post(f"{address}/proof/stop", house.form())

    def changed() -> None:
        with house.file.change("seed") as edit:
            edit.record = replace(edit.record, seed=5)
        teacher.get(address)

    for end in (stopped, changed, lambda: house.desk.forget(NAME)):
        process = begun()
        end()
        with pytest.raises(ProcessLookupError):
            os.kill(process, 0)
        assert "Could any plan be better?" in page(teacher.get(address))


def test_a_proof_ends_with_the_page(tmp_path: Path) -> None:
    """Who begins one and is killed leaves nobody behind."""
    house = House(tmp_path, quick(class_of(24, Activity("Game", size=4), lessons=6)))
    begin = (
        "import sys, time\n"
        "from pathlib import Path\n"
        "from grouper.faces.page.proofs import Proofs\n"
        "from grouper.files.store import ClassFile\n"
        "if __name__ == '__main__':\n"
        "    proofs, file = Proofs(), ClassFile(Path(sys.argv[1])).read()\n"
        "    proofs.begin('one', 'now', True, file.record)\n"
        "    print(proofs.of('one', 'now', True).process.pid, flush=True)\n"
        "    time.sleep(60)\n"
    )
    script = tmp_path / "begin.py"
    script.write_text(begin, encoding="utf-8")
    with Popen([sys.executable, str(script), str(house.file.path)], stdout=PIPE, text=True) as killed:
        assert killed.stdout is not None
        process = int(killed.stdout.readline())
        sleep(2)
        killed.kill()
    _until(lambda: not _is_there(process))


def _is_there(process: int) -> bool:
    try:
        return "Z" not in Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0]
    except OSError:
        return False


def _until(holds: Callable[[], bool], seconds: float = 60) -> None:
    end = monotonic() + seconds
    while not holds():
        assert monotonic() < end
        sleep(0.1)


def test_a_lesson_makes_the_rating_that_it_goes_by(tmp_path: Path) -> None:
    """Even teams before there is a rating: its name is typed with the lesson, and the class is rated next."""
    house = house_on(tmp_path, ONE)
    with house.file.change("no ratings") as edit:
        bare = tuple(replace(student, ratings={}) for student in edit.record.roster.students)
        edit.record = replace(edit.record, roster=replace(edit.record.roster, students=bare, strands=()))
    teacher, address = house.teacher(), f"/c/{NAME}/unit/lesson/1"
    lesson = {"name-0": "Game", "kind-0": "groups", "people-0": "2", "rounds-0": "1", "aim-0": "balanced"}
    refused = teacher.post(address, house.form(**lesson))
    assert refused.status_code == 400 and "even teams go by a rating" in page(refused)
    form = house.form(**lesson, **{"strand-0": "Throwing"}, sure="yes")
    saved = teacher.post(address, form)
    assert saved.headers["Location"].endswith("/class?strand=Throwing")
    record = house.file.read().record
    assert record.roster.strands == ("Throwing",) and record.lesson(1).activities[0].strand == "Throwing"
    again = teacher.post(address, house.form(**lesson, **{"strand-0": "throwing"}, sure="yes"))
    assert again.headers["Location"].endswith("/unit")
    assert house.file.read().record.roster.strands == ("Throwing",)
