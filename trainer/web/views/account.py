"""Getting in and out, one's own password, and the language switch on every page."""

from __future__ import annotations

import segno
from flask import (
    Blueprint,
    abort,
    flash,
    g,
    make_response,
    redirect,
    render_template,
    request,
    session,
    url_for,
)
from markupsafe import Markup
from werkzeug.wrappers import Response

from trainer.errors import Refusal
from trainer.languages import LANGUAGES
from trainer.records import emails, people, second_step, sessions, signin
from trainer.web.access import Access, access
from trainer.web.current import now, person, shop, store
from trainer.web.forms.account import CodeForm, EmailForm, FirstForm, PasswordForm, SignInForm
from trainer.web.i18n import _
from trainer.web.navigation import nav
from trainer.web.pages import back, done, refuse
from trainer.web.security import end_session, start_session, wait_for_second_step, waiting

bp = Blueprint("account", __name__)


@bp.get("/")
@access(Access.SIGNED_IN)
def home() -> Response:
    """To the first page of the person's own bar."""
    entries = nav()
    return redirect(entries[0].href if entries else url_for("account.mine"), 303)


@bp.route("/sign-in", methods=["GET", "POST"])
@access(Access.PUBLIC)
def sign_in() -> str | Response:
    form = SignInForm()
    if form.validate_on_submit():
        result = signin.check(
            store, now(), sign_in=form.sign_in.data, password=form.password.data, source=_source()
        )
        return _enter(result, form, "account/sign_in.html")
    return render_template("account/sign_in.html", form=form)


@bp.route("/first-sign-in", methods=["GET", "POST"])
@access(Access.PUBLIC)
def first() -> str | Response:
    form = FirstForm(sign_in=request.args.get("name", ""))
    if form.validate_on_submit():
        result = signin.redeem(
            store,
            now(),
            sign_in=form.sign_in.data,
            code=form.code.data,
            password=form.password.data,
            source=_source(),
        )
        return _enter(result, form, "account/first.html")
    return render_template("account/first.html", form=form)


@bp.route("/sign-in/second", methods=["GET", "POST"])
@access(Access.PUBLIC)
def second() -> str | Response:
    """The code that follows the password, for those who have turned it on."""
    half = waiting()
    if half is None:
        return redirect(url_for("account.sign_in"), 303)
    form = CodeForm()
    if form.validate_on_submit():
        result = signin.second(
            store, now(), person_id=half[0], stamp=half[1], code=form.code.data, source=_source()
        )
        return _enter(result, form, "account/second.html")
    return render_template("account/second.html", form=form)


@bp.post("/sign-out")
@access(Access.PUBLIC)
def sign_out() -> Response:
    end_session()
    return done(_("You are signed out."), "account.sign_in")


@bp.get("/account")
@access(Access.SIGNED_IN)
def mine() -> str:
    return render_template("account/mine.html")


@bp.route("/account/password", methods=["GET", "POST"])
@access(Access.SIGNED_IN)
def password() -> str | Response:
    form = PasswordForm()
    if form.validate_on_submit():
        try:
            actor = signin.change_password(
                store,
                person(),
                now(),
                old=form.old_password.data,
                new=form.password.data,
                source=_source(),
            )
        except Refusal as refusal:
            refuse(form, refusal, "old_password")
        else:
            start_session(actor)
            return done(_("Your password is changed. Every other browser is signed out."), "account.mine")
    return render_template("account/password.html", form=form)


@bp.route("/account/email", methods=["GET", "POST"])
@access(Access.SIGNED_IN)
def email() -> str | Response:
    with store.read() as reading:
        form = EmailForm(email=emails.email_of(reading, person().id))
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                emails.set_email(writing, person(), now(), person().id, form.email.data or "")
        except Refusal as refusal:
            refuse(form, refusal, "email")
        else:
            return done(_("Saved."), "account.mine")
    return render_template("account/email.html", form=form)


@bp.route("/account/second-step", methods=["GET", "POST"])
@access(Access.STAFF)
def second_step_page() -> str | Response:
    """Turn one's second step on, or off again with a code."""
    with store.read() as reading:
        on = second_step.is_on(reading, person().id)
    form = CodeForm(secret=second_step.new_secret())
    if not second_step.is_secret(form.secret.data or ""):
        form.secret.data = second_step.new_secret()
    if form.validate_on_submit():
        try:
            _turn(form, on)
        except Refusal as refusal:
            refuse(form, refusal, "code")
        else:
            message = (
                _("The second step is off.")
                if on
                else _("The second step is on. You are asked for a code from now on.")
            )
            return done(message, "account.mine")
    address = second_step.address(form.secret.data, person().sign_in, shop().name)
    drawing = Markup(
        segno.make(address, error="m").svg_inline(scale=5, border=4, light="white")
    )  # made here from our own text
    response = make_response(
        render_template("account/second_step.html", form=form, on=on, drawing=drawing, address=address)
    )
    response.headers["Cache-Control"] = "no-store"
    return response


def _turn(form: CodeForm, on: bool) -> None:
    if not on:
        with store.write() as writing:
            second_step.turn_on(writing, person(), now(), secret=form.secret.data, code=form.code.data)
        return
    me = person()
    result = signin.second(
        store, now(), person_id=me.id, stamp=me.stamp, code=form.code.data, source=_source()
    )
    if isinstance(result, Refusal):
        raise result
    with store.write() as writing:
        second_step.turn_off(writing, me, now())


@bp.post("/account/sign-out-everywhere")
@access(Access.SIGNED_IN)
def sign_out_everywhere() -> Response:
    with store.write() as writing:
        sessions.end_everywhere(writing, person(), now())
    end_session()
    return done(_("You are signed out on every browser."), "account.sign_in")


@bp.post("/language")
@access(Access.PUBLIC)
def language() -> Response:
    chosen = request.form.get("language", "")
    if chosen not in LANGUAGES:
        abort(400)
    if g.person is not None:
        with store.write() as writing:
            people.change_person(writing, g.person, now(), g.person.id, language=chosen)
    session["language"] = chosen
    return redirect(back(url_for("account.home")), 303)


def _enter(
    result: people.Actor | Refusal, form: SignInForm | FirstForm | CodeForm, template: str
) -> str | Response:
    """Start the session of someone who proved who they are; else say why not."""
    if isinstance(result, Refusal):
        refuse(form, result)
        return render_template(template, form=form)
    with store.read() as reading:
        asks = second_step.is_on(reading, result.id)
    if asks and not isinstance(form, CodeForm):
        wait_for_second_step(result)
        return redirect(url_for("account.second", after=back("") or None), 303)
    start_session(result)
    flash(_("Signed in as %(name)s.", name=result.name))
    return redirect(back(url_for("account.home")), 303)


def _source() -> str:
    return request.remote_addr or "unknown"
