"""Records on paper: the certification record of a person or of one grant, and the crew roster; a grant's own page."""

from __future__ import annotations

from datetime import date

from flask import Blueprint, abort, render_template, request
from werkzeug.wrappers import Response

from trainer import printing
from trainer.calc.cautions import FALL
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import queries
from trainer.web.access import Access, access
from trainer.web.boards import MOST_ON_ROSTER, all_of
from trainer.web.content import content
from trainer.web.current import person, store, today
from trainer.web.forms.board import BoardForm, DayForm

bp = Blueprint("sheets", __name__)


@bp.get("/record/<int:person_id>/certification.pdf")
@access(Access.SIGNED_IN)
def certification(person_id: int) -> Response:
    """What 29 CFR 1926.503(b) asks for, of everything the person is cleared for on a day."""
    with store.read() as reading:
        record = queries.certification(reading, person(), person_id, _day(), content.rules)
    return _certification(record)


@bp.get("/grants/<int:grant_id>/certification.pdf")
@access(Access.SIGNED_IN)
def grant_certification(grant_id: int) -> Response:
    """The same of one grant, whether it is still in force or not."""
    with store.read() as reading:
        record = queries.granted(reading, person(), grant_id, _day(), content.rules)
    return _certification(record)


@bp.get("/grants/<int:grant_id>")
@access(Access.SIGNED_IN)
def grant(grant_id: int) -> str:
    """One grant as it was made, with what it rested on."""
    with store.read() as reading:
        record = queries.granted(reading, person(), grant_id, today(), content.rules)
    return render_template("grants/page.html", record=record, one=record.certified[0])


@bp.get("/board/roster.pdf")
@access(Access.STAFF)
def roster() -> Response:
    """Everyone by every clearance on a day, or the part of the board that the address asks for, such as one crew."""
    day = _day()
    board, everyone = all_of(BoardForm(on=day), day)
    if len(board.rows) > MOST_ON_ROSTER:
        raise Refusal(
            Text(
                en="A roster of %(given)s people takes too long to make; at most %(most)s fit on one. Choose a crew on "
                "the board, or take the table (CSV).",
                es="Una lista de %(given)s personas tarda demasiado en hacerse; caben %(most)s como máximo. Elija una "
                "cuadrilla en el tablero o use la tabla (CSV).",
            ),
            given=len(board.rows),
            most=MOST_ON_ROSTER,
        )
    return _pdf(
        render_template("print/roster.html", board=board, all=everyone, today=today(), fall=FALL),
        "crew-roster",
        wide=True,
    )


def _certification(record: queries.Certification) -> Response:
    html = render_template("print/certification.html", record=record, today=today(), fall=FALL)
    return _pdf(html, "certification-record")


def _pdf(html: str, name: str, *, wide: bool = False) -> Response:
    """The document on the paper that the address names."""
    size = request.args.get("paper", printing.PAPERS[0])
    if size not in printing.PAPERS:
        abort(400)
    response = Response(printing.pdf(html, size, wide=wide), mimetype="application/pdf")
    response.headers["Content-Disposition"] = f"inline; filename={name}.pdf"
    return response


def _day() -> date:
    """The day in the address, today when there is none; no document is made for a day that cannot be read."""
    form = DayForm(on=today())
    if "on" in request.args and not form.validate():
        abort(400)
    return form.day(today())
