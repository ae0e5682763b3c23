"""What was known of one person at the end of a day, by what a requirement asks for."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any, NamedTuple

from trainer.clearance.evidence import (
    AbsenceEvidence,
    AcceptanceEvidence,
    CertificateEvidence,
    Evidence,
    GrantEvidence,
    PaperEvidence,
    Sheet,
    SignOffEvidence,
    SuspensionEvidence,
)


class SatPaper(NamedTuple):
    """A paper with what follows from its answers."""

    paper: PaperEvidence
    sheet: Sheet


class Known:
    """One person's evidence up to the end of a day.

    readings: (day, version) of those with a day, by lesson; sign_offs: by task, newest first; papers: handed in by then, or nobody knows when
    grants, suspensions: begun, by clearance; absences: begun; certificates: by kind, whenever put on record
    """

    __slots__ = (
        "absences",
        "acceptances",
        "away",
        "certificates",
        "grants",
        "on",
        "papers",
        "person_id",
        "readings",
        "sign_offs",
        "suspensions",
    )

    def __init__(self, evidence: Evidence, on: date) -> None:
        if isinstance(on, datetime):
            raise TypeError("a standing is asked for a day, not for a moment")
        self.person_id, self.on = evidence.person_id, on
        self.papers = [
            SatPaper(paper, paper.sheet)
            for paper in evidence.papers
            if paper.handed_in is None or paper.handed_in <= on
        ]
        self.readings: dict[str, list[tuple[date, int]]] = {}
        for reading in evidence.readings:
            if reading.on is not None and reading.on <= on:
                self.readings.setdefault(reading.lesson, []).append((reading.on, reading.version))
        self.sign_offs: dict[str, list[SignOffEvidence]] = {}
        for sign_off in evidence.sign_offs:
            if sign_off.on is not None and sign_off.on <= on:
                self.sign_offs.setdefault(sign_off.task, []).append(sign_off)
        for of_task in self.sign_offs.values():
            if len(of_task) > 1:
                of_task.sort(key=_newest_last, reverse=True)
        self.grants: dict[str, list[GrantEvidence]] = {}
        for grant in evidence.grants:
            if grant.since is not None and grant.since <= on:
                self.grants.setdefault(grant.clearance, []).append(grant)
        self.suspensions: dict[str, list[SuspensionEvidence]] = {}
        for suspension in evidence.suspensions:
            if suspension.since is None or suspension.since <= on:
                self.suspensions.setdefault(suspension.clearance, []).append(suspension)
        self.certificates: dict[str, list[CertificateEvidence]] = {}
        for certificate in evidence.certificates:
            self.certificates.setdefault(certificate.kind, []).append(certificate)
        self.acceptances: tuple[AcceptanceEvidence, ...] = evidence.acceptances
        self.absences: list[AbsenceEvidence] = [one for one in evidence.absences if one.begun(on)]
        self.away = any(not absence.over(on) for absence in self.absences)

    def newest_papers(self, skills: frozenset[str]) -> list[SatPaper]:
        """Of the papers on all of these skills, those than which no other is known to be newer: most often one.

        What cannot be put in order may be the newest: a paper without a day, or without its moment on the newest day.
        """
        papers = [sat for sat in self.papers if skills <= sat[1].skills]
        if len(papers) < 2:
            return papers
        undated = [sat for sat in papers if sat.paper.handed_in is None]
        if undated:
            return undated
        day = newest(sat.paper.handed_in for sat in papers)
        of_day = [sat for sat in papers if sat.paper.handed_in == day]
        moment = newest(sat.paper.moment for sat in of_day)
        return [sat for sat in of_day if sat.paper.moment is None or sat.paper.moment == moment]


def newest(times: Iterable[Any]) -> Any:
    """The latest of those that are known; None when none is."""
    return max((one for one in times if one is not None), default=None)


def _newest_last(sign_off: SignOffEvidence) -> tuple[date | None, int, bool]:
    # Of two with one number, which contradict each other, the one that was not passed is looked at first.
    return sign_off.on, sign_off.id, not sign_off.passed
