"""The clearance board on a chosen day, and one person's standing on one clearance: grant, suspend, lift."""

from __future__ import annotations

import csv
import io
from typing import Any

from flask import Blueprint, abort, render_template, request
from werkzeug.wrappers import Response

from trainer.clearance import STATES
from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import grants, queries
from trainer.records.queries.board_parts import ending, part_of, table
from trainer.web import charts
from trainer.web.access import Access, access
from trainer.web.boards import MOST_ON_ROSTER, all_of, page_of
from trainer.web.cells import Cells
from trainer.web.content import content
from trainer.web.current import language, now, person, store, today
from trainer.web.forms.board import ENDING, BoardForm, DayForm, LiftForm, SuspendForm
from trainer.web.forms.regrades import settle_form
from trainer.web.i18n import _, said
from trainer.web.pages import done

bp = Blueprint("board", __name__, url_prefix="/board")


@bp.get("")
@access(Access.STAFF)
def page() -> str:
    form = BoardForm(on=today())
    asked = page_of(form, form.day(today()), request.args.get("page", 1, type=int))
    board, days = asked.board, form.ending
    soon = ending(board, days) if days is not None else None
    return render_template(
        "board/page.html",
        board=board,
        form=form,
        narrowed={name: value for name, value in request.args.items() if name != "page"},
        today=today(),
        states=STATES,
        cells=Cells(board.doubted),
        listing=asked.listing,
        all=asked.all,
        most_on_roster=MOST_ON_ROSTER,
        ends={days: len(ending(asked.whole, int(days))) if asked.whole else None for days in ENDING},
        ending=soon,
        chart=charts.of_endings(soon, board.on, days) if soon and days else "",
        days=days,
        left_out=len(content.problems),
        doubts=len(board.doubted),
    )


@bp.get("/table.csv")
@access(Access.STAFF)
def as_table() -> Response:
    """What the page shows, all pages of it, for a spreadsheet."""
    form = BoardForm(on=today())
    board, _all = all_of(form, form.day(today()))
    if form.ending is not None:
        board = part_of(board, (row.person for row, _one in ending(board, form.ending)))
    text = io.StringIO()
    csv.writer(text).writerows(table(board, language()))
    answer = Response(
        "\ufeff" + text.getvalue(), mimetype="text/csv"
    )  # the mark tells spreadsheets it is UTF-8
    answer.headers["Content-Disposition"] = f"attachment; filename=board-{board.on.isoformat()}.csv"
    return answer


@bp.get("/<int:person_id>/<clearance>")
@access(Access.STAFF)
def standing(person_id: int, clearance: str) -> str:
    return _show(person_id, clearance)


@bp.post("/<int:person_id>/<clearance>/grant")
@access(Access.OWNER)
def grant(person_id: int, clearance: str) -> str | Response:
    try:
        with store.write() as writing:
            grants.grant(
                writing, person(), now(), person_id=person_id, clearance=clearance, rules=content.rules
            )
    except grants.RequirementsUnmet as refusal:
        return _show(person_id, clearance, refused=refusal.standing)
    except grants.AlreadySo as refusal:
        return _done(said(refusal), person_id, clearance)
    return _done(_("Granted."), person_id, clearance)


@bp.route("/<int:person_id>/<clearance>/suspend", methods=["GET", "POST"])
@access(Access.STAFF)
def suspend(person_id: int, clearance: str) -> str | Response:
    form = SuspendForm()
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                grants.suspend(
                    writing,
                    person(),
                    now(),
                    person_id=person_id,
                    clearance=clearance,
                    reason=form.said,
                    rules=content.rules,
                )
        except grants.AlreadySo as refusal:
            return _show(person_id, clearance, already=refusal, typed=form.said)
        return _done(_("Suspended from this moment."), person_id, clearance)
    return _show(person_id, clearance, suspending=form)


@bp.route("/<int:person_id>/<clearance>/lift/<int:suspension_id>", methods=["GET", "POST"])
@access(Access.OWNER)
def lift(person_id: int, clearance: str, suspension_id: int) -> str | Response:
    form = LiftForm()
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                grants.lift(
                    writing,
                    person(),
                    now(),
                    person_id=person_id,
                    clearance=clearance,
                    suspension_id=suspension_id,
                    reason=form.reason.data,
                )
        except (UnknownName, NotAllowed):
            raise
        except Refusal as refusal:  # it was lifted before
            return _show(person_id, clearance, already=refusal, typed=form.reason.data)
        return _done(_("The suspension is lifted."), person_id, clearance)
    return _show(person_id, clearance, lifting=form)


def _done(message: str, person_id: int, clearance: str) -> Response:
    return done(message, "board.standing", person_id=person_id, clearance=clearance)


def _show(person_id: int, clearance: str, **forms: Any) -> str:
    """The standing's page; `forms` holds a form that was sent and did not pass, or why nothing was done.

    refused: the standing that cannot be granted; already: the refusal of what is so already, typed: the reason given
    """
    day = DayForm(on=today())
    with store.read() as reading:
        view = queries.person_clearances(reading, person(), person_id, day.day(today()), content.rules)
        all_doubts = queries.doubts_of(reading, person(), person_id)
    if clearance not in view.rules.clearances:
        abort(404)
    doubts = [row for row in all_doubts if row.clearance == clearance]
    suspensions = [row for row in view.suspensions if row.clearance == clearance]
    return render_template(
        "board/standing.html",
        view=view,
        clearance=view.rules.clearances[clearance],
        standing=next(one for one in view.standings if one.clearance == clearance),
        grants=[row for row in view.grants if row.clearance == clearance],
        suspensions=suspensions,
        doubts=[(row, settle_form(row.id)) for row in doubts],
        held=next((row for row in suspensions if row.lifted_on is None), None),
        today=today(),
        refused=forms.get("refused"),
        already=said(forms["already"]) if "already" in forms else None,
        typed=forms.get("typed"),
        suspending=forms.get("suspending") or SuspendForm(),
        lifting=forms.get("lifting") or LiftForm(),
    )
