"""The history in words: what kind of act it was, and what belongs to it.

An act or a fact without words here is shown under its own name, so that nothing of the history is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any, Final, cast

from flask import g

from trainer import takeoff
from trainer.calc import standard
from trainer.clearance import Rules
from trainer.records.queries import EventRow
from trainer.web.content import content
from trainer.web.current import language
from trainer.web.i18n import NAMES, _, _l, day, local, moment, percent, score
from trainer.web.words import role_names

KINDS: Final = {
    "shop set up": _l("Shop set up"),
    "shop changed": _l("Shop changed"),
    "standard changed": _l("Shop standard changed"),
    "person added": _l("Person added"),
    "person changed": _l("Person changed"),
    "person deactivated": _l("Person deactivated"),
    "person reactivated": _l("Person reactivated"),
    "roles changed": _l("Roles changed"),
    "crew made": _l("Crew made"),
    "crew changed": _l("Crew changed"),
    "e-mail address changed": _l("E-mail address changed"),
    "sign-in reset": _l("New sign-in code made"),
    "password set": _l("Password set"),
    "password changed": _l("Password changed"),
    "signed out everywhere": _l("Signed out everywhere"),
    "second step on": _l("Second step turned on"),
    "second step off": _l("Second step turned off"),
    "lesson gone through": _l("Lesson read to its end"),
    "check question answered": _l("Check question answered"),
    "lesson read": _l("Lesson read"),
    "older lesson accepted": _l("Older version of a lesson accepted"),
    "older lesson asked again": _l("Older version of a lesson asked again"),
    "quiz assigned": _l("Quiz assigned"),
    "quiz sat again": _l("Quiz sat again"),
    "quiz taken back": _l("Quiz taken back"),
    "weekly quiz set up": _l("Weekly quiz set up"),
    "weekly quiz stopped": _l("Weekly quiz stopped"),
    "paper opened": _l("Paper opened"),
    "hint opened": _l("Hint opened"),
    "answer given": _l("Answer given"),
    "answer typed in": _l("Answer typed in from paper"),
    "paper handed in": _l("Paper handed in"),
    "paper taken back": _l("Paper taken back"),
    "paper reviewed": _l("Paper reviewed"),
    "comment made": _l("Comment made"),
    "grade changed": _l("Grade changed"),
    "paper sent back": _l("Paper sent back to be done again"),
    "question graded anew": _l("Question graded anew"),
    "paper graded anew": _l("Paper graded anew"),
    "grant in doubt": _l("Clearance to be looked at again"),
    "doubt settled": _l("Clearance looked at again"),
    "task signed off": _l("Practical task signed off"),
    "task not passed": _l("Practical task not passed"),
    "certificate entered": _l("Certificate put on record"),
    "certificate withdrawn": _l("Certificate withdrawn"),
    "job saved": _l("Take-off saved"),
    "job changed": _l("Take-off changed"),
    "job removed": _l("Take-off removed"),
    "clearance granted": _l("Clearance granted"),
    "clearance suspended": _l("Clearance suspended"),
    "suspension lifted": _l("Suspension lifted"),
    "private link made": _l("Private link made"),
    "private link withdrawn": _l("Private link withdrawn"),
    "archive made": _l("Everything taken out as an archive"),
    "rules changed": _l("Rules of clearance decided on"),
}
FACTS: Final = {
    "name": _l("name"),
    "language": _l("language"),
    "zone": _l("time zone"),
    "roles": _l("roles"),
    "crew": _l("crew"),
    "people": _l("people"),
    "clearance": _l("clearance"),
    "lesson": _l("lesson"),
    "task": _l("task"),
    "version": _l("version"),
    "quiz": _l("quiz"),
    "attempt": _l("try"),
    "question_version": _l("version of the question"),
    "seed": _l("seed of its numbers"),
    "checked": _l("check questions"),
    "title": _l("title"),
    "paper": _l("paper"),
    "position": _l("question"),
    "question": _l("question"),
    "questions": _l("questions"),
    "pass_mark": _l("pass mark"),
    "opens": _l("opens"),
    "due": _l("due"),
    "repeat": _l("weekly quiz"),
    "week": _l("week"),
    "crews": _l("crews"),
    "go": _l("go"),
    "goes": _l("goes"),
    "wait_hours": _l("hours between two goes"),
    "hint": _l("hint"),
    "hint_cost": _l("price of a hint"),
    "deciding": _l("decides early between"),
    "must": _l("must be right by the trainer's choice"),
    "typed": _l("typed"),
    "shown": _l("read as"),
    "credit": _l("credit"),
    "before": _l("before"),
    "after": _l("after"),
    "changed": _l("changed"),
    "reason": _l("reason"),
    "text": _l("text"),
    "how": _l("how"),
    "again": _l("new paper"),
    "regrade": _l("graded anew"),
    "how_mended": _l("way"),
    "by_version": _l("by version"),
    "by_hash": _l("hash of the file"),
    "papers": _l("papers"),
    "left_out": _l("left out"),
    "scores": _l("score"),
    "passed": _l("passed"),
    "doubt": _l("doubt"),
    "doubted_grant": _l("grant"),
    "note": _l("decision"),
    "sign_off": _l("sign-off"),
    "criteria": _l("criteria met"),
    "fails": _l("failed at once"),
    "measures": _l("measured"),
    "notes": _l("notes"),
    "job": _l("job"),
    "texts": _l("entered"),
    "parts": _l("parts of the work"),
    "grant": _l("grant"),
    "suspension": _l("suspension"),
    "acceptance": _l("acceptance"),
    "present": _l("in place of version"),
    "ended_on": _l("ended on"),
    "since": _l("from"),
    "until": _l("until"),
    "evidence_hash": _l("hash of the evidence"),
    "frozen": _l("hashes of the questions"),
    "measured": _l("hash of the measures"),
    "standard_hash": _l("hash of the standard"),
    "right": _l("right"),
    "slip": _l("slip"),
    "score": _l("score"),
    "lifted_on": _l("lifted on"),
    "link": _l("link"),
    "use": _l("shows"),
    "key_hash": _l("hash of the key"),
    "email_hash": _l("hash of the address"),
    "photos": _l("photographs"),
    "certificate_file": _l("hash of the paper itself"),
    "rules": _l("version of the rules"),
    "how_decided": _l("decision"),
    "clearances": _l("clearances"),
    "rules_hash": _l("hash of the rules"),
    "shipped_hash": _l("hash of the program's own rules"),
    "certificate": _l("certificate"),
    "certificate_kind": _l("kind"),
    "issuer": _l("issued by"),
    "issued": _l("issued on"),
    "expires": _l("good through"),
    "entered_on": _l("put on record on"),
    "withdrawn_on": _l("withdrawn on"),
}
HOW: Final = {
    "all answered": _l("every question was answered"),
    "handed in": _l("handed in before the end"),
    "decided": _l("the answers were enough to decide"),
}
MENDED: Final = {
    "corrected": _l("graded by the mended question"),
    "full credit": _l("full credit for everyone"),
    "left out": _l("left out of the score"),
}
DECISIONS: Final = {
    "first": _l("the rules the shop began with"),
    "changed": _l("a clearance changed or added"),
    "withdrawn": _l("a clearance withdrawn"),
    "adopted": _l("the program's own rules taken over"),
    "kept": _l("the shop's own rules kept"),
}

USES: Final = {
    "card": _l("wallet card"),
    "own days": _l("own calendar"),
    "shop days": _l("calendar of the whole shop"),
}


def kind_in_words(kind: str) -> str:
    """The kind of an event in the reader's language."""
    return str(KINDS.get(kind, kind))


def facts_in_words(row: EventRow) -> list[tuple[str, str]]:
    """(label, value) of each fact of an event that has something to say."""
    said = [(str(FACTS.get(name, name)), _in_words(name, value)) for name, value in row.facts.items()]
    return [(label, value) for label, value in said if value]


def _in_words(name: str, value: Any) -> str:
    try:
        return str(_WORDS[name](value)) if name in _WORDS and value is not None else _plain(value)
    except (ValueError, TypeError, AttributeError, KeyError):
        return _plain(value)  # not what the program writes: shown as it stands


def _plain(value: Any) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{FACTS.get(key, key)}: {_in_words(key, inner)}" for key, inner in value.items())
    if isinstance(value, list):
        return " → ".join(map(_plain, value))
    return "" if value is None else str(value)


def _grade_or_names(value: Any) -> str:
    """What stood before or after a change: a grade, roles, or several facts."""
    if isinstance(value, list):
        return role_names(value)
    return score(value) if isinstance(value, int | float) else _plain(value)


def _figures(changed: Mapping[str, list[Any]]) -> str:
    """The figures of the shop standard that changed: what each is, before and after."""
    fields = standard.FIELDS
    return ", ".join(
        f"{local(fields[name].meaning)}: {' → '.join(fields[name].shown(value, language()) for value in pair)}"
        for name, pair in changed.items()
    )


def _measures(typed: Mapping[str, str]) -> str:
    """The measures of a task as typed, each with what it is."""
    known = {one.name: one.meaning for task in content.rules.tasks.values() for one in task.measures}
    return ", ".join(f"{local(known.get(name, name))}: {value}" for name, value in typed.items())


def _entered(texts: Mapping[str, str]) -> str:
    """What was typed in a take-off, each with what it is."""
    return ", ".join(f"{local(takeoff.FIELDS[name].label)}: {text}" for name, text in texts.items())


def _rules() -> Rules:
    """The rules by which clearances are named: the shop's own where the page has read them."""
    return cast(Rules, g.get("rules", content.rules))


def _date(text: str) -> str:
    return day(date.fromisoformat(text))


def _short(mark: str) -> str:
    return f"{mark[:12]} …"


_WORDS: Final[Mapping[str, Callable[[Any], str]]] = {
    "clearance": lambda id: local(_rules().clearance_name(id)),
    "lesson": lambda id: local(content.rules.lesson_name(id)),
    "task": lambda id: local(content.rules.task_name(id)),
    "roles": role_names,
    "language": lambda code: NAMES[code],
    "changed": _figures,
    "measures": _measures,
    "how": lambda how: str(HOW.get(how, how)),
    "since": _date,
    "until": _date,
    **dict.fromkeys(("opens", "due"), lambda text: moment(datetime.fromisoformat(text))),
    "pass_mark": percent,
    "hint_cost": percent,
    "deciding": lambda kept: f"{score(kept['low'])}, {score(kept['high'])}",
    "must": ", ".join,
    "credit": score,
    "before": _grade_or_names,
    "after": _grade_or_names,
    **dict.fromkeys(("people", "crews"), lambda ids: str(len(ids)) if ids else ""),
    "week": lambda week: str(week + 1),
    "criteria": lambda met: _("%(met)d of %(all)d", met=sum(met), all=len(met)),
    "fails": lambda places: ", ".join(str(place + 1) for place in places),
    "checked": lambda checked: str(len(checked)),
    "questions": lambda questions: str(len(questions)),
    "texts": _entered,
    "parts": lambda parts: ", ".join(local(takeoff.PARTS[part].title) for part in parts),
    "evidence_hash": _short,
    "use": lambda use: str(USES[use]),
    "key_hash": _short,
    "email_hash": _short,
    "frozen": lambda marks: ", ".join(map(_short, marks)),
    "measured": _short,
    "standard_hash": _short,
    "right": lambda right: _("yes") if right else _("no"),
    "how_mended": lambda how: str(MENDED[how]),
    "by_hash": _short,
    "left_out": lambda left: _("yes") if left else _("no"),
    "scores": lambda scores: " → ".join(percent(int(score + 1e-9)) for score in scores),
    "passed": lambda passed: " → ".join(_("yes") if one else _("no") for one in passed),
    "score": percent,
    "photos": lambda pictures: str(len(pictures)),
    "certificate_file": lambda marks: _short(marks[0]),
    "how_decided": lambda how: str(DECISIONS.get(how, how)),
    "clearances": lambda ids: ", ".join(local(_rules().clearance_name(id)) for id in ids),
    "rules_hash": _short,
    "shipped_hash": _short,
    **dict.fromkeys(("lifted_on", "ended_on", "issued", "expires", "entered_on", "withdrawn_on"), _date),
    "certificate_kind": lambda id: local(content.rules.certificate_name(id)),
}
