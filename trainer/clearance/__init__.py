"""Who may do which kind of roof work on which day, and why. Pure: files, evidence and a date in; a standing out.

    requirements    what a clearance requires; practical tasks; the rules as a whole
    evidence        what is known of one person
    known           what was known of one person at the end of a day
    asked, meets    one requirement on one day; each kind of it against what is known of a person
    needs           what a requirement asks for, in words
    standing        one person's state on one clearance on one date, with a reason for each requirement
    versions        what accepting an older version of a lesson, or taking that back, would change
    job, job_file   which clearances a job needs by the rules of jobs.toml, who may go, and what would change it
    content         reading clearances.toml, tasks.toml and certificates.toml, each mistake with its file and line
    frozen          rules as plain data, so that each version of them is kept
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
    AcceptanceEvidence,
    AnswerEvidence,
    CertificateEvidence,
    Evidence,
    GradeChangeEvidence,
    GrantEvidence,
    PaperEvidence,
    ReadingEvidence,
    Sheet,
    SignOffEvidence,
    SuspensionEvidence,
)
from trainer.clearance.frozen import decides, freeze, thaw
from trainer.clearance.job import Job, JobCheck, JobRule, check_job
from trainer.clearance.job_file import load_job_rules
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
from trainer.clearance.standing import Line, RulesOn, Standing, standing, standings
from trainer.clearance.versions import Change, changes
from trainer.clearance.words import STATES

__all__ = [
    "STATES",
    "AbsenceEvidence",
    "AcceptanceEvidence",
    "AnswerEvidence",
    "CertificateEvidence",
    "CertificateKind",
    "CertificateRequirement",
    "Change",
    "Clearance",
    "ClearanceRequirement",
    "Evidence",
    "GradeChangeEvidence",
    "GrantEvidence",
    "Job",
    "JobCheck",
    "JobRule",
    "LessonRef",
    "LessonRequirement",
    "Line",
    "Measure",
    "PaperEvidence",
    "QuizRequirement",
    "ReadingEvidence",
    "Requirement",
    "Rules",
    "RulesOn",
    "Sheet",
    "SignOffEvidence",
    "SignOffRequirement",
    "Standing",
    "SuspensionEvidence",
    "Task",
    "changes",
    "check_job",
    "decides",
    "freeze",
    "load_certificate_kinds",
    "load_clearances",
    "load_job_rules",
    "load_rules",
    "load_tasks",
    "readable_rules",
    "standing",
    "standings",
    "thaw",
    "unasked",
    "undemanded",
]
