"""The skill picture: how well each skill is held now, for the crew and for one person."""

from __future__ import annotations

from flask import Blueprint, render_template

from trainer.records import queries
from trainer.web import charts
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, store, today

bp = Blueprint("skills", __name__, url_prefix="/skills")


@bp.get("")
@access(Access.STAFF)
def crew() -> str:
    with store.read() as reading:
        found = queries.crew_picture(reading, person(), now(), content.learning, content.bank.skills)
    chart = charts.of_crew(found, content.bank.skills)
    return render_template("skills/crew.html", found=found, skills=content.bank.skills, chart=chart)


@bp.get("/mine")
@access(Access.SIGNED_IN)
def mine() -> str:
    return _page(person().id)


@bp.get("/<int:person_id>")
@access(Access.STAFF)
def of(person_id: int) -> str:
    return _page(person_id)


def _page(person_id: int) -> str:
    with store.read() as reading:
        found = queries.skill_picture(
            reading, person(), person_id, now(), content.learning, content.bank.skills
        )
        weeks = queries.weeks(reading, person(), person_id, now())
    return render_template(
        "skills/person.html",
        found=found,
        skills=content.bank.skills,
        on=today(),
        weeks=weeks,
        of_skills=charts.of_person(found, content.bank.skills),
        of_weeks=charts.of_weeks(weeks),
    )
