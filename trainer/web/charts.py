"""What the charts of the pages show: skills of a person and of the crew, weeks of answers, and what ends soon."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any, Final

from markupsafe import Markup

from trainer.clearance import Standing
from trainer.drawings.charts import Column, Row, columns, rows
from trainer.questions import Skill
from trainer.records.queries import BoardRow, CrewSkills, PersonSkills, Week
from trainer.web.i18n import _, local, score, short_day

PARTS: Final = ((0.0, "0 %"), (0.5, "50 %"), (1.0, "100 %"))


def of_person(found: PersonSkills, skills: Mapping[str, Skill]) -> Markup:
    """How much of each known skill would be right today, the weakest first."""
    lines = [Row(local(skills[row.skill].name), score(row.share), bar=row.share) for row in found.known]
    return _safe(rows(_("How much of each skill would be right today"), lines, PARTS))


def of_crew(found: CrewSkills, skills: Mapping[str, Skill]) -> Markup:
    """A dot for each person of whom something is known, skill by skill."""
    shares: dict[str, list[float]] = {}
    for one in found.people:
        for row in one.known:
            shares.setdefault(row.skill, []).append(row.share)
    lines = [
        Row(local(skills[row.skill].name), score(row.share), marks=tuple(sorted(shares.get(row.skill, ()))))
        for row in found.skills
        if row.known
    ]
    return _safe(rows(_("Where each person stands on each skill"), lines, PARTS))


def of_weeks(weeks: Sequence[Week]) -> Markup:
    """Answers a week, and how many of them were right."""
    made = [Column(short_day(week.monday), week.given, week.right) for week in weeks]
    return _safe(columns(_("Answers a week; the filled part was right"), made))


def of_endings(ending: Sequence[tuple[BoardRow, Standing]], on: date, days: int) -> Markup:
    """When each clearance ends, on a line from the day of the board to the last day looked at."""
    lines = [
        Row(
            f"{row.person.name}: {local(one.name)}",
            short_day(one.until),
            marks=((one.until - on).days / days,),
        )
        for row, one in ending
        if one.until is not None
    ]
    ticks = [(share, short_day(on + timedelta(days=round(days * share)))) for share in (0.0, 0.5, 1.0)]
    return _safe(rows(_("When each clearance ends"), lines, ticks))


def _safe(svg: Any) -> Markup:
    return Markup(svg)  # made by trainer.drawings.charts, which escapes every text
