"""The append-only history, for the owner: what was done, when, by whom, and whether the record still holds."""

from __future__ import annotations

from flask import Blueprint, g, render_template, request

from trainer.records import history, queries, rules
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import person, store
from trainer.web.forms.history import HistoryForm
from trainer.web.happened import KINDS, facts_in_words, kind_in_words

bp = Blueprint("history", __name__, url_prefix="/history")


@bp.get("")
@access(Access.OWNER)
def page() -> str:
    with store.read() as reading:
        form = HistoryForm(queries.people(reading, person()), KINDS)
        listing = queries.history(
            reading,
            person(),
            page=request.args.get("page", 1, type=int),
            per_page=25,
            person_id=form.person_id,
            kind=form.kind,
            days=form.days,
        )
        g.rules = rules.newest(reading, content.rules)
    return render_template(
        "history/page.html",
        form=form,
        listing=listing,
        facts_in_words=facts_in_words,
        kind_in_words=kind_in_words,
    )


@bp.get("/check")
@access(Access.OWNER)
def check() -> str:
    """Walk the whole chain; nothing is changed, so asking again is harmless."""
    with store.read() as reading:
        verified = history.verify(reading)
    return render_template("history/check.html", verified=verified)
