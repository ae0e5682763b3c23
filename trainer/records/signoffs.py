"""Practical sign-offs: a trainer or owner watched a person do a task and measured the work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from sqlalchemy.orm import Session, selectinload

from trainer.clearance import Measure, Task
from trainer.clearance.words import say
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import files, history
from trainer.records.actors import Actor, active_person_of, checked_text, need_other, need_reviewer
from trainer.records.fingerprints import fingerprint
from trainer.records.measures import Measured, check_measure, check_measures
from trainer.records.models import SignOff, SignOffPhoto
from trainer.records.soundness import is_sound
from trainer.records.submissions import stored_before

__all__ = ["OWN_WORK", "Measured", "check", "check_measure", "check_measures", "record"]

OWN_WORK = Text(en="Nobody signs off their own work.", es="Nadie evalúa su propio trabajo.")
NOTES = Text(en="The notes", es="las notas")


def record(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    person_id: int,
    task: Task,
    passed: bool,
    criteria: Sequence[bool],
    measures: Mapping[str, Measured],
    notes: str,
    token: str,
    fails: Sequence[int] = (),
    photos: Sequence[str] = (),
) -> int:
    """Record a sign-off and return its id; the same form sent again gives the same id, SentBefore when it changed.

    criteria: one for each of the task's, in order; fails: numbers of its at-once fails that were seen, from 0
    photos: references to photographs of the work that were kept for it (`trainer.records.files`)
    Refusal: what is recorded does not fit the task, or contradicts that it was passed.
    """
    need_reviewer(actor)
    need_other(actor, person_id, OWN_WORK)
    seen = {
        "task": task.id,
        "version": task.version,
        "person_id": person_id,
        "observer_id": actor.id,
        "passed": passed,
        "criteria": [bool(met) for met in criteria],
        "fails": sorted(set(fails)),
        "notes": checked_text(notes, NOTES, 5000) if notes.strip() else "",
    }
    typed = {name: measured.typed for name, measured in measures.items()}
    pictures = files.usable(session, actor, person_id, photos, photos_only=True)
    stored = stored_before(
        session,
        SignOff,
        token,
        {**seen, "typed": typed, "photo_files": [picture.id for picture in pictures]},
        selectinload(SignOff.photos),
    )
    if stored is not None:
        return stored.id
    person = active_person_of(session, person_id)
    check(task, passed=passed, criteria=criteria, measures=measures, fails=fails)
    if len(pictures) > files.MOST_PHOTOS:
        raise Refusal(files.TOO_MANY, most=files.MOST_PHOTOS)
    row = SignOff(
        **seen,
        measures={name: measured.to_json() for name, measured in measures.items()},
        at=now,
        form_token=token,
    )
    row.sound = is_sound(row.criteria, row.fails, row.measures)
    session.add(row)
    session.flush()
    for position, picture in enumerate(pictures, start=1):
        session.add(SignOffPhoto(sign_off_id=row.id, position=position, file_id=picture.id))
    history.append(
        session,
        now,
        kind="task signed off" if passed else "task not passed",
        actor_id=actor.id,
        person_id=person.id,
        sign_off=row.id,
        task=task.id,
        version=task.version,
        criteria=row.criteria,
        fails=row.fails,
        measures=typed,
        measured=fingerprint(row.measures),
        notes=row.notes,
        **({"photos": [files.marks(picture) for picture in pictures]} if pictures else {}),
    )
    return row.id


def check(
    task: Task,
    *,
    passed: bool,
    criteria: Sequence[bool],
    measures: Mapping[str, Measured],
    fails: Sequence[int] = (),
) -> None:
    """Refusal when what was seen does not fit the task, or contradicts that it was passed."""
    _check_fit(task, criteria, measures, fails)
    if passed:
        _check_passed(task, criteria, measures, fails)


def _check_fit(
    task: Task, criteria: Sequence[bool], measures: Mapping[str, Measured], fails: Sequence[int]
) -> None:
    known = {measure.name for measure in task.measures}
    if (
        len(criteria) != len(task.criteria)
        or not set(measures) <= known
        or not all(0 <= number < len(task.fails) for number in fails)
    ):
        raise Refusal(
            Text(
                en="The form does not fit the task %(task)s any more; open it again.",
                es="El formulario ya no corresponde a la tarea %(task)s; ábralo de nuevo.",
            ),
            task=task.name,
        )


def _check_passed(
    task: Task, criteria: Sequence[bool], measures: Mapping[str, Measured], fails: Sequence[int]
) -> None:
    against: list[Text | None] = [
        _unseen([text for text, met in zip(task.criteria, criteria, strict=True) if not met]),
        *(say("seen: {what}", "se vio: {what}", what=_bare(task.fails[number])) for number in fails),
        *(_against(measure, measures.get(measure.name)) for measure in task.measures),
    ]
    found = [one for one in against if one is not None]
    if found:
        raise Refusal(
            Text(
                en="This cannot count as passed: %(against)s",
                es="No se puede dar por aprobada: %(against)s",
            ),
            against=Text(
                en="; ".join(one.en for one in found) + ".", es="; ".join(one.es for one in found) + "."
            ),
        )


def _unseen(criteria: Sequence[Text]) -> Text | None:
    """All of them after one "not seen", so that a form sent half empty is still read."""
    if not criteria:
        return None
    bare = [_bare(text) for text in criteria]
    together = Text(en="; ".join(one.en for one in bare), es="; ".join(one.es for one in bare))
    return say("not seen: {what}", "no se vio: {what}", what=together)


def _against(measure: Measure, measured: Measured | None) -> Text | None:
    """What of a measure speaks against a pass."""
    if measured is None:
        return say("not measured: {what}", "no se midió: {what}", what=_bare(measure.meaning))
    if measured.ok is not False:
        return None
    verdict = _bare(measured.verdict or Text(en="", es=""))
    return say(
        "{what}, {shown}: {verdict}",
        "{what}, {shown}: {verdict}",
        what=_bare(measure.meaning),
        shown=measured.shown,
        verdict=verdict,
    )


def _bare(sentence: Text) -> Text:
    """A whole sentence without its point, to stand among others."""
    return Text(en=sentence.en.rstrip("."), es=sentence.es.rstrip("."))
