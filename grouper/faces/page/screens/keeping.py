"""What is kept and for how long: a file for the next teacher, one student's data, erasing, and clearing away.

What cannot be taken back is said first, and done only where the teacher has typed what it is about.
"""

from __future__ import annotations

from io import BytesIO

from flask import Blueprint, Response, render_template, request, send_file
from werkzeug.wrappers import Response as AnyResponse

from grouper.errors import InputError
from grouper.faces.page.state import desk, field, known, open_class, see
from grouper.faces.views.names import full_names, name_order
from grouper.faces.wording.privacy import RETENTION, elsewhere_lines, erasing_lines, purging_lines
from grouper.files.spreadsheet import forget_workbook
from grouper.files.store import bytes_of_new
from grouper.planning.attend import leaving_lesson, out_of_class
from grouper.privacy.erase import erasure_of, is_erased
from grouper.privacy.less import Clearing, cleared, handed_over

CLEAR = "clear away"
"""What is typed before a file is cleared."""


keeping = Blueprint("keeping", __name__, url_prefix="/c/<name>/keeping")


@keeping.get("")
def look(name: str) -> str:
    """What can be handed over, given to a student, erased and cleared away; of the last two, what would happen."""
    shown = open_class(name, "class")
    record, args = shown.record, request.args
    clearing = Clearing(args.get("ratings") == "yes", args.get("names") == "yes")
    # Those who have left are among them, those who were erased are not.
    there = {each.id: each for each in record.roster.students if not is_erased(each)}
    person = there.get(args.get("student", ""))
    return render_template(
        "keeping.html",
        shown=shown,
        students=sorted(
            full_names(there.values(), record.roster.in_unit).items(), key=lambda each: name_order(each[1])
        ),
        person=person,
        erased=erasing_lines(record, person, erasure_of(record, person.id), leaving_lesson(record)) if person else (),
        clearing=clearing,
        cleared=tuple(purging_lines(record, clearing)),
        elsewhere=tuple(elsewhere_lines(desk().file(name).backups)),
        retention=RETENTION,
        clear=CLEAR,
    )


@keeping.get("/handover")
def handover(name: str) -> Response:
    shown = open_class(name, "class")
    record = handed_over(shown.record, request.args.get("ratings") == "yes", request.args.get("requests") == "yes")
    data, name = bytes_of_new(record, "handed over"), f"{shown.title} handed over.class"
    answer = send_file(BytesIO(data), "application/octet-stream", as_attachment=True, download_name=name)
    answer.headers["Cache-Control"] = "no-store"
    return answer


@keeping.post("/erase")
def erase(name: str) -> AnyResponse:
    """A student goes from every byte of the file."""
    file = desk().file(name)
    record = file.read().record
    person = known(record, field("student"))
    if field("typed") != " ".join(person.name.split()):
        raise InputError("nothing was erased: type the name as it is written here, {name}", name=person.name)
    # The table that was read last is kept in memory, with the names in it.
    forget_workbook()
    left = file.forget(person.id, out_of_class(record, person.id).record, field("version"))
    desk().forget(name)
    _tell(f"{person.name} is erased", left)
    return see("keeping.look", name=name)


@keeping.post("/clear")
def clear(name: str) -> AnyResponse:
    if field("typed").casefold() != CLEAR:
        raise InputError("nothing was cleared away: type the words '{words}'", words=CLEAR)
    file = desk().file(name)
    clearing = Clearing(field("ratings") == "yes", field("names") == "yes")
    forget_workbook()
    left = file.purge(cleared(file.read().record, clearing), field("version"))
    desk().forget(name)
    _tell("it is cleared away", left)
    return see("keeping.look", name=name)


def _tell(done: str, left: str) -> None:
    """Say what is left to do after what cannot be taken back, if anything is, on a page of its own."""
    if left:
        raise InputError("{done}", "left to do: {left}", done=done, left=left)
