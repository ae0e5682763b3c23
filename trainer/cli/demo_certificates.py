"""The certificates from outside that the demo's shop has on record. The schools and clinics are invented."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Final

from trainer.records import certificates

if TYPE_CHECKING:
    from trainer.cli.demo_shop import Demo

# whose, kind, issuer, issued and good through [days from now], put on record [days ago]
PAPERS: Final = (
    ("ana", "first-aid-cpr", "Cold Hollow Adult School", -400, 330, 30),
    ("ana", "respirator-fit", "Quarry Road Clinic", -340, 25, 30),
    ("rosa", "first-aid-cpr", "Cold Hollow Adult School", -740, -10, 30),
    ("rosa", "ladder-training", "Hill County Builders' School", -200, None, 28),
    ("tom", "driving-licence", "Hill County license office", -900, 560, 8),
)
# Rosa's ladder paper turned out to be another person's.
WITHDRAWN: Final = (
    "rosa",
    "ladder-training",
    12,
    "The paper is her brother's. She brings her own on Monday.",
)


def enter(demo: Demo) -> None:
    """A few papers of each sort: in date, soon to run out, run out, without an end and withdrawn."""
    today = demo.now.date()
    for who, kind, issuer, issued, expires, days_ago in PAPERS:
        with demo.store.write() as session:
            number = certificates.enter(
                session,
                demo.actors["abel"],
                demo.at(days_ago, 15),
                person_id=demo.actors[who].id,
                kind=kind,
                issuer=issuer,
                issued=today + timedelta(days=issued),
                expires=None if expires is None else today + timedelta(days=expires),
                rules=demo.rules,
                token=demo.token(),
            )
        if (who, kind) == WITHDRAWN[:2]:
            with demo.store.write() as session:
                certificates.withdraw(
                    session,
                    demo.actors["nora"],
                    demo.at(WITHDRAWN[2], 15),
                    certificate_id=number,
                    reason=WITHDRAWN[3],
                )
