"""What each page shows: one function a page, each with a constant number of statements.

    rows        the dataclasses that pages are made of
    papers      quizzes, papers for review, one paper
    learning    lessons with their reading state, own practice
    people      the list of people, one person's record
    clearances  the board, one person's clearances, one sign-off
    certification   what a certification record holds; one grant
    certificates  one person's certificates, one of them
    jobs        the kept take-offs
    figures     how questions do their work
    skills      how well each skill is held, by person and crew; what comes back today
    home        what is next for an apprentice; counts for the navigation
    events      the history, a page at a time

Each function checks that the actor may see what it returns.
"""

from __future__ import annotations

from trainer.records.queries.certificates import certificate, certificates
from trainer.records.queries.certification import Certification, Certified, certification, granted
from trainer.records.queries.clearances import board, person_clearances, sign_off, sign_offs
from trainer.records.queries.events import history
from trainer.records.queries.figures import (
    QuestionAtWork,
    Reliability,
    WrongAnswer,
    question_at_work,
    question_figures,
    reliability,
)
from trainer.records.queries.home import counts, home
from trainer.records.queries.jobs import job, jobs
from trainer.records.queries.learning import going_on, lessons, practice
from trainer.records.queries.papers import for_review, paper, quiz, quizzes
from trainer.records.queries.people import people, person, person_record
from trainer.records.queries.rows import (
    AnswerView,
    Board,
    BoardRow,
    CertificateRow,
    CheckRow,
    CommentRow,
    Counts,
    EventRow,
    GradeChangeRow,
    GrantRow,
    Home,
    JobRow,
    LessonRow,
    Page,
    PaperQuestionView,
    PaperRow,
    PaperView,
    PersonCertificates,
    PersonClearances,
    PersonRecord,
    PersonRow,
    PracticeRow,
    QuizRow,
    QuizView,
    SignOffRow,
    SuspensionRow,
)
from trainer.records.queries.skills import (
    CrewSkills,
    PersonSkills,
    SkillRow,
    crew_picture,
    for_today,
    skill_picture,
    weakest,
)

__all__ = [
    "AnswerView",
    "Board",
    "BoardRow",
    "CertificateRow",
    "Certification",
    "Certified",
    "CheckRow",
    "CommentRow",
    "Counts",
    "CrewSkills",
    "EventRow",
    "GradeChangeRow",
    "GrantRow",
    "Home",
    "JobRow",
    "LessonRow",
    "Page",
    "PaperQuestionView",
    "PaperRow",
    "PaperView",
    "PersonCertificates",
    "PersonClearances",
    "PersonRecord",
    "PersonRow",
    "PersonSkills",
    "PracticeRow",
    "QuestionAtWork",
    "QuizRow",
    "QuizView",
    "Reliability",
    "SignOffRow",
    "SkillRow",
    "SuspensionRow",
    "WrongAnswer",
    "board",
    "certificate",
    "certificates",
    "certification",
    "counts",
    "crew_picture",
    "for_review",
    "for_today",
    "going_on",
    "granted",
    "history",
    "home",
    "job",
    "jobs",
    "lessons",
    "paper",
    "people",
    "person",
    "person_clearances",
    "person_record",
    "practice",
    "question_at_work",
    "question_figures",
    "quiz",
    "quizzes",
    "reliability",
    "sign_off",
    "sign_offs",
    "skill_picture",
    "weakest",
]
