"""Sign-offs: a trainer watches a person do a task, measures the work, and records it on the spot."""

from __future__ import annotations

from flask import Blueprint, abort, render_template, request
from werkzeug.wrappers import Response

from trainer.clearance import Task
from trainer.errors import NotAllowed, Refusal
from trainer.languages import Text
from trainer.records import files, queries, signoffs
from trainer.records.cleaning import MOST_BYTES
from trainer.records.files import MOST_PHOTOS
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import language, now, person, shop, store, today
from trainer.web.forms.signoffs import mark_of, sign_off_form
from trainer.web.i18n import _
from trainer.web.pages import done, refuse
from trainer.web.uploads import hand_out, keep_files, takes_files

bp = Blueprint("signoffs", __name__, url_prefix="/sign-offs")


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    """First a person, then a task; below, what was signed off last."""
    with store.read() as reading:
        everyone = queries.people(reading, person())
        recent = queries.sign_offs(reading, person(), request.args.get("page", 1, type=int))
        others = [row for row in everyone if row.active and row.id != person().id]
        others.sort(key=lambda row: "apprentice" not in row.roles)
        chosen = next((row for row in others if row.id == request.args.get("person", type=int)), None)
        seen = queries.sign_offs_of(reading, person(), chosen.id) if chosen else ()
    return render_template(
        "signoffs/index.html", people=others, chosen=chosen, seen=seen, recent=recent, rules=content.rules
    )


@bp.route("/<int:person_id>/<task>", methods=["GET", "POST"])
@access(Access.STAFF)
@takes_files(MOST_PHOTOS * MOST_BYTES)
def new(person_id: int, task: str) -> str | Response:
    """What was seen. Its readings are shown, with what the core says of them, before anything is stored."""
    asked = _task(task)
    who = _other(person_id)
    form = sign_off_form(asked)
    photos = keep_files(form, form.photos, person_id, files.TOO_MANY) if request.method == "POST" else ()
    measures = None
    if form.add.data:
        form.photos.validate(form)
    elif form.validate_on_submit() and not form.change.data:
        try:
            measures = signoffs.check_measures(asked, form.typed(), shop().standard, language())
            signoffs.check(asked, measures=measures, **form.seen())
            if form.confirmed.data == mark_of(measures, form.kept.data):
                with store.write() as writing:
                    number = signoffs.record(
                        writing,
                        person(),
                        now(),
                        person_id=person_id,
                        task=asked,
                        measures=measures,
                        notes=form.notes.data or "",
                        token=form.form_token.data,
                        photos=form.kept.data,
                        **form.seen(),
                    )
                return done(_("The sign-off is on record."), "signoffs.show", sign_off_id=number)
        except Refusal as refusal:
            refuse(form, refusal)
            measures = None
    mark = None if measures is None else mark_of(measures, form.kept.data)
    return render_template(
        "signoffs/new.html",
        who=who,
        task=asked,
        form=form,
        measures=measures,
        mark=mark,
        photos=photos,
        today=today(),
    )


@bp.get("/waiting/<int:file_id>")
@access(Access.STAFF)
def waiting(file_id: int) -> Response:
    """A photograph or paper that the reader sent, while its form is not yet confirmed."""
    with store.read() as reading:
        found = files.waiting(reading, person(), file_id, small=_small())
    return hand_out(found, f"sent-{file_id}")


@bp.get("/<int:sign_off_id>/photographs/<int:position>")
@access(Access.SIGNED_IN)
def photo(sign_off_id: int, position: int) -> Response:
    """A photograph of a sign-off: one's own, or anyone's for trainers and owners."""
    with store.read() as reading:
        found = queries.sign_off_photo(reading, person(), sign_off_id, position, small=_small())
    return hand_out(found, f"sign-off-{sign_off_id}-{position}")


def _small() -> bool:
    return request.args.get("size") == "small"


@bp.get("/<int:sign_off_id>")
@access(Access.SIGNED_IN)
def show(sign_off_id: int) -> str:
    """A stored sign-off: one's own, or anyone's for trainers and owners."""
    with store.read() as reading:
        row = queries.sign_off(reading, person(), sign_off_id)
    task = content.rules.tasks.get(row.task)
    worded = task if task is not None and task.version == row.version else None
    return render_template(
        "signoffs/show.html",
        row=row,
        worded=worded,
        criteria=list(zip(worded.criteria, row.criteria, strict=True)) if worded else [],
        measures=[(_meaning(worded, name), measured) for name, measured in row.measures.items()],
        rules=content.rules,
    )


def _meaning(task: Task | None, name: str) -> Text | str:
    """What a stored measure is; its bare name when the task has been reworded since."""
    known = {measure.name: measure.meaning for measure in task.measures} if task is not None else {}
    return known.get(name, name.replace("_", " "))


def _task(task: str) -> Task:
    return content.rules.tasks.get(task) or abort(404)


def _other(person_id: int) -> queries.PersonRow:
    if person_id == person().id:
        raise NotAllowed(signoffs.OWN_WORK)
    with store.read() as reading:
        return queries.person(reading, person(), person_id)
