"""What each page shows: one function a page, each with a constant number of statements.

    rows        the dataclasses that pages are made of
    papers      quizzes, papers for review, one paper
    learning    lessons with their reading state, own practice
    versions    lessons that changed since people read them
    people      the list of people, one person's record
    clearances  the board, the job check, one person's clearances, one sign-off
    certification   what a certification record holds; one grant
    crews       crews and who is in them
    digest      what the daily digest tells each person
    days        when clearances run out and quizzes are due
    links       live private links, and what a card shows
    certificates  one person's certificates, one of them
    files       a photograph or paper, handed out to whoever may see the record
    jobs        the kept take-offs
    figures     how questions do their work
    skills      how well each skill is held, by person and crew; what comes back today
    regrades    questions graded anew: who is told, which grants are in doubt
    sheets      the papers of a quiz that are to be printed
    home        what is next for an apprentice; counts for the navigation
    events      the history, a page at a time

Each function checks that the actor may see what it returns.
"""

from __future__ import annotations

from trainer.records.queries.certificates import certificate, certificates
from trainer.records.queries.certification import Certification, Certified, certification, granted
from trainer.records.queries.clearances import (
    board,
    job_check,
    people_on,
    person_clearances,
    sign_off,
    sign_offs,
    sign_offs_of,
)
from trainer.records.queries.crews import CrewRow, crew, crews
from trainer.records.queries.days import Days, Due, Opening, RunsOut, days
from trainer.records.queries.digest import Digest, Waiting, digests
from trainer.records.queries.events import history
from trainer.records.queries.figures import (
    QuestionAtWork,
    Reliability,
    WrongAnswer,
    question_at_work,
    question_figures,
    reliability,
)
from trainer.records.queries.files import certificate_file, sign_off_photo
from trainer.records.queries.home import counts, home
from trainer.records.queries.jobs import job, jobs
from trainer.records.queries.learning import going_on, lessons, practice
from trainer.records.queries.lesson_rows import CheckRow, LessonRow
from trainer.records.queries.links import CardPage, CardView, LinkRow, card, cards, links, own_links
from trainer.records.queries.papers import for_review, paper, quiz, quizzes, to_answer
from trainer.records.queries.people import people, person, person_record
from trainer.records.queries.person_rows import crews_of, matching
from trainer.records.queries.regrade_rows import AskedVersion, DoubtRow, RegradedRow, RegradeRow
from trainer.records.queries.regrades import (
    asked_questions,
    asked_versions,
    doubts,
    doubts_of,
    regrades,
)
from trainer.records.queries.rows import (
    AnswerView,
    Board,
    BoardRow,
    CertificateRow,
    CommentRow,
    Counts,
    CrewName,
    EventRow,
    GradeChangeRow,
    GrantRow,
    HintRow,
    Home,
    JobRow,
    JobView,
    NextGo,
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
from trainer.records.queries.sheets import PaperSheet, paper_sheets
from trainer.records.queries.skills import (
    CrewSkills,
    PersonSkills,
    SkillRow,
    crew_picture,
    for_today,
    skill_picture,
    weakest,
)
from trainer.records.queries.version_rows import AcceptanceRow, ChangedLesson, OlderReader
from trainer.records.queries.versions import changed_lessons
from trainer.records.queries.weeks import Week, weeks

__all__ = [
    "AcceptanceRow",
    "AnswerView",
    "AskedVersion",
    "Board",
    "BoardRow",
    "CardPage",
    "CardView",
    "CertificateRow",
    "Certification",
    "Certified",
    "ChangedLesson",
    "CheckRow",
    "CommentRow",
    "Counts",
    "CrewName",
    "CrewRow",
    "CrewSkills",
    "Days",
    "Digest",
    "DoubtRow",
    "Due",
    "EventRow",
    "GradeChangeRow",
    "GrantRow",
    "HintRow",
    "Home",
    "JobRow",
    "JobView",
    "LessonRow",
    "LinkRow",
    "NextGo",
    "OlderReader",
    "Opening",
    "Page",
    "PaperQuestionView",
    "PaperRow",
    "PaperSheet",
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
    "RegradeRow",
    "RegradedRow",
    "Reliability",
    "RunsOut",
    "SignOffRow",
    "SkillRow",
    "SuspensionRow",
    "Waiting",
    "Week",
    "WrongAnswer",
    "asked_questions",
    "asked_versions",
    "board",
    "card",
    "cards",
    "certificate",
    "certificate_file",
    "certificates",
    "certification",
    "changed_lessons",
    "counts",
    "crew",
    "crew_picture",
    "crews",
    "crews_of",
    "days",
    "digests",
    "doubts",
    "doubts_of",
    "for_review",
    "for_today",
    "going_on",
    "granted",
    "history",
    "home",
    "job",
    "job_check",
    "jobs",
    "lessons",
    "links",
    "matching",
    "own_links",
    "paper",
    "paper_sheets",
    "people",
    "people_on",
    "person",
    "person_clearances",
    "person_record",
    "practice",
    "question_at_work",
    "question_figures",
    "quiz",
    "quizzes",
    "regrades",
    "reliability",
    "sign_off",
    "sign_off_photo",
    "sign_offs",
    "sign_offs_of",
    "skill_picture",
    "to_answer",
    "weakest",
    "weeks",
]
