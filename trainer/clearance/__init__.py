"""Who may do which kind of roof work on which day, and why. Pure: files, evidence and a date in; a standing out.

    requirements    what a clearance requires; practical tasks; the rules as a whole
    evidence        what is known of one person
    sat             a paper as it stood on a day
    meets, needs    one requirement against the evidence; what it asks for, in words
    standing        one person's state on one clearance on one date, with a reason for each requirement
    job, job_file   which clearances a job needs by the rules of jobs.toml, who may go, and what would change it
    content         reading clearances.toml, tasks.toml and certificates.toml, each mistake with its file and line
    words           the sentences of a standing, in both languages

The tool records the employer's decisions and shows what they rest on. It does not itself make anyone safe.
"""

from __future__ import annotations

from trainer.clearance.content import (
    load_certificate_kinds,
    load_clearances,
    load_rules,
    load_tasks,
    readable_rules,
    unasked,
    undemanded,
)
from trainer.clearance.evidence import (
    AbsenceEvidence,
    AnswerEvidence,
    CertificateEvidence,
    Evidence,
    GradeChangeEvidence,
    GrantEvidence,
    PaperEvidence,
    ReadingEvidence,
    SignOffEvidence,
    SuspensionEvidence,
)
from trainer.clearance.requirements import (
    CertificateKind,
    CertificateRequirement,
    Clearance,
    ClearanceRequirement,
    LessonRef,
    LessonRequirement,
    Measure,
    QuizRequirement,
    Requirement,
    Rules,
    SignOffRequirement,
    Task,
)
from trainer.clearance.standing import Line, Standing, standing, standings
from trainer.clearance.words import STATES

__all__ = [
    "STATES",
    "AbsenceEvidence",
    "AnswerEvidence",
    "CertificateEvidence",
    "CertificateKind",
    "CertificateRequirement",
    "Clearance",
    "ClearanceRequirement",
    "Evidence",
    "GradeChangeEvidence",
    "GrantEvidence",
    "LessonRef",
    "LessonRequirement",
    "Line",
    "Measure",
    "PaperEvidence",
    "QuizRequirement",
    "ReadingEvidence",
    "Requirement",
    "Rules",
    "SignOffEvidence",
    "SignOffRequirement",
    "Standing",
    "SuspensionEvidence",
    "Task",
    "load_certificate_kinds",
    "load_clearances",
    "load_rules",
    "load_tasks",
    "readable_rules",
    "standing",
    "standings",
    "unasked",
    "undemanded",
]
