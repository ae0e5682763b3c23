"""The owner's list of people: who is in the shop, in which roles, and how they first get in."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, Response, make_response, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.errors import Refusal
from trainer.records import emails, handing_over, people, people_file, queries
from trainer.records.fingerprints import fingerprint
from trainer.web.access import Access, access
from trainer.web.current import now, person, shop, store
from trainer.web.forms.people import (
    EditPersonForm,
    FindPersonForm,
    HandOverForm,
    NewPersonForm,
    PeopleFileForm,
)
from trainer.web.i18n import _, said
from trainer.web.pages import done, refuse
from trainer.web.sliced import sliced
from trainer.web.uploads import takes_files

bp = Blueprint("people", __name__, url_prefix="/people")
STORE: Final = "store"
PER_PAGE: Final = 100


@bp.get("")
@access(Access.OWNER)
def index() -> str:
    with store.read() as reading:
        rows = queries.people(reading, person())
    form = FindPersonForm()
    asked = queries.matching(rows, name=(form.name.data or "") if form.validate() else "")
    listing = sliced(asked, request.args.get("page", 1, type=int), PER_PAGE)
    return render_template("people/index.html", listing=listing, all=len(rows), form=form)


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


@bp.route("/<int:person_id>/hand-over", methods=["GET", "POST"])
@access(Access.OWNER)
def hand_over(person_id: int) -> str | AnyResponse:
    row = _row(person_id)
    with store.read() as reading:
        others = [one for one in queries.people(reading, person()) if one.active and one.id != person_id]
    form = HandOverForm(row, others)
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                handing_over.hand_over(
                    writing,
                    person(),
                    now(),
                    giver_id=person_id,
                    taker_id=form.taker.data,
                    role=form.role.data,
                    stays=form.stays.data,
                )
        except Refusal as refusal:
            refuse(form, refusal, "taker")
        else:
            own = person_id == person().id and form.role.data == "owner"
            return done(_("Handed over."), "account.home" if own else "people.index")
    return render_template("people/hand_over.html", form=form, row=row)


@bp.route("/file", methods=["GET", "POST"])
@access(Access.OWNER)
@takes_files(people_file.MOST_BYTES)
def file() -> str | AnyResponse:
    """A file of people: checked first, and stored as it was checked or not at all."""
    form, checked = PeopleFileForm(), None
    if form.validate_on_submit():
        try:
            text = form.text()
            form.lines.data = text
            if form.act.data == STORE and form.checked.data == fingerprint(text):
                with store.write() as writing:
                    entered = people_file.enter(writing, person(), now(), text, shop().language)
                return _show_codes(entered)
            with store.read() as reading:
                checked = people_file.check(reading, person(), text, shop().language)
            form.checked.data = fingerprint(text)
        except Refusal as refusal:
            refuse(form, refusal, "lines")
    return render_template("people/file.html", form=form, checked=checked, STORE=STORE, said=said)


def _show_codes(entered: tuple[people_file.Entered, ...]) -> Response:
    """Every code, shown in this one answer and kept nowhere."""
    link = url_for("account.first", _external=True)
    response = make_response(render_template("people/codes.html", entered=entered, link=link))
    response.headers["Cache-Control"] = "no-store"
    return response


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
