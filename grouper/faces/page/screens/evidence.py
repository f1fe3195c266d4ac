"""Evidence, for the teacher alone: the class, one student, and reports to take away."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from io import BytesIO

from flask import Blueprint, Response, redirect, render_template, request, send_file, url_for
from werkzeug.wrappers import Response as AnyResponse

from grouper.faces.page.state import desk, open_class
from grouper.faces.page.verbs import known
from grouper.faces.sheets.report import own_data_text, report_text, student_text
from grouper.faces.views.evidence import (
    EvidenceView,
    earlier_view,
    evidence_view,
    looked_at,
    proof_in_words,
    units_before,
)
from grouper.faces.views.names import display_names, full_name, name_order
from grouper.faces.wording.changes import round_title
from grouper.model.ledger import ledger_of
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.privacy.own_data import own_data


@dataclass(frozen=True)
class PartnerLine:
    """Somebody whom a student worked with: how often, and in which rounds."""

    id: str
    name: str
    times: int
    when: tuple[str, ...]


@dataclass(frozen=True)
class StudentView:
    """One student: with whom and when; ``never`` are those of the class whom they have not worked with.

    ``unit`` is the one before this that is shown, 0 for the one at hand.
    """

    id: str
    name: str
    partners: tuple[PartnerLine, ...]
    never: tuple[str, ...]
    rounds: int
    whole: bool
    unit: int = 0


def student_view(record: ClassRecord, student: str, whole: bool, unit: int = 0) -> StudentView:
    """The evidence of one student, over the lessons taught, over the whole unit, or over one that is over."""
    whole = bool(unit) or whole or not record.taught
    titled = list(_titled(record, whole, unit))
    names = display_names(record.roster.students, record.roster.in_unit)
    shared = _shared(student, titled)
    lines = [PartnerLine(other, names[other], len(when), when) for other, when in shared.items()]
    lines.sort(key=lambda line: (-line.times, name_order(line.name)))
    # Of an earlier unit nobody says who was in the class: those are compared who were in its rounds.
    there = {each for round_, _ in titled for each in round_.students} if unit else {s.id for s in record.roster.active}
    never = [names[other] for other in there if other != student and other not in shared]
    return StudentView(
        student,
        full_name(record.roster.by_id[student]),
        tuple(lines),
        tuple(sorted(never, key=name_order)),
        sum(student in round_.students for round_, _ in titled),
        whole,
        unit,
    )


def _titled(record: ClassRecord, whole: bool, unit: int) -> Iterator[tuple[Round, str]]:
    """The rounds that are looked at, each with what it is called."""
    if unit:
        past = (round_ for round_ in record.past if round_.unit == unit)
        yield from ((one.as_round, f"Lesson {one.key.lesson}, {one.activity}") for one in past)
        return
    rounds = (r for r in record.plan.rounds if whole or r.key.lesson in record.taught)
    yield from ((round_, round_title(record, round_.key)) for round_ in rounds)


def _shared(student: str, titled: Iterable[tuple[Round, str]]) -> dict[str, tuple[str, ...]]:
    shared: dict[str, tuple[str, ...]] = {}
    for round_, title in titled:
        for pair in ledger_of([round_]).meetings:
            if student in pair:
                other = pair[0] if pair[1] == student else pair[1]
                shared[other] = (*shared.get(other, ()), title)
    return shared


evidence = Blueprint("evidence", __name__, url_prefix="/c/<name>/evidence")


def whole_evidence(record: ClassRecord) -> EvidenceView:
    """The evidence of the whole unit."""
    return evidence_view(record, whole=True)


def evidence_so_far(record: ClassRecord) -> EvidenceView:
    """The evidence of the lessons that have been taught."""
    return evidence_view(record, whole=False)


@evidence.get("")
def of_class(name: str) -> str:
    """The map, partners, turns, spreads, and planned beside actual."""
    shown, unit = open_class(name, "evidence"), _unit()
    view: EvidenceView | None = None
    if unit:
        view = earlier_view(shown.record, unit)
    elif shown.record.plan.rounds:
        made = whole_evidence if _whole() else evidence_so_far
        view = desk().worked_out(name, shown.version, shown.record, made)
    proof = desk().proofs.of(name, shown.version, view.whole) if view and not unit else None
    proven = proof_in_words(shown.record, proof.whole, proof.bounds, proof.together) if proof and proof.bounds else ()
    return render_template(
        "evidence.html", shown=shown, view=view, before=units_before(shown.record), proof=proof, proven=proven
    )


@evidence.post("/proof")
def look_for_proof(name: str) -> AnyResponse:
    """Look for a proof in the background."""
    shown, whole = open_class(name, "evidence"), _whole()
    whole = whole or not shown.record.taught
    desk().proofs.begin(name, shown.version, whole, looked_at(shown.record, whole))
    return _to_evidence(name)


@evidence.get("/proof")
def proof_so_far(name: str) -> dict[str, str | bool]:
    """How far the proof has come."""
    shown = open_class(name, "evidence")
    proof = desk().proofs.of(name, shown.version, _whole() or not shown.record.taught)
    if proof is None or proof.state != "running":
        return {"text": "over", "over": True}
    so_far = f"{LOOKING}; so far: no plan can have less than {proof.least}" if proof.least else LOOKING
    return {"text": so_far, "over": False}


@evidence.post("/proof/stop")
def stop_proof(name: str) -> AnyResponse:
    """End it."""
    desk().proofs.stop(name)
    return _to_evidence(name)


LOOKING = "Looking for a proof"


def _to_evidence(name: str) -> AnyResponse:
    over = "unit" if _whole() else "taught"
    return redirect(url_for("evidence.of_class", name=name, over=over), 303)


@evidence.get("/student/<path:student>")
def of_student(name: str, student: str) -> str:
    """With whom one student worked, and when."""
    shown = open_class(name, "evidence")
    person = known(shown.record, student)
    return render_template("student.html", shown=shown, view=student_view(shown.record, person.id, _whole(), _unit()))


@evidence.get("/report")
def report(name: str) -> Response:
    """The report on the class."""
    shown = open_class(name, "evidence")
    return _taken_away(report_text(shown.record, shown.title, _whole()), f"{shown.title} report.html")


@evidence.get("/report-without-names")
def report_without_names(name: str) -> Response:
    """The report to share; its file is not called after the class either."""
    text = report_text(open_class(name, "evidence").record, "", _whole(), with_names=False)
    return _taken_away(text, "report without names.html")


@evidence.get("/report-on/<path:student>")
def report_on(name: str, student: str) -> Response:
    """One student's page for the parents, with the ratings where asked for."""
    shown = open_class(name, "evidence")
    person = known(shown.record, student)
    with_ratings = request.args.get("ratings") == "yes"
    text = student_text(shown.record, person.id, shown.title, _whole(), with_ratings)
    return _taken_away(text, f"{shown.title} page for parents.html")


@evidence.get("/held-on/<path:student>")
def held_on(name: str, student: str) -> Response:
    """All that the class file holds on one student."""
    shown = open_class(name, "evidence")
    person = known(shown.record, student)
    changes = [change.what for change in desk().file(name).history()]
    return _taken_away(own_data_text(own_data(shown.record, person.id, changes)), f"{shown.title} held on one.html")


def _taken_away(text: str, name: str) -> Response:
    """A file to save; no student's name is in what it is called (RFC 6266, letters beyond ASCII by RFC 5987)."""
    answer = send_file(BytesIO(text.encode()), mimetype="text/html", as_attachment=True, download_name=name)
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _unit() -> int:
    """The unit before this one that is looked at, 0 for the one at hand."""
    return request.args.get("unit", 0, type=int)


def _whole() -> bool:
    return request.args.get("over") == "unit"
