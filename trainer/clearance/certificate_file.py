"""Reading certificates.toml: the kinds of certificate that come from outside the shop."""

from __future__ import annotations

from pathlib import Path

from trainer.calc.sources import SOURCES
from trainer.clearance.requirements import CertificateKind
from trainer.clearance.tables import File, Table

KEYS = {"name", "about", "months", "endless", "source"}
MOST_MONTHS = 600


def load_certificate_kinds(path: Path) -> dict[str, CertificateKind]:
    """Every kind of the file by id, in its order. Raises ContentError on the first mistake.

    Without the file there is no kind, and a clearance that requires one is refused.
    """
    return (
        {table.name: read_certificate_kind(table) for table in File(path).tables()} if path.exists() else {}
    )


def read_certificate_kind(table: Table) -> CertificateKind:
    table.only(KEYS)
    source = table.value("source", str)
    if source is not None and source not in SOURCES:
        raise table.wrong(f"there is no source {source!r}; there are {', '.join(SOURCES)}.", "source")
    months = table.number_from("months", 1, MOST_MONTHS)
    endless = table.value("endless", bool, False)
    if endless and months is not None:
        raise table.wrong(f"{table.name} has months, so it cannot be endless too.", "endless")
    name, about = table.text("name"), table.text("about")
    assert name is not None and about is not None
    return CertificateKind(table.name, name, about, months, endless, source)
