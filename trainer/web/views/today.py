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
        due = queries.for_today(reading, person(), now(), content.learning, _questions())
    recall = [(content.bank.skills[skill], question) for skill, question in due]
    return render_template("today/page.html", home=home, recall=recall, now=now())


def _questions() -> dict[str, list[str]]:
    """By skill, the questions that practise it."""
    return {skill: [one.id for one in content.bank.of_skill(skill)] for skill in content.bank.skills}
