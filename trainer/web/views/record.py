"""A person's record: what was read, sat, signed off and granted. One's own, or anyone's for trainers and owners."""

from __future__ import annotations

from flask import Blueprint, render_template

from trainer.records import queries
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, store, today

bp = Blueprint("record", __name__, url_prefix="/record")


@bp.get("")
@access(Access.SIGNED_IN)
def mine() -> str:
    return _page(person().id)


@bp.get("/<int:person_id>")
@access(Access.STAFF)
def of(person_id: int) -> str:
    return _page(person_id)


def _page(person_id: int) -> str:
    with store.read() as reading:
        record = queries.person_record(reading, person(), person_id, now(), content.rules)
    return render_template(
        "record/page.html", record=record, rules=content.rules, bank=content.bank, today=today()
    )
