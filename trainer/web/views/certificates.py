"""Certificates from outside: a person's, a new one put on record, one withdrawn."""

from __future__ import annotations

from flask import Blueprint, render_template
from werkzeug.wrappers import Response

from trainer.errors import NotAllowed, Refusal
from trainer.records import certificates, queries
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, store, today
from trainer.web.forms.certificates import WithdrawForm, certificate_form
from trainer.web.i18n import _
from trainer.web.pages import done, refuse

bp = Blueprint("certificates", __name__, url_prefix="/certificates")


@bp.get("/of/<int:person_id>")
@access(Access.SIGNED_IN)
def of(person_id: int) -> str:
    """One's own, or anyone's for trainers and owners."""
    with store.read() as reading:
        view = queries.certificates(reading, person(), person_id)
    return render_template("certificates/of.html", view=view, rules=content.rules, today=today())


@bp.route("/of/<int:person_id>/new", methods=["GET", "POST"])
@access(Access.STAFF)
def new(person_id: int) -> str | Response:
    """What the paper says of someone else."""
    if person_id == person().id:
        raise NotAllowed(certificates.OWN)
    with store.read() as reading:
        who = queries.person(reading, person(), person_id)
    form = certificate_form(content.rules)
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                number = certificates.enter(
                    writing,
                    person(),
                    now(),
                    person_id=person_id,
                    kind=form.kind.data,
                    issuer=form.issuer.data,
                    issued=form.issued.data,
                    expires=form.expires.data,
                    rules=content.rules,
                    token=form.form_token.data,
                )
            return done(_("The certificate is on record."), "certificates.show", certificate_id=number)
        except Refusal as refusal:
            refuse(form, refusal)
    return render_template("certificates/new.html", who=who, form=form, rules=content.rules)


@bp.get("/<int:certificate_id>")
@access(Access.SIGNED_IN)
def show(certificate_id: int) -> str:
    return _show(certificate_id, WithdrawForm())


@bp.route("/<int:certificate_id>/withdraw", methods=["GET", "POST"])
@access(Access.STAFF)
def withdraw(certificate_id: int) -> str | Response:
    form = WithdrawForm()
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                certificates.withdraw(
                    writing, person(), now(), certificate_id=certificate_id, reason=form.reason.data
                )
            return done(
                _("The certificate is withdrawn."), "certificates.show", certificate_id=certificate_id
            )
        except Refusal as refusal:
            refuse(form, refusal)
    return _show(certificate_id, form)


def _show(certificate_id: int, form: WithdrawForm) -> str:
    with store.read() as reading:
        row = queries.certificate(reading, person(), certificate_id)
    return render_template(
        "certificates/show.html",
        row=row,
        kind=content.rules.certificates.get(row.kind),
        name=content.rules.certificate_name(row.kind),
        form=form,
        today=today(),
    )
