"""What is next for the person who is signed in."""

from __future__ import annotations

from flask import Blueprint, render_template

from trainer.records import queries
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, store

bp = Blueprint("today", __name__, url_prefix="/today")


@bp.get("")
@access(Access.APPRENTICE)
def page() -> str:
    with store.read() as reading:
        home = queries.home(reading, person(), now(), content.rules)
    return render_template("today/page.html", home=home)
