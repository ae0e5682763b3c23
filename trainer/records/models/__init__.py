"""The tables.

    base          declarative base, constraint names, aware UTC times
    shop          the shop, its standard
    crews         crews and who is in them
    people        people, their absences, their roles, one-time codes, sign-in tries, second steps, sessions
    learning      how far people came in lessons, check answers, lessons read and accepted, practice answers
    papers        quizzes, papers, drawn questions, answers, grade changes, comments
    repeats       quizzes that come again each week
    regrades      questions graded anew, papers sent back, answers typed in from paper
    practicals    sign-offs
    clearances    grants, suspensions
    certificates  certificates from outside
    files         photographs and papers
    rules         versions of the rules of clearance
    jobs          kept take-offs
    links         private links
    digests       which daily digests were sent
    history       the append-only history and its head

No relationship is loaded unless a query asks for it (lazy="raise").
"""

from __future__ import annotations

from trainer.records.models.base import Base
from trainer.records.models.certificates import Certificate
from trainer.records.models.clearances import Grant, Suspension
from trainer.records.models.crews import Crew, CrewMember
from trainer.records.models.digests import DigestSent
from trainer.records.models.files import SignOffPhoto, StoredFile
from trainer.records.models.history import Event, HistoryHead
from trainer.records.models.jobs import Job
from trainer.records.models.learning import (
    CheckAnswer,
    LessonAcceptance,
    LessonPlace,
    LessonReading,
    PracticeAnswer,
)
from trainer.records.models.links import PrivateLink
from trainer.records.models.papers import (
    Answer,
    Comment,
    GradeChange,
    HintOpening,
    Paper,
    PaperQuestion,
    Quiz,
)
from trainer.records.models.people import (
    Absence,
    EntryCode,
    Person,
    PersonRole,
    SecondStep,
    SignInTry,
    WebSession,
)
from trainer.records.models.practicals import SignOff
from trainer.records.models.regrades import AnswerEntry, GrantDoubt, Regrade, RegradedPaper, SentBack
from trainer.records.models.repeats import QuizRepeat
from trainer.records.models.rules import RulesVersion
from trainer.records.models.shop import Shop, StandardRevision

__all__ = [
    "Absence",
    "Answer",
    "AnswerEntry",
    "Base",
    "Certificate",
    "CheckAnswer",
    "Comment",
    "Crew",
    "CrewMember",
    "DigestSent",
    "EntryCode",
    "Event",
    "GradeChange",
    "Grant",
    "GrantDoubt",
    "HintOpening",
    "HistoryHead",
    "Job",
    "LessonAcceptance",
    "LessonPlace",
    "LessonReading",
    "Paper",
    "PaperQuestion",
    "Person",
    "PersonRole",
    "PracticeAnswer",
    "PrivateLink",
    "Quiz",
    "QuizRepeat",
    "Regrade",
    "RegradedPaper",
    "RulesVersion",
    "SecondStep",
    "SentBack",
    "Shop",
    "SignInTry",
    "SignOff",
    "SignOffPhoto",
    "StandardRevision",
    "StoredFile",
    "Suspension",
    "WebSession",
]
