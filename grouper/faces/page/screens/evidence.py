"""Evidence, for the teacher alone: the class, one student, and reports to take away."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO

from flask import Blueprint, Response, render_template, request, send_file
from werkzeug.wrappers import Response as AnyResponse

from grouper.faces.page.state import desk, known, open_class, see
from grouper.faces.sheets.report import own_data_text, report_text, student_text
from grouper.faces.views import evidence as views
from grouper.faces.views.names import display_names, full_name, name_order
from grouper.faces.wording.changes import round_title
from grouper.model.ledger import ledger_of
from grouper.model.record import ClassRecord
from grouper.privacy.own_data import own_data


@dataclass(frozen=True)
class PartnerLine:
    """Somebody whom a student worked with: how often, and in which rounds."""

    id: str
    name: str
    times: int
    when: tuple[str, ...]


evidence = Blueprint("evidence", __name__, url_prefix="/c/<name>/evidence")


def whole_evidence(record: ClassRecord) -> views.EvidenceView:
    return views.evidence_view(record, whole=True)


def evidence_so_far(record: ClassRecord) -> views.EvidenceView:
    return views.evidence_view(record, whole=False)


@evidence.get("")
def of_class(name: str) -> str:
    """The map, partners, turns, spreads, and planned beside actual."""
    shown, unit = open_class(name, "evidence"), _unit()
    view: views.EvidenceView | None = None
    if unit:
        view = views.earlier_view(shown.record, unit)
    elif shown.record.plan.rounds:
        made = whole_evidence if _whole() else evidence_so_far
        view = desk().worked_out(name, shown.version, shown.record, made)
    proof = desk().proofs.of(name, shown.version, view.whole) if view and not unit else None
    proven = (
        views.proof_in_words(shown.record, proof.whole, proof.bounds, proof.together) if proof and proof.bounds else ()
    )
    return render_template(
        "evidence.html", shown=shown, view=view, before=views.units_before(shown.record), proof=proof, proven=proven
    )


@evidence.post("/proof")
def look_for_proof(name: str) -> AnyResponse:
    shown, whole = open_class(name, "evidence"), _whole()
    whole = whole or not shown.record.taught
    desk().proofs.begin(name, shown.version, whole, views.looked_at(shown.record, whole))
    return _to_evidence(name)


@evidence.get("/proof")
def proof_so_far(name: str) -> dict[str, str | bool]:
    shown = open_class(name, "evidence")
    proof = desk().proofs.of(name, shown.version, _whole() or not shown.record.taught)
    if proof is None or proof.state != "running":
        return {"text": "over", "over": True}
    so_far = f"{LOOKING}; so far: no plan can have less than {proof.least}" if proof.least else LOOKING
    return {"text": so_far, "over": False}


@evidence.post("/proof/stop")
def stop_proof(name: str) -> AnyResponse:
    desk().proofs.stop(name)
    return _to_evidence(name)


LOOKING = "Looking for a proof"


def _to_evidence(name: str) -> AnyResponse:
    over = "unit" if _whole() else "taught"
    return see("evidence.of_class", name=name, over=over)


@evidence.get("/student/<path:student>")
def of_student(name: str, student: str) -> str:
    """With whom one student worked and when: over the lessons taught, the whole unit, or one that is over."""
    shown, unit = open_class(name, "evidence"), _unit()
    record = shown.record
    person, whole = known(record, student), bool(unit) or _whole() or not record.taught
    if unit:
        past = [round_ for round_ in record.past if round_.unit == unit]
        titled = [(one.as_round, f"Lesson {one.key.lesson}, {one.activity}") for one in past]
    else:
        rounds = [round_ for round_ in record.plan.rounds if whole or round_.key.lesson in record.taught]
        titled = [(round_, round_title(record, round_.key)) for round_ in rounds]
    met: dict[str, tuple[str, ...]] = {}
    for round_, title in titled:
        for pair in ledger_of([round_]).meetings:
            if person.id in pair:
                other = pair[1] if pair[0] == person.id else pair[0]
                met[other] = (*met.get(other, ()), title)
    names = display_names(record.roster.students, record.roster.in_unit)
    lines = [PartnerLine(other, names[other], len(when), when) for other, when in met.items()]
    # Of an earlier unit nobody says who was in the class: those are compared who were in its rounds.
    there = {each for round_, _ in titled for each in round_.students} if unit else {s.id for s in record.roster.active}
    return render_template(
        "student.html",
        shown=shown,
        student=person.id,
        called=full_name(person),
        partners=sorted(lines, key=lambda line: (-line.times, name_order(line.name))),
        never=sorted((names[other] for other in there - met.keys() - {person.id}), key=name_order),
        rounds=sum(person.id in round_.students for round_, _ in titled),
        whole=whole,
        unit=unit,
    )


@evidence.get("/report")
def report(name: str) -> Response:
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
