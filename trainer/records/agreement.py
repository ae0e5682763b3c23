"""Whether the records agree with the history: each row with the events that tell of it, both ways.

Both are read once, a batch at a time; of what the history tells only a short digest a row is kept meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from hashlib import blake2b
from typing import Any, Final

from sqlalchemy.orm import Session

from trainer.clearance.words import joined, say
from trainer.languages import Text
from trainer.records import paper_sheets, soundness
from trainer.records.claim import Claim, Key
from trainer.records.held import held
from trainer.records.told import Told


@dataclass(frozen=True, slots=True)
class Difference:
    """One row that does not agree. number: of the newest event that tells of it, 0 when none does."""

    number: int
    sentence: Text


@dataclass(frozen=True, slots=True)
class Agreement:
    """unchecked: rows of which an older event does not tell everything; only what it tells was compared."""

    differences: tuple[Difference, ...]
    unchecked: int


def compare(session: Session, events: Iterable[Any], again: Callable[[], Iterable[Any]]) -> Agreement:
    """events: every event in order; again: the same once more, asked for only when something differs."""
    told: dict[tuple[str, Key], bytes] = {}
    lacking: dict[tuple[str, Key], tuple[str, ...]] = {}
    unreadable: list[int] = []
    for claim in Told().claims(events):
        if claim.fields is None:
            unreadable.append(claim.number)
            continue
        told[claim.kind, claim.key] = _digest(claim.fields)
        if claim.lacking:
            lacking[claim.kind, claim.key] = claim.lacking
    changed: dict[tuple[str, Key], dict[str, Any]] = {}
    untold: list[tuple[str, Key]] = []
    for row in held(session):
        which = row.kind, row.key
        expected = told.pop(which, None)
        fields = {name: row.fields[name] for name in row.fields if name not in lacking.get(which, ())}
        if expected is None:
            untold.append(which)
        elif expected != _digest(fields):
            changed[which] = fields
    differences = [Difference(number, UNREADABLE) for number in unreadable]
    if changed or told:
        # Only now are the events read a second time, for what they say of these rows.
        by_row = {
            (claim.kind, claim.key): claim
            for claim in Told().claims(again())
            if (claim.kind, claim.key) in changed or (claim.kind, claim.key) in told
        }
        differences += [_changed(by_row[which], fields) for which, fields in changed.items()]
        differences += [_missing(by_row[which]) for which in told]
    differences += [_untold(*which) for which in untold]
    differences += [_apart(SHEET_APART, paper) for paper in paper_sheets.apart(session)]
    differences += [_apart(SOUND_APART, sign_off) for sign_off in soundness.apart(session)]
    return Agreement(tuple(differences), len(lacking))


def _digest(fields: Mapping[str, Any]) -> bytes:
    return blake2b(repr(sorted(fields.items())).encode(), digest_size=16).digest()


def _changed(claim: Claim, fields: Mapping[str, Any]) -> Difference:
    assert claim.fields is not None
    names = [FIELDS[name] for name in fields if fields[name] != claim.fields[name]]
    sentence = say(
        "{row} is not as the history tells it: {fields}.",
        "{row}: no coincide con el historial en {fields}.",
        row=_row(claim.kind, claim.key),
        fields=joined(names),
    )
    return Difference(claim.number, sentence)


def _missing(claim: Claim) -> Difference:
    sentence = say(
        "{row} is missing; the history tells of it.",
        "{row}: falta en los registros, pero está en el historial.",
        row=_row(claim.kind, claim.key),
    )
    return Difference(claim.number, sentence)


def _untold(kind: str, key: Key) -> Difference:
    sentence = say(
        "{row} stands in the records, but the history does not tell of it.",
        "{row}: está en los registros, pero no en el historial.",
        row=_row(kind, key),
    )
    return Difference(0, sentence)


def _apart(said: Text, number: int) -> Difference:
    return Difference(0, say(said.en, said.es, a=number))


def _row(kind: str, key: Key) -> Text:
    places = dict(zip("abcde", key, strict=False))
    return say(ROWS[kind].en, ROWS[kind].es, **places)


SHEET_APART: Final = Text(
    en="The copy of the marks of paper {a} is not what its questions and answers say.",
    es="La copia de las calificaciones del examen {a} no coincide con sus preguntas y respuestas.",
)
SOUND_APART: Final = Text(
    en="The note on sign-off {a}, whether it counts as passed, is not what was seen and measured.",
    es="La nota de la evaluación práctica {a}, si cuenta como aprobada, no coincide con lo visto y medido.",
)
UNREADABLE: Final = Text(
    en="What this event tells cannot be read.", es="No se puede leer lo que dice este suceso."
)
ROWS: Final = {
    "shop": Text(en="The shop's name and zone", es="Nombre y zona del taller"),
    "standard": Text(en="Version {a} of the shop standard", es="Versión {a} del estándar del taller"),
    "person": Text(en="Person {a}", es="Persona {a}"),
    "absence": Text(en="An absence of person {a}", es="Ausencia de la persona {a}"),
    "crew": Text(en="Crew {a}", es="Cuadrilla {a}"),
    "reading": Text(
        en="The reading of lesson {b}, version {c}, by person {a}",
        es="Lectura de la lección {b}, versión {c}, de la persona {a}",
    ),
    "lesson end": Text(
        en="The way of person {a} through lesson {b}, version {c}",
        es="Recorrido de la lección {b}, versión {c}, por la persona {a}",
    ),
    "check": Text(
        en="Try {e} of person {a} at check question {d} of lesson {b}, version {c}",
        es="Intento {e} de la persona {a} en la pregunta de repaso {d} de la lección {b}, versión {c}",
    ),
    "acceptance": Text(en="Acceptance {a} of an older lesson", es="Aceptación {a} de una lección anterior"),
    "asking again": Text(
        en="The end of acceptance {a} of an older lesson",
        es="Fin de la aceptación {a} de una lección anterior",
    ),
    "quiz": Text(en="Quiz {a}", es="Examen asignado {a}"),
    "weekly quiz": Text(en="Weekly quiz {a}", es="Examen semanal {a}"),
    "stop": Text(en="The stopping of weekly quiz {a}", es="Detención del examen semanal {a}"),
    "taking back": Text(en="The taking back of quiz {a}", es="Retiro del examen asignado {a}"),
    "paper": Text(en="Paper {a}", es="Examen {a}"),
    "opening": Text(en="The opening of paper {a}", es="Inicio del examen {a}"),
    "hand-in": Text(en="The hand-in of paper {a}", es="Entrega del examen {a}"),
    "review": Text(en="The review of paper {a}", es="Revisión del examen {a}"),
    "question": Text(en="Question {b} of paper {a}", es="Pregunta {b} del examen {a}"),
    "answer": Text(
        en="The answer to question {b} of paper {a}", es="Respuesta a la pregunta {b} del examen {a}"
    ),
    "hint": Text(
        en="Hint {c} to question {b} of paper {a}", es="Pista {c} de la pregunta {b} del examen {a}"
    ),
    "grade change": Text(
        en="A grade change of question {b} of paper {a}",
        es="Cambio de calificación de la pregunta {b} del examen {a}",
    ),
    "regrade": Text(en="Regrade {a} of a question", es="Nueva calificación {a} de una pregunta"),
    "regraded paper": Text(
        en="What regrade {a} did to paper {b}", es="Lo que la nueva calificación {a} hizo al examen {b}"
    ),
    "doubt": Text(en="Doubt {a} about a grant", es="Duda {a} sobre una autorización otorgada"),
    "typing in": Text(
        en="The typing in of question {b} of paper {a}", es="Paso a máquina de la pregunta {b} del examen {a}"
    ),
    "sending back": Text(en="The sending back of paper {a}", es="Devolución del examen {a}"),
    "settling": Text(en="The settling of doubt {a}", es="Cierre de la duda {a}"),
    "comment": Text(en="A comment on paper {a}", es="Comentario sobre el examen {a}"),
    "sign-off": Text(en="Sign-off {a}", es="Evaluación práctica {a}"),
    "photograph": Text(
        en="Photograph {b} of sign-off {a}", es="Fotografía {b} de la evaluación práctica {a}"
    ),
    "paper of a certificate": Text(en="The paper of certificate {a}", es="El papel de la constancia {a}"),
    "certificate": Text(en="Certificate {a}", es="Constancia {a}"),
    "withdrawal": Text(en="The withdrawal of certificate {a}", es="Retiro de la constancia {a}"),
    "grant": Text(en="Grant {a}", es="Autorización otorgada {a}"),
    "suspension": Text(en="Suspension {a}", es="Suspensión {a}"),
    "rules": Text(en="Version {a} of the rules", es="Versión {a} de las reglas"),
    "lifting": Text(en="The lifting of suspension {a}", es="Levantamiento de la suspensión {a}"),
    "link": Text(en="Private link {a}", es="Enlace privado {a}"),
    "link withdrawal": Text(en="The withdrawal of private link {a}", es="Retiro del enlace privado {a}"),
}
FIELDS: Final = {
    "after": Text(en="the grade after", es="la calificación posterior"),
    "again": Text(en="the paper to do in its place", es="el examen que lo reemplaza"),
    "at": Text(en="the time", es="la hora"),
    "back_at": Text(en="the return", es="el regreso"),
    "before": Text(en="the grade before", es="la calificación anterior"),
    "by": Text(en="who did it", es="quién lo hizo"),
    "by_hash": Text(en="the file that corrected it", es="el archivo que la corrigió"),
    "by_version": Text(en="the version that corrected it", es="la versión que la corrigió"),
    "checked": Text(en="the check questions", es="las preguntas de repaso"),
    "clearance": Text(en="the clearance", es="la autorización"),
    "credit": Text(en="the grade", es="la calificación"),
    "crews": Text(en="for which crews it is", es="para qué cuadrillas es"),
    "criteria": Text(en="the criteria met", es="los criterios cumplidos"),
    "due": Text(en="when it was due", es="la fecha de entrega"),
    "email": Text(en="the e-mail address", es="la dirección de correo"),
    "entered_on": Text(en="the day it was put on record", es="el día en que se registró"),
    "evidence": Text(en="the evidence it rested on", es="la evidencia en que se basó"),
    "expires": Text(en="the last good day", es="el último día válido"),
    "fails": Text(en="what failed it at once", es="las faltas que reprueban de inmediato"),
    "file": Text(en="the picture or paper itself", es="la imagen o el papel mismo"),
    "frozen": Text(
        en="its skills, whether it must be passed, or what was drawn",
        es="sus habilidades, si es obligatoria o lo que se sorteó",
    ),
    "go": Text(en="which go it is", es="qué intento es"),
    "goes": Text(en="how many goes it gives", es="cuántos intentos da"),
    "grant": Text(en="which grant it is about", es="de qué autorización se trata"),
    "hash": Text(en="the file it came from", es="el archivo del que salió"),
    "hint_cost": Text(en="what a hint costs", es="lo que cuesta una pista"),
    "how": Text(en="how it was closed or decided", es="cómo se cerró o se decidió"),
    "key_hash": Text(en="the key", es="la clave"),
    "issued": Text(en="the day it was issued", es="el día en que se expidió"),
    "issuer": Text(en="who issued it", es="quién la expidió"),
    "kind": Text(en="what kind it is", es="de qué tipo es"),
    "left_at": Text(en="whether they are deactivated", es="si está desactivada"),
    "left_out": Text(en="whether it counts", es="si cuenta"),
    "lesson": Text(en="the lesson", es="la lección"),
    "measures": Text(en="the measures", es="las medidas"),
    "must": Text(en="the questions that must be right", es="las preguntas obligatorias"),
    "name": Text(en="the name", es="el nombre"),
    "notes": Text(en="the notes", es="las notas"),
    "on": Text(en="the day", es="el día"),
    "pass_mark": Text(en="the pass mark", es="la calificación mínima"),
    "deciding": Text(en="the terms on which it decides early", es="las condiciones para decidir pronto"),
    "opens": Text(en="when it opens", es="cuándo abre"),
    "passed": Text(en="whether it was passed", es="si se aprobó"),
    "people": Text(en="who is in it", es="quién está ahí"),
    "person": Text(en="whose it is", es="de quién es"),
    "position": Text(en="the question it is about", es="la pregunta de que trata"),
    "present": Text(en="in place of which version", es="en lugar de qué versión"),
    "question": Text(en="which question it is", es="qué pregunta es"),
    "question_version": Text(en="the question's version", es="la versión de la pregunta"),
    "quiz": Text(en="the quiz it belongs to", es="el examen asignado al que pertenece"),
    "reason": Text(en="the reason", es="el motivo"),
    "regrade": Text(en="which regrade it comes from", es="de qué nueva calificación viene"),
    "repeat": Text(en="of which weekly quiz it is", es="de qué examen semanal es"),
    "right": Text(en="whether it was right", es="si fue correcta"),
    "roles": Text(en="the roles", es="las funciones"),
    "rules": Text(en="what they ask for", es="lo que piden"),
    "score": Text(en="the score", es="el resultado"),
    "seed": Text(en="the seed of its numbers", es="la semilla de sus números"),
    "shipped": Text(
        en="the program's own rules that were looked at", es="las reglas del programa que se revisaron"
    ),
    "shown": Text(en="how it was read", es="cómo se leyó"),
    "since": Text(en="the first day", es="el primer día"),
    "slip": Text(en="the slip", es="el error reconocido"),
    "small": Text(en="its small picture", es="su imagen pequeña"),
    "task": Text(en="the task", es="la tarea"),
    "text": Text(en="the text", es="el texto"),
    "title": Text(en="the title", es="el título"),
    "typed": Text(en="what was typed", es="lo que se escribió"),
    "use": Text(en="what it shows", es="lo que muestra"),
    "until": Text(en="the last day", es="el último día"),
    "values": Text(en="the figures", es="las cifras"),
    "version": Text(en="the version", es="la versión"),
    "wait": Text(en="the wait between two goes", es="la espera entre dos intentos"),
    "week": Text(en="of which week it is", es="de qué semana es"),
    "zone": Text(en="the time zone", es="la zona horaria"),
}
