"""The job check: which clearances a job needs, who may go and who may not, and what would change that.

The job stands in the address, so that it can be sent to someone; nothing is stored.
"""

from __future__ import annotations

from flask import Blueprint, render_template

from trainer.records import queries
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import person, store, today
from trainer.web.forms.job_check import JobCheckForm

bp = Blueprint("job_check", __name__, url_prefix="/job-check")


@bp.get("")
@access(Access.SIGNED_IN)
def page() -> str:
    with store.read() as reading:
        reviewer = person().may_review
        everyone = [row for row in queries.people(reading, person()) if row.active] if reviewer else []
        form = JobCheckForm(content.rules, everyone, on=today())
        view = None
        if form.asked:
            view = queries.job_check(
                reading, person(), form.job, content.rules, content.job_rules, form.people
            )
    return render_template("board/job.html", form=form, view=view, tasks=content.rules.tasks, today=today())
