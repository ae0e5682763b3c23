"""What a requirement asks for, in words."""

from __future__ import annotations

from trainer.clearance.requirements import (
    CertificateRequirement,
    ClearanceRequirement,
    LessonRequirement,
    QuizRequirement,
    Requirement,
    Rules,
    SignOffRequirement,
)
from trainer.clearance.words import joined, say, within
from trainer.languages import Text


def needed(need: Requirement, rules: Rules) -> Text:
    """The requirement as one line of a list."""
    match need:
        case LessonRequirement():
            name = rules.lesson_name(need.lesson)
            return say("Lesson read: {name}", "Lección leída: {name}", name=name)
        case QuizRequirement():
            return say(
                "Quiz of {score} % or more on {skills}{within}",
                "Examen con {score} % o más sobre {skills}{within}",
                score=need.score,
                skills=joined(rules.skill_name(skill) for skill in need.skills),
                within=within(need.within_days),
            )
        case SignOffRequirement():
            many = need.times != 1
            return say(
                "Sign-off: {task}, {times} times{within}" if many else "Sign-off: {task}, once{within}",
                "Evaluación práctica: {task}, {times} veces{within}"
                if many
                else "Evaluación práctica: {task}, una vez{within}",
                task=rules.task_name(need.task),
                times=need.times,
                within=within(need.within_days),
            )
        case CertificateRequirement():
            return say(
                "Certificate: {kind}", "Constancia: {kind}", kind=rules.certificate_name(need.certificate)
            )
        case ClearanceRequirement():
            name = rules.clearance_name(need.clearance)
            return say("Clearance: {name}", "Autorización: {name}", name=name)
    return say("A kind of requirement that is not known.", "Una clase de requisito que no se conoce.")
