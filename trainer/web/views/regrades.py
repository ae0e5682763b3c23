"""A question that was wrong: see what grading it anew changes, confirm it, and look at the clearances it touches."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, abort, render_template, request
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from trainer.errors import Refusal
from trainer.records import queries, regrade
from trainer.records.regrade_plan import HOW as WAYS
from trainer.records.regrade_plan import Plan, mend_with, plan
from trainer.records.rules import in_force
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, store, today
from trainer.web.forms.assign import sample
from trainer.web.forms.regrades import HOW, MEANS, ChooseForm, ConfirmForm, settle_form
from trainer.web.i18n import _, _n
from trainer.web.pages import done, refuse
from trainer.web.sliced import sliced

bp = Blueprint("regrades", __name__, url_prefix="/regrade")
PER_PAGE: Final = 50


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    """Every question that was asked, to pick from, and what was graded anew before."""
    with store.read() as reading:
        asked = queries.asked_questions(reading, person())
        before = queries.regrades(reading, person(), request.args.get("page", 1, type=int))
    return render_template(
        "regrades/index.html", asked=asked, before=before, bank=content.bank, sample=sample, how=HOW
    )


@bp.route("/<question>", methods=["GET", "POST"])
@access(Access.STAFF)
def question(question: str) -> str | Response:
    """One question: version and way, what would change, and the confirmation."""
    with store.read() as reading:
        versions = queries.asked_versions(reading, person(), question)
        known = in_force(reading, today(), content.rules)
    if not versions:
        abort(404)
    chosen = ChooseForm(MultiDict(request.values.items()))
    chosen.known(versions)
    asks = "how" in request.values
    found = _plan(question, chosen) if asks and chosen.validate() else None
    form = ConfirmForm()
    if found is not None and form.validate_on_submit():
        try:
            with store.write() as writing:
                regrade.regrade(
                    writing,
                    person(),
                    now(),
                    question=question,
                    version=found.version,
                    how=found.how,
                    reason=form.reason.data,
                    by=content.bank.questions.get(question),
                    token=form.form_token.data,
                    made_from=form.made_from.data,
                )
        except Refusal as refusal:
            found = _plan(question, chosen)
            mark = found.mark
            refuse(form, refusal, made_from=lambda: mark)
        else:
            return done(_said(found), "regrades.index")
    if found is not None and not form.is_submitted():
        form.version.data, form.how.data, form.made_from.data = found.version, found.how, found.mark
    return render_template(
        "regrades/question.html",
        id=question,
        asked=content.bank.questions.get(question),
        chosen=chosen,
        wrong=asks and not chosen.validate(),
        plan=found,
        listing=sliced(found.rows, request.args.get("page", 1, type=int), PER_PAGE) if found else None,
        form=form,
        sample=sample,
        how=HOW,
        means=MEANS,
        rules=known,
    )


@bp.get("/doubts")
@access(Access.STAFF)
def doubts() -> str:
    """Every grant that rested on a paper graded anew and that no owner has looked at yet."""
    with store.read() as reading:
        rows = queries.doubts(reading, person())
        known = in_force(reading, today(), content.rules)
    listing = sliced(rows, request.args.get("page", 1, type=int), PER_PAGE)
    return render_template("regrades/doubts.html", listing=listing, rules=known)


@bp.post("/doubts/<int:doubt_id>")
@access(Access.OWNER)
def settle(doubt_id: int) -> Response:
    """Say what was decided about one grant in doubt. The grant itself stays as it is."""
    form = settle_form(doubt_id)
    with store.read() as reading:
        rows = {row.id: row for row in queries.doubts(reading, person())}
    row = rows.get(doubt_id)
    if row is None:
        return done(_("It was looked at already."), "regrades.doubts")
    where = {"person_id": row.person_id, "clearance": row.clearance, "_anchor": "doubt"}
    if not form.validate_on_submit():
        return done(_("Say what you decided; nothing was stored."), "board.standing", **where)
    with store.write() as writing:
        regrade.settle(writing, person(), now(), doubt_id=doubt_id, note=form.note.data)
    return done(_("Kept. The clearance itself was not touched."), "board.standing", **where)


def _plan(question: str, chosen: ChooseForm) -> Plan:
    if chosen.how.data not in WAYS:
        abort(400)
    with store.read() as reading:
        return plan(
            reading,
            person(),
            now(),
            question=question,
            version=chosen.version.data,
            how=chosen.how.data,
            mend=mend_with(content.bank.questions.get(question)),
        )


def _said(found: Plan) -> str:
    number = len(found.changing)
    said: str = _n("%(num)d paper graded anew.", "%(num)d papers graded anew.", number)
    if found.resting:
        said += " " + _n(
            "%(num)d clearance waits for an owner to look at it.",
            "%(num)d clearances wait for an owner to look at them.",
            len(found.resting),
        )
    return said
