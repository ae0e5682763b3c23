"""The rules of clearance: what each asks for, every dated version, and what to do when the program's own change."""

from __future__ import annotations

from flask import Blueprint, abort, g, render_template, request
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from trainer.clearance import Rules
from trainer.clearance.effects import Effect
from trainer.errors import Refusal
from trainer.records import queries, rules
from trainer.records.fingerprints import fingerprint
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, store, today
from trainer.web.forms.clearance import clearance_form, name_of
from trainer.web.forms.rules import STILL, AdoptForm, DecideForm
from trainer.web.happened import DECISIONS
from trainer.web.i18n import _, local
from trainer.web.pages import done, refuse

bp = Blueprint("rules", __name__, url_prefix="/rules")


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    with store.read() as reading:
        return render_template(
            "rules/index.html",
            rules=rules.in_force(reading, today(), content.rules),
            versions=rules.versions(reading, person(), content.rules),
            waiting=rules.waiting(reading, content.rules),
            decisions=DECISIONS,
        )


@bp.get("/<int:version_id>")
@access(Access.STAFF)
def version(version_id: int) -> str:
    with store.read() as reading:
        one = rules.version(reading, person(), version_id, content.rules)
    return render_template("rules/version.html", version=one, decisions=DECISIONS)


@bp.route("/own", methods=["GET", "POST"])
@access(Access.OWNER)
def own() -> str | Response:
    """The rules that come with the program, against the shop's: take them over from today, or keep the shop's."""
    form = AdoptForm()
    keeping = request.form.get("do") == "keep"
    with store.read() as reading:
        after = rules.adopted(reading, content.rules, earlier_grants=form.grants.data == STILL)
        shown = Shown(reading, after)
        waiting = rules.waiting(reading, content.rules)
    if content.problems and not keeping:
        form.form_errors.append(
            _(
                "A content file of the program has a mistake, so its rules are not whole. They cannot be taken over."
            )
        )
    if form.validate_on_submit() and (keeping or (shown.was_looked_at(form) and not content.problems)):
        try:
            with store.write() as writing:
                if keeping:
                    rules.keep(writing, person(), now(), present=content.rules, **_decision(form))
                else:
                    rules.adopt(
                        writing,
                        person(),
                        now(),
                        present=content.rules,
                        earlier_grants=form.grants.data == STILL,
                        **_decision(form),
                    )
        except Refusal as refusal:
            refuse(form, refusal, made_from=lambda: shown.mark)
        else:
            return done(
                _("The shop's rules stay as they are.") if keeping else _("Saved. It holds from today."),
                "rules.index",
            )
    shown.put_in(form)
    return render_template("rules/own.html", form=form, shown=shown, waiting=waiting)


@bp.route("/new", methods=["GET", "POST"])
@access(Access.OWNER)
def new() -> str | Response:
    """A clearance that the shop did not have."""
    return _entered(None)


@bp.route("/clearance/<clearance>", methods=["GET", "POST"])
@access(Access.OWNER)
def edit(clearance: str) -> str | Response:
    """What a clearance is called, covers and asks for."""
    return _entered(clearance)


def _entered(id: str | None) -> str | Response:
    """The form of a clearance; what it would do is shown before it is saved."""
    with store.read() as reading:
        held, mark, taken = rules.newest(reading, content.rules), rules.mark(reading), rules.given(reading)
    if id is not None and id not in held.clearances:
        abort(404)
    form = clearance_form(
        held,
        held.clearances[id] if id else None,
        [(id, local(kind.name)) for id, kind in held.certificates.items()],
    )
    if not form.is_submitted():
        form.made_from.data = mark
    shown = None
    if form.validate_on_submit():
        made = form.clearance(id or name_of(form.name_en.data, [*taken, *content.rules.clearances]))
        still = form.grants.data == STILL
        try:
            with store.read() as reading:
                shown = Shown(reading, rules.changed(reading, made, content.rules, earlier_grants=still))
            if request.form.get("do") == "save" and shown.was_looked_at(form):
                with store.write() as writing:
                    rules.change(
                        writing,
                        person(),
                        now(),
                        clearance=made,
                        earlier_grants=still,
                        present=content.rules,
                        **_decision(form),
                    )
                return done(_("Saved. It holds from today."), "rules.index", _anchor=made.id)
            shown.put_in(form)
        except Refusal as refusal:
            refuse(form, refusal, made_from=lambda: mark)
    return render_template("rules/edit.html", form=form, id=id, shown=shown, tasks=held.tasks)


@bp.route("/clearance/<clearance>/withdraw", methods=["GET", "POST"])
@access(Access.OWNER)
def withdraw(clearance: str) -> str | Response:
    """A clearance that is no longer given."""
    form = DecideForm()
    shown = None
    try:
        with store.read() as reading:
            held = rules.newest(reading, content.rules)
            shown = Shown(reading, rules.withdrawn(reading, clearance, content.rules))
        if form.validate_on_submit() and shown.was_looked_at(form):
            with store.write() as writing:
                rules.withdraw(
                    writing, person(), now(), clearance=clearance, present=content.rules, **_decision(form)
                )
            return done(_("Withdrawn from today."), "rules.index")
        shown.put_in(form)
    except Refusal as refusal:
        refuse(form, refusal, made_from=lambda: shown.mark if shown else "")
    asked = [rule for rule in content.job_rules if rule.clearance == clearance]
    return render_template(
        "rules/withdraw.html", form=form, shown=shown, clearance=held.clearances[clearance], asked=asked
    )


class Shown:
    """What a page shows of a change before it is made.

    before, after: the rules; effects: on people, by name; names: of people; mark: of the version it starts from
    """

    def __init__(self, reading: Session, after: Rules) -> None:
        self.before, self.after = rules.newest(reading, content.rules), after
        self.effects = rules.seen_first(reading, person(), now(), after, content.rules)
        self.names = {row.id: row.name for row in queries.people(reading, person())}
        self.mark = rules.mark(reading)
        g.rules = after

    @property
    def looked(self) -> str:
        """A mark of everything that is shown."""
        return fingerprint([self.mark, repr(self.after.clearances), [_seen(one) for one in self.effects]])

    def was_looked_at(self, form: DecideForm) -> bool:
        """Whether the page that was sent showed what would happen now; when not, it says so."""
        if form.looked.data == self.looked:
            return True
        form.form_errors.append(
            _(
                "Nothing is saved yet. Look at who would gain or lose below, and save when it is what you want."
            )
        )
        return False

    def put_in(self, form: DecideForm) -> None:
        """Have the form carry what its page shows."""
        form.looked.data = self.looked
        if not form.is_submitted():
            form.made_from.data = self.mark

    @property
    def changed(self) -> list[str]:
        """The clearances that would not be what they are."""
        names = dict.fromkeys((*self.before.clearances, *self.after.clearances))
        return [name for name in names if self.before.clearances.get(name) != self.after.clearances.get(name)]


def _seen(effect: Effect) -> list[object]:
    return [effect.person_id, effect.kind, repr(effect.before), repr(effect.after)]


def _decision(form: DecideForm) -> dict[str, str]:
    return {
        "reason": form.reason.data,
        "made_from": form.made_from.data or "",
        "token": form.form_token.data,
    }
