"""The review schedule by its rules, the shipped parameters, and retention of simulated people with and without it."""

from __future__ import annotations

import random
from datetime import date, timedelta
from pathlib import Path

import pytest

from trainer.learning import BadParameters, Reviewing, due_today, load_parameters, standing
from trainer.paths import content_dir

SHIPPED = content_dir("question_bank") / "learning.toml"
GIVEN = Reviewing(gaps=(1, 3, 7, 14), per_day=2)
DAY = date(2026, 11, 2)


def on(*marks: tuple[int, float]):
    return standing([(DAY + timedelta(days=day), credit) for day, credit in marks], GIVEN)


@pytest.mark.parametrize(
    ("marks", "box", "due"),
    [
        ([(0, 1.0)], 0, 1),
        ([(0, 0.0)], 0, 1),
        ([(0, 1.0), (1, 1.0)], 1, 4),
        ([(0, 1.0), (1, 1.0), (4, 1.0)], 2, 11),
        ([(0, 1.0), (9, 1.0)], 1, 12),  # late, and still known
        ([(0, 1.0), (1, 1.0), (2, 1.0)], 1, 4),  # before it was due: proves nothing
        ([(0, 1.0), (1, 1.0), (2, 0.5)], 0, 3),  # half right is not remembered
        ([(0, 1.0), (1, 0.0), (1, 1.0)], 0, 2),  # the first answer of the day counts
        ([(0, 1.0), (1, 1.0), (4, 1.0), (11, 1.0), (25, 1.0)], 3, 39),  # the last gap stays
    ],
)
def test_where_a_skill_stands(marks, box: int, due: int) -> None:
    found = on(*marks)
    assert found is not None and (found.box, found.due) == (box, DAY + timedelta(days=due))


def test_the_most_faded_comes_first_and_a_day_has_an_end() -> None:
    today = DAY + timedelta(days=14)
    standings = {
        "long gap, a little late": on((0, 1.0), (1, 1.0), (4, 1.0)),  # due day 11, gap 7
        "short gap, long past": on((0, 0.0)),  # due day 1, gap 1
        "not due": on((0, 1.0), (1, 1.0), (4, 1.0), (11, 1.0)),
        "due by two gaps": on((0, 1.0), (5, 1.0)),  # due day 8, gap 3
    }
    assert due_today(standings, today, GIVEN) == ("short gap, long past", "due by two gaps")  # type: ignore[arg-type]
    standings["recalled today"] = on((14, 1.0))
    assert due_today(standings, today, GIVEN) == ("short gap, long past",)  # type: ignore[arg-type]
    assert on() is None and due_today({}, today, GIVEN) == ()


def test_the_shipped_parameters_can_be_read() -> None:
    found = load_parameters(SHIPPED)
    assert found.deciding.ends(80) == pytest.approx((0.7, 0.9)) and found.review.per_day >= 1
    for mark in (5, 99):
        with pytest.raises(ValueError, match="no room"):
            found.deciding.ends(mark)


@pytest.mark.parametrize(
    ("was", "becomes", "said"),
    [
        ("[review]", "[other]", "table .review. is missing"),
        ("half_life = 60", "half_life = 0", "estimate.half_life must be a number from 1"),
        ("gaps = [1, 3, 7, 14, 30, 60, 120]", "gaps = [1, 3, 3]", "days that grow"),
        ("gaps = [1, 3, 7, 14, 30, 60, 120]", 'gaps = ["1"]', "days that grow"),
        ("margin = 10", "margin = true", "deciding.margin must be a number"),
        ("[deciding]", "[deciding", "learning.toml"),
    ],
)
def test_a_broken_file_is_refused_with_the_entry(tmp_path: Path, was: str, becomes: str, said: str) -> None:
    text = SHIPPED.read_text()
    assert was in text
    path = tmp_path / "learning.toml"
    path.write_text(text.replace(was, becomes))
    with pytest.raises(BadParameters, match=said):
        load_parameters(path)
    with pytest.raises(BadParameters, match="nowhere"):
        load_parameters(tmp_path / "nowhere.toml")


class Memory:
    """A simulated person's hold on one skill: recall halves every `half` days; recalling it in time stretches that.

    The assumption (H. Ebbinghaus's curve in its exponential form, and the spacing effect): what is recalled when
    nearly gone is kept longer by up to three times, what is recalled at once by next to nothing. Told again after
    failing, one holds it as on the first day. It is a model, not a measurement of people.
    """

    FIRST = 2.0

    def __init__(self) -> None:
        self.half, self.last = self.FIRST, 0.0

    def recall(self, day: float) -> float:
        return 0.5 ** ((day - self.last) / self.half)

    def ask(self, day: float, source: random.Random) -> bool:
        chance = self.recall(day)
        right = source.random() < chance
        self.half = self.half * (1 + 2 * (1 - chance)) if right else self.FIRST
        self.last = day
        return right


def retained(plan: str, given: Reviewing, seed: int) -> tuple[float, int]:
    """(mean recall of twelve skills over the days 150 to 180, questions asked) of one person.

    plan: "schedule", "none", or "massed": as many questions, all in the first weeks, one skill after the other
    """
    source, start = random.Random(seed), date(2026, 1, 1)
    skills = [Memory() for _ in range(12)]
    answers: list[list[tuple[date, float]]] = [[(start, 1.0)] for _ in skills]
    asked, kept = 0, 0.0
    budget = retained("schedule", given, seed)[1] if plan == "massed" else 0
    for day in range(1, 181):
        today = start + timedelta(days=day)
        chosen: list[int] = []
        if plan == "schedule":
            found = {str(n): standing(one, given) for n, one in enumerate(answers)}
            chosen = [int(n) for n in due_today({k: v for k, v in found.items() if v}, today, given)]
        elif plan == "massed":
            chosen = [(asked + n) // (budget // 12 + 1) for n in range(min(given.per_day, budget - asked))]
        for n in chosen:
            right = skills[n].ask(day, source)
            answers[n].append((today, float(right)))
            asked += 1
        if day >= 150:
            kept += sum(one.recall(day) for one in skills) / len(skills) / 31
    return kept, asked


def test_retention_with_the_schedule_and_without(capsys: pytest.CaptureFixture[str]) -> None:
    """Sixty simulated people, the shipped parameters: at the end of half a year they know more with the schedule than
    with as many questions massed at the start, and that more than with none."""
    given = load_parameters(SHIPPED).review
    means = {}
    for plan in ("schedule", "massed", "none"):
        found = [retained(plan, given, seed) for seed in range(60)]
        means[plan] = sum(kept for kept, _ in found) / len(found)
        with capsys.disabled():
            print(
                f"\n{plan:9} retained {means[plan]:.0%} with {sum(n for _, n in found) / len(found):.0f} questions",
                end="",
            )
    assert means["schedule"] > 0.6 and means["schedule"] > means["massed"] + 0.2
    assert means["massed"] >= means["none"]
