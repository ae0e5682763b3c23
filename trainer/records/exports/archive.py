"""The whole shop in one ZIP file of open formats, made as it is read, so that its size does not matter.

README.txt          what is in it, in both languages
archive.json        when it was made, of which shop, how many rows each table has
csv-metadata.json   the columns of each table (W3C, Metadata Vocabulary for Tabular Data)
tables/*.csv        the tables
files/*             photographs and papers as they are
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any, Final
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from sqlalchemy import Boolean, Date, Double, Integer, select
from sqlalchemy.orm import Session

from trainer import __version__
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, need_owner
from trainer.records.exports.export import Export
from trainer.records.exports.reading import SCORED, columns, every_line
from trainer.records.exports.tables import TABLES
from trainer.records.models import HistoryHead, Paper, Quiz, StoredFile
from trainer.records.models.base import Moment
from trainer.records.shop import the_shop

ENDINGS: Final = {"image/jpeg": "jpg", "application/pdf": "pdf"}
_TYPES: Final = (
    (Boolean, "boolean"),
    (Integer, "integer"),
    (Double, "double"),
    (Moment, "dateTime"),
    (Date, "date"),
)
_SCORE_TYPES: Final = dict.fromkeys(SCORED, "integer") | {"passed": "boolean", "late": "boolean"}


def note_taking(session: Session, actor: Actor | None, now: datetime) -> None:
    """Record that everything is taken out. actor: None for whoever has the shop's data in hand.

    Raises NotAllowed; Refusal for an owner with a paper still to sit, as the archive tells what is right.
    """
    if actor is not None:
        need_owner(actor)
        out = (
            select(Quiz.title)
            .join(Paper, Paper.quiz_id == Quiz.id)
            .where(Paper.person_id == actor.id, Paper.closed_at.is_(None))
            .order_by(Paper.id)
            .limit(1)
        )
        title = session.scalar(out)
        if title is not None:
            raise Refusal(
                Text(
                    en="The archive holds the right answers of every paper, and you have “%(title)s” still to sit: "
                    "hand in your own first, or have another owner take the archive.",
                    es="El paquete trae las respuestas correctas de todos los exámenes, y usted todavía tiene “%(title)s” "
                    "por hacer: entregue antes el suyo, o que otro dueño saque el paquete.",
                ),
                title=title,
            )
    history.append(session, now, kind="archive made", actor_id=actor.id if actor else None)


def archive(session: Session, now: datetime) -> Iterator[bytes]:
    """The pieces of the ZIP file, in order; `note_taking` comes before."""
    shop = the_shop(session)
    head = session.get(HistoryHead, 1)
    sink = _Sink()
    target: Any = sink  # ZipFile wants no more of it than to be written to
    counts: dict[str, int] = {}
    stamp = now.astimezone(UTC).timetuple()[:6]
    with ZipFile(target, "w", ZIP_DEFLATED) as zip:
        zip.writestr(_entry("README.txt", stamp), _readme(shop.name, now))
        zip.writestr(_entry("csv-metadata.json", stamp), _json(_described()))
        for table in TABLES:
            counts[table.name] = 0
            with zip.open(_entry(f"tables/{table.name}.csv", stamp), "w", force_zip64=True) as entry:
                for text, rows in every_line(session, table):
                    entry.write(text.encode())
                    counts[table.name] += rows
                    yield from sink.drained()
        files = 0
        for id in session.scalars(select(StoredFile.id).order_by(StoredFile.id)).all():
            media, data = session.execute(
                select(StoredFile.media, StoredFile.data).where(StoredFile.id == id)
            ).one()
            zip.writestr(_entry(f"files/{id}.{ENDINGS.get(media, 'bin')}", stamp, ZIP_STORED), data)
            files += 1
            yield from sink.drained()
        told = {
            "shop": shop.name,
            "zone": shop.zone,
            "made_at": now.astimezone(UTC).isoformat(timespec="seconds"),
            "program_version": __version__,
            "history": {"events": head.number if head else 0, "newest_hash": head.hash if head else None},
            "rows": counts,
            "files": files,
        }
        zip.writestr(_entry("archive.json", stamp), _json(told))
    yield from sink.drained()


class _Sink:
    """What a ZIP file is written to: holds only what was not handed on yet."""

    def __init__(self) -> None:
        self._held: list[bytes] = []

    def write(self, data: Any) -> int:
        self._held.append(bytes(data))
        return len(data)

    def flush(self) -> None:
        """Nothing is kept back."""

    def drained(self) -> Iterator[bytes]:
        """What was written since; it is let go of."""
        held, self._held = b"".join(self._held), []
        if held:
            yield held


def _entry(name: str, stamp: Any, how: int = ZIP_DEFLATED) -> ZipInfo:
    entry = ZipInfo(name, stamp)
    entry.compress_type = how
    entry.external_attr = 0o600 << 16
    return entry


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2) + "\n"


def _described() -> dict[str, Any]:
    """The tables and their columns in the vocabulary of the W3C for tabular data on the web."""
    return {
        "@context": "http://www.w3.org/ns/csvw",
        "tables": [
            {
                "url": f"tables/{table.name}.csv",
                "dc:title": table.title.en,
                "dc:description": table.what.en,
                "tableSchema": {
                    "columns": [
                        {"name": name, "titles": name, "datatype": _type(table, name)}
                        for name in columns(table)
                    ]
                },
            }
            for table in TABLES
        ],
    }


def _type(table: Export, name: str) -> str:
    if table.scored and name in _SCORE_TYPES:
        return _SCORE_TYPES[name]
    kind = table.query.selected_columns[name].type
    return next((said for known, said in _TYPES if isinstance(kind, known)), "string")


def _readme(shop: str, now: datetime) -> str:
    made = now.astimezone(UTC).strftime("%Y-%m-%d %H:%M UTC")
    parts = [f"{shop}\n{made}\n"]
    for language in ("en", "es"):
        tables = "\n".join(
            f"  tables/{one.name}.csv\n      {one.what.in_language(language)}" for one in TABLES
        )
        parts.append(f"{HEAD.in_language(language)}\n\n{tables}\n\n{NOTES.in_language(language)}\n")
    return "\n".join(parts)


HEAD: Final = Text(
    en="ENGLISH. Everything that this shop has on record. Keep it as you keep personnel files: it holds names and grades.",
    es="ESPAÑOL. Todo lo que este taller tiene registrado. Guárdelo como guarda los expedientes del personal: trae "
    "nombres y calificaciones.",
)
NOTES: Final = Text(
    en="""The tables are CSV (RFC 4180): commas, UTF-8, the first line names the columns. Times are in UTC (ISO 8601), days are
year-month-day, yes and no are true and false, an empty cell is nothing. A cell in braces or brackets is JSON. A text
that a spreadsheet would take for a formula stands behind an apostrophe. csv-metadata.json describes every column,
archive.json says how many rows there are. files/ holds photographs and papers under the numbers of tables/files.csv.
Left out: passwords, one-time codes, second steps, sessions, tries at signing in, and keys of private links.""",
    es="""Las tablas son CSV (RFC 4180): comas, UTF-8, y la primera línea nombra las columnas. Las horas van en UTC (ISO 8601), los
días como año-mes-día, sí y no como true y false, y una celda vacía es nada. Una celda entre llaves o corchetes es
JSON. Un texto que una hoja de cálculo tomaría por fórmula va detrás de un apóstrofo. csv-metadata.json describe cada
columna y archive.json dice cuántas filas hay. files/ trae las fotografías y los papeles con los números de
tables/files.csv. No trae: contraseñas, códigos de un solo uso, segundos pasos, sesiones, intentos de entrada ni claves
de enlaces privados.""",
)
