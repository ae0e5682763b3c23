"""Sign-offs, certificates, clearances, the shop itself and its history."""

from __future__ import annotations

from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import aliased

from trainer.languages import Text
from trainer.records.exports.export import Export
from trainer.records.held_rows import text_of
from trainer.records.models import (
    Certificate,
    DigestSent,
    Event,
    Grant,
    Job,
    Person,
    PrivateLink,
    RulesVersion,
    Shop,
    SignOff,
    SignOffPhoto,
    StandardRevision,
    StoredFile,
    Suspension,
)

_who, _by = aliased(Person), aliased(Person)
SIGN_OFFS: Final = Export(
    "sign-offs", "sign_off",
    Text(en="Sign-offs", es="Evaluaciones prácticas"),
    Text(
        en="Practical tasks watched: passed or not, criteria, measures, notes.",
        es="Tareas prácticas observadas: aprobadas o no, criterios, medidas y notas.",
    ),
    select(
        SignOff.id, SignOff.task, SignOff.version, SignOff.person_id, _who.name.label("person"), SignOff.observer_id,
        _by.name.label("observer"), SignOff.passed, text_of(SignOff.criteria).label("criteria"),
        text_of(SignOff.fails).label("fails"), text_of(SignOff.measures).label("measures"), SignOff.notes,
        SignOff.at.label("signed_at"),
    )
    .join(_who, _who.id == SignOff.person_id).join(_by, _by.id == SignOff.observer_id).order_by(SignOff.id),
)  # fmt: skip

PHOTOS: Final = Export(
    "sign-off-photographs", "sign_off_photo",
    Text(en="Photographs of sign-offs", es="Fotografías de evaluaciones"),
    Text(en="Which file is a photograph of which sign-off.", es="Qué archivo es fotografía de qué evaluación."),
    select(SignOffPhoto.sign_off_id, SignOffPhoto.position, SignOffPhoto.file_id)
    .order_by(SignOffPhoto.sign_off_id, SignOffPhoto.position),
)  # fmt: skip

CERTIFICATES: Final = Export(
    "certificates", "certificate",
    Text(en="Certificates", es="Constancias"),
    Text(en="Certificates from outside, with their last good day.", es="Constancias de fuera, con su último día válido."),
    select(
        Certificate.id, Certificate.kind, Certificate.person_id, _who.name.label("person"), Certificate.issuer,
        Certificate.issued, Certificate.expires, Certificate.by_id, _by.name.label("by"), Certificate.entered_on,
        Certificate.at.label("entered_at"), Certificate.file_id, Certificate.withdrawn_by_id,
        Certificate.withdrawn_on, Certificate.withdrawn_at, Certificate.withdrawn_reason,
    )
    .join(_who, _who.id == Certificate.person_id).join(_by, _by.id == Certificate.by_id).order_by(Certificate.id),
)  # fmt: skip

GRANTS: Final = Export(
    "grants", "clearance_grant",
    Text(en="Clearances granted", es="Autorizaciones otorgadas"),
    Text(
        en="Who was cleared for what, by whom, from when to when, and the evidence it rested on.",
        es="Quién fue autorizado para qué, por quién, desde y hasta cuándo, y la evidencia en que se basó.",
    ),
    select(
        Grant.id, Grant.clearance, Grant.version, Grant.person_id, _who.name.label("person"), Grant.by_id,
        _by.name.label("by"), Grant.since, Grant.until, text_of(Grant.evidence).label("evidence"),
        Grant.at.label("granted_at"),
    )
    .join(_who, _who.id == Grant.person_id).join(_by, _by.id == Grant.by_id).order_by(Grant.id),
)  # fmt: skip

SUSPENSIONS: Final = Export(
    "suspensions", "suspension",
    Text(en="Suspensions", es="Suspensiones"),
    Text(en="Clearances suspended, why, and what ended it.", es="Autorizaciones suspendidas, por qué y cómo terminó."),
    select(
        Suspension.id, Suspension.clearance, Suspension.person_id, _who.name.label("person"), Suspension.reason,
        Suspension.by_id, _by.name.label("by"), Suspension.since, Suspension.at.label("suspended_at"),
        Suspension.lifted_by_id, Suspension.lifted_on, Suspension.lifted_at, Suspension.lifted_reason,
    )
    .join(_who, _who.id == Suspension.person_id).join(_by, _by.id == Suspension.by_id).order_by(Suspension.id),
)  # fmt: skip

RULES: Final = Export(
    "rules", "rules_version",
    Text(en="Rules of clearance", es="Reglas de autorización"),
    Text(en="Every version of what the clearances ask for.", es="Cada versión de lo que piden las autorizaciones."),
    select(
        RulesVersion.id, RulesVersion.since, RulesVersion.how, RulesVersion.reason,
        text_of(RulesVersion.content).label("content"), RulesVersion.by_id, _by.name.label("by"),
        RulesVersion.at.label("decided_at"),
    ).outerjoin(_by, _by.id == RulesVersion.by_id).order_by(RulesVersion.id),
)  # fmt: skip

STANDARDS: Final = Export(
    "shop-standard", "standard_revision",
    Text(en="Shop standard", es="Estándar del taller"),
    Text(en="Every version of the shop's own figures.", es="Cada versión de las cifras propias del taller."),
    select(
        StandardRevision.id, text_of(StandardRevision.values).label("figures"), StandardRevision.by_id,
        _by.name.label("by"), StandardRevision.at.label("set_at"),
    ).outerjoin(_by, _by.id == StandardRevision.by_id).order_by(StandardRevision.id),
)  # fmt: skip

SHOP: Final = Export(
    "shop", "shop",
    Text(en="The shop", es="El taller"),
    Text(en="Name, time zone and language.", es="Nombre, zona horaria e idioma."),
    select(Shop.id, Shop.name, Shop.zone, Shop.language, Shop.created_at),
)  # fmt: skip

JOBS: Final = Export(
    "take-offs", "job",
    Text(en="Take-offs", es="Cálculos de obra"),
    Text(en="Kept take-offs, as they were typed.", es="Cálculos de obra guardados, como se escribieron."),
    select(
        Job.id, Job.title, text_of(Job.texts).label("entered"), text_of(Job.parts).label("parts"), Job.by_id,
        _by.name.label("by"), Job.at.label("saved_at"), Job.changed_at, Job.removed_at,
    ).join(_by, _by.id == Job.by_id).order_by(Job.id),
    owner=True,
)  # fmt: skip

FILES: Final = Export(
    "files", "stored_file",
    Text(en="Photographs and papers", es="Fotografías y papeles"),
    Text(en="What each file is; the archive holds the files themselves.", es="Qué es cada archivo; el paquete trae los archivos mismos."),
    select(
        StoredFile.id, StoredFile.person_id, _who.name.label("person"), StoredFile.by_id, _by.name.label("by"),
        StoredFile.at.label("stored_at"), StoredFile.media, StoredFile.sha256, StoredFile.size, StoredFile.width,
        StoredFile.height,
    )
    .join(_who, _who.id == StoredFile.person_id).join(_by, _by.id == StoredFile.by_id).order_by(StoredFile.id),
    owner=True,
)  # fmt: skip

LINKS: Final = Export(
    "private-links", "private_link",
    Text(en="Private links", es="Enlaces privados"),
    Text(en="Links given out, without their keys.", es="Enlaces entregados, sin sus claves."),
    select(
        PrivateLink.id, PrivateLink.use, PrivateLink.person_id, _who.name.label("person"), PrivateLink.by_id,
        PrivateLink.at.label("made_at"), PrivateLink.withdrawn_by_id, PrivateLink.withdrawn_at,
    ).join(_who, _who.id == PrivateLink.person_id).order_by(PrivateLink.id),
    owner=True,
)  # fmt: skip

DIGESTS: Final = Export(
    "digests", "digest_sent",
    Text(en="Daily messages", es="Mensajes diarios"),
    Text(en="Which daily messages were sent.", es="Qué mensajes diarios se enviaron."),
    select(
        DigestSent.person_id, _who.name.label("person"), DigestSent.day, DigestSent.begun_at, DigestSent.sent_at
    ).join(_who, _who.id == DigestSent.person_id).order_by(DigestSent.day, DigestSent.person_id),
    owner=True,
)  # fmt: skip

HISTORY: Final = Export(
    "history", "event",
    Text(en="History", es="Historial"),
    Text(
        en="Every act that was recorded, in order, with the hashes that chain them.",
        es="Cada acto registrado, en orden, con las huellas que los encadenan.",
    ),
    select(
        Event.number, Event.at, Event.kind, Event.actor_id, _by.name.label("actor"), Event.person_id,
        _who.name.label("person"), text_of(Event.facts).label("facts"), Event.previous, Event.hash,
    )
    .outerjoin(_by, _by.id == Event.actor_id).outerjoin(_who, _who.id == Event.person_id).order_by(Event.number),
    owner=True,
)  # fmt: skip
