"""The owner's list of people: who is in the shop, in which roles, and how they first get in."""

from __future__ import annotations

from flask import Blueprint, Response, make_response, render_template, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.errors import Refusal
from trainer.records import emails, people, queries
from trainer.web.access import Access, access
from trainer.web.current import now, person, shop, store
from trainer.web.forms.people import EditPersonForm, NewPersonForm
from trainer.web.i18n import _
from trainer.web.pages import done, refuse

bp = Blueprint("people", __name__, url_prefix="/people")


@bp.get("")
@access(Access.OWNER)
def index() -> str:
    with store.read() as reading:
        rows = queries.people(reading, person())
    return render_template("people/index.html", rows=rows)


@bp.route("/add", methods=["GET", "POST"])
@access(Access.OWNER)
def add() -> str | AnyResponse:
    form = NewPersonForm(roles=["apprentice"], language=shop().language)
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                new = people.add_person(
                    writing,
                    person(),
                    now(),
                    name=form.name.data,
                    sign_in=form.sign_in.data,
                    roles=form.roles.data,
                    language=form.language.data,
                )
        except people.AlreadyAdded as again:
            return _already(again.person_id)
        except Refusal as refusal:
            refuse(form, refusal, "sign_in")
        else:
            return _show_code(new.person_id, new.code)
    return render_template("people/add.html", form=form)


@bp.route("/<int:person_id>", methods=["GET", "POST"])
@access(Access.OWNER)
def edit(person_id: int) -> str | AnyResponse:
    row = _row(person_id)
    form = EditPersonForm(name=row.name, roles=sorted(row.roles), email=row.email)
    if form.validate_on_submit():
        field = "roles"
        try:
            with store.write() as writing:
                people.change_person(writing, person(), now(), person_id, name=form.name.data)
                people.change_roles(writing, person(), now(), person_id, form.roles.data)
                field = "email"
                emails.set_email(writing, person(), now(), person_id, form.email.data or "")
        except Refusal as refusal:
            refuse(form, refusal, field)
        else:
            return done(_("Saved."), "people.index")
    return render_template("people/edit.html", form=form, row=row)


@bp.post("/<int:person_id>/new-code")
@access(Access.OWNER)
def new_code(person_id: int) -> AnyResponse:
    with store.write() as writing:
        code = people.new_code(writing, person(), now(), person_id)
    return _show_code(person_id, code)


@bp.post("/<int:person_id>/deactivate")
@access(Access.OWNER)
def deactivate(person_id: int) -> AnyResponse:
    with store.write() as writing:
        people.deactivate(writing, person(), now(), person_id)
    return done(_("Deactivated. The records stay; signing in no longer works."), "people.index")


@bp.post("/<int:person_id>/reactivate")
@access(Access.OWNER)
def reactivate(person_id: int) -> str | AnyResponse:
    if _row(person_id).active:  # pressed twice
        return _already(person_id)
    with store.write() as writing:
        code = people.reactivate(writing, person(), now(), person_id)
    return _show_code(person_id, code)


def _row(person_id: int) -> queries.PersonRow:
    with store.read() as reading:
        return queries.person(reading, person(), person_id)


def _already(person_id: int) -> str:
    """A button was pressed twice: the first code is out, and only a new one can be shown."""
    return render_template("people/already.html", row=_row(person_id))


def _show_code(person_id: int, code: str) -> Response:
    """The code, shown in this one answer and kept nowhere."""
    row = _row(person_id)
    link = url_for("account.first", name=row.sign_in, _external=True)
    response = make_response(render_template("people/code.html", row=row, code=code, link=link))
    response.headers["Cache-Control"] = "no-store"
    return response
