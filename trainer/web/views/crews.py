"""Crews: people who work together, so that all of them can be chosen at once."""

from __future__ import annotations

from flask import Blueprint, render_template
from werkzeug.wrappers import Response

from trainer.errors import Refusal
from trainer.records import crews, queries
from trainer.web.access import Access, access
from trainer.web.current import now, person, store
from trainer.web.forms.crews import CrewForm
from trainer.web.i18n import _
from trainer.web.pages import done, refuse

bp = Blueprint("crews", __name__, url_prefix="/crews")


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    with store.read() as reading:
        everyone = queries.people(reading, person())
        rows = queries.crews(reading, person())
    named = [(row, [one for one in everyone if one.id in row.people]) for row in rows]
    return render_template("crews/index.html", rows=named)


@bp.route("/new", methods=["GET", "POST"])
@access(Access.STAFF)
def new() -> str | Response:
    with store.read() as reading:
        form = CrewForm([row for row in queries.people(reading, person()) if row.active])
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                crews.make(writing, person(), now(), name=form.name.data, people=form.people.data)
        except Refusal as refusal:
            refuse(form, refusal, "name")
        else:
            return done(_("The crew is made."), "crews.index")
    return render_template("crews/edit.html", form=form, row=None)


@bp.route("/<int:crew_id>", methods=["GET", "POST"])
@access(Access.STAFF)
def edit(crew_id: int) -> str | Response:
    row, form = _form(crew_id)
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                crews.change(
                    writing,
                    person(),
                    now(),
                    crew_id,
                    name=form.name.data,
                    people=form.people.data,
                    made_from=form.made_from.data,
                )
        except Refusal as refusal:
            refuse(form, refusal, "name", made_from=lambda: _form(crew_id)[0].mark)
        else:
            return done(_("Saved."), "crews.index")
    return render_template("crews/edit.html", form=form, row=row)


def _form(crew_id: int) -> tuple[queries.CrewRow, CrewForm]:
    with store.read() as reading:
        row = queries.crew(reading, person(), crew_id)
        everyone = queries.people(reading, person())
    offered = [one for one in everyone if one.active or one.id in row.people]
    return row, CrewForm(offered, name=row.name, people=sorted(row.people), made_from=row.mark)
