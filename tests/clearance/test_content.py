"""clearances.toml and tasks.toml: the shop's own files load, and each kind of mistake is named with its line."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from trainer.calc.sources import SOURCES
from trainer.clearance import (
    LessonRef,
    QuizRequirement,
    SignOffRequirement,
    load_certificate_kinds,
    load_clearances,
    load_rules,
    load_tasks,
    undemanded,
)
from trainer.errors import ContentError
from trainer.languages import Text
from trainer.paths import content_dir

NAME = '[low-roof]\nversion = 2\nname = { en = "Low", es = "Baja" }\ncovers = { en = "Low.", es = "Baja." }\n'
LESSON = '[[low-roof.requires]]\nkind = "lesson"\nlesson = "ladders"\n'
TASK = (
    '[cut]\nversion = 1\nname = { en = "Cut", es = "Cortar" }\ncriteria = [{ en = "Cuts.", es = "Corta." }]\n'
)
KIND = '[first-aid]\nname = { en = "Aid", es = "Ayuda" }\nabout = { en = "Aid.", es = "Ayuda." }\n'
MEASURE = '[cut.measures.gap]\nunit = "in"\nmeaning = { en = "Gap", es = "Holgura" }\n'


def test_the_shops_own_files_load_and_fit_together() -> None:
    folder = content_dir("question_bank")
    skills = tomllib.loads((folder / "skills.toml").read_text(encoding="utf-8"))
    found = content_dir("lessons").glob("en/*.md")
    lessons = {path.stem: LessonRef(path.stem, 1, Text(en=path.stem, es=path.stem)) for path in found}
    names = {name: Text(**skill["name"]) for name, skill in skills.items()}
    rules = load_rules(lessons=lessons, skills=names, must_pass=())
    assert len(rules.clearances) >= 8 and len(rules.tasks) >= 14
    asked = {
        need.task for rule in rules.clearances.values() for need in rule.requires if need.kind == "sign-off"
    }
    assert asked == set(rules.tasks), "every practical task counts toward some clearance"
    for clearance in rules.clearances.values():
        kinds = {need.kind for need in clearance.requires}
        assert "quiz" in kinds, clearance.id
    assert rules.clearances["steep-roof"].requires[0].kind == "clearance"


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "clearances.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_kind_of_requirement_is_read(tmp_path: Path) -> None:
    more = (
        '[[low-roof.requires]]\nkind = "quiz"\nskills = ["slope"]\nscore = 80\nwithin_days = 365\n'
        '[[low-roof.requires]]\nkind = "sign-off"\ntask = "cut"\ntimes = 2\n'
        '[[low-roof.requires]]\nkind = "certificate"\ncertificate = "first-aid"\n'
        '[[low-roof.requires]]\nkind = "clearance"\nclearance = "ladder"\n'
    )
    found = load_clearances(write(tmp_path, NAME + "accepts = 1\n" + LESSON + more))["low-roof"]
    assert (found.version, found.accepts) == (2, 1)
    assert [need.kind for need in found.requires] == [
        "lesson",
        "quiz",
        "sign-off",
        "certificate",
        "clearance",
    ]
    assert found.requires[1] == QuizRequirement(("slope",), 80, 365)
    assert found.requires[2] == SignOffRequirement("cut", 2, None)


def test_an_older_version_counts_only_when_the_file_says_so(tmp_path: Path) -> None:
    assert load_clearances(write(tmp_path, NAME + LESSON))["low-roof"].accepts == 2


@pytest.mark.parametrize(
    ("text", "line", "sentence"),
    [
        ("x = [", 1, "not TOML"),
        ("x = 1", 1, "must be a table"),
        ("[Low_Roof]\n", 1, "no name"),
        (NAME, 1, "requires nothing"),
        (NAME.replace("version = 2", "version = 0") + LESSON, 2, "must be 1 to"),
        (NAME.replace("version = 2", "version = true") + LESSON, 2, "must be a whole number"),
        (NAME.replace("version = 2\n", "") + LESSON, 1, "lacks version"),
        (NAME.replace('es = "Baja" ', ' es = ""') + LESSON, 3, "empty en or es"),
        (NAME.replace(', es = "Baja." ', "") + LESSON, 4, "must have en and es"),
        (NAME + "accepts = 3\n" + LESSON, 5, "accepts of low-roof is 3"),
        (NAME + "colour = 1\n" + LESSON, 5, "no 'colour'"),
        (NAME + LESSON.replace('"lesson"', '"song"'), 6, "no kind of requirement"),
        (NAME + LESSON + LESSON.replace('lesson = "ladders"', "lesson = 3"), 10, "must be a text"),
        (NAME + LESSON + "score = 3\n", 8, "no 'score'"),
        (NAME + '[[low-roof.requires]]\nkind = "quiz"\nskills = []\nscore = 80\n', 7, "one or more names"),
        (NAME + '[[low-roof.requires]]\nkind = "quiz"\nskills = ["a"]\nscore = 101\n', 8, "must be 1 to 100"),
        (NAME + '[[low-roof.requires]]\nkind = "sign-off"\ntask = "a"\nwithin_days = 0\n', 8, "must be 1 to"),
    ],
)
def test_a_mistake_in_a_clearance_is_named_with_its_line(
    tmp_path: Path, text: str, line: int, sentence: str
) -> None:
    with pytest.raises(ContentError) as found:
        load_clearances(write(tmp_path, text))
    assert sentence in found.value.sentence
    assert (found.value.path, found.value.line) == ("clearances.toml", line)


def test_a_missing_or_unreadable_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="the file is missing"):
        load_clearances(tmp_path / "clearances.toml")
    (tmp_path / "clearances.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(ContentError, match="cannot be read"):
        load_clearances(tmp_path / "clearances.toml")


@pytest.mark.parametrize(
    ("text", "line", "sentence"),
    [
        (TASK.replace('{ en = "Cuts.", es = "Corta." }', ""), 4, "is empty"),
        (TASK + MEASURE.replace('"in"', '"furlong"'), 6, "unit of cut.measures.gap"),
        (TASK + MEASURE + 'within = "a bit"\n', 8, "within of cut.measures.gap"),
        (TASK + MEASURE + 'against = "colour"\nat_least = true\n', 8, "shop standard has no 'colour'"),
        (TASK + MEASURE + 'against = "bond_gap"\n', 8, "exactly one of"),
        (TASK + MEASURE + 'against = "bond_gap"\nat_least = true\nwithin = "1 in"\n', 8, "exactly one of"),
        (TASK + MEASURE + "at_least = true\n", 5, "nothing that it is held against"),
        (TASK + MEASURE + 'calculation = "moon.phase"\nwithin = "1 in"\n', 8, "no calculation 'moon.phase'"),
        (TASK + MEASURE + 'calculation = "flue.cut"\nresult = "x"\nwithin = "1 in"\n', 9, "must be one of"),
        (TASK + MEASURE + 'result = "x"\n', 5, "no calculation"),
    ],
)
def test_a_mistake_in_a_task_is_named_with_its_line(
    tmp_path: Path, text: str, line: int, sentence: str
) -> None:
    path = tmp_path / "tasks.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ContentError) as found:
        load_tasks(path)
    assert sentence in found.value.sentence
    assert (found.value.path, found.value.line) == ("tasks.toml", line)


def test_a_skill_without_a_must_pass_question_is_said_with_its_line(tmp_path: Path) -> None:
    quiz = '[[low-roof.requires]]\nkind = "quiz"\nskills = ["slope", "ladder"]\nscore = 80\n'
    write(tmp_path, NAME + LESSON + quiz)
    (tmp_path / "tasks.toml").write_text(TASK, encoding="utf-8")
    lessons = {"ladders": LessonRef("ladders", 1, Text(en="Ladders", es="Escaleras"))}
    skills = {name: Text(en=name, es=name) for name in ("slope", "ladder")}
    for must_pass, said in (  # those with a must-pass question, or with a reason for none
        (("slope",), ["the bank has no must-pass question on ladder, so low-roof asks for none."]),
        (("slope", "ladder"), []),
    ):
        rules = load_rules(tmp_path, lessons=lessons, skills=skills, must_pass=())
        notes = undemanded(tmp_path, rules, must_pass)
        assert [note.sentence for note in notes] == said
        assert [note.line for note in notes] == [10] * len(said)


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ('[[low-roof.requires]]\nkind = "lesson"\nlesson = "gone"\n', "no lesson 'gone'"),
        ('[[low-roof.requires]]\nkind = "quiz"\nskills = ["slope", "gone"]\nscore = 8\n', "no skills 'gone'"),
        ('[[low-roof.requires]]\nkind = "sign-off"\ntask = "gone"\n', "no task 'gone'"),
        (
            '[[low-roof.requires]]\nkind = "certificate"\ncertificate = "gone"\n',
            "no certificate 'gone'; there are first-aid.",
        ),
        ('[[low-roof.requires]]\nkind = "clearance"\nclearance = "gone"\n', "no clearance 'gone'"),
        ('[[low-roof.requires]]\nkind = "clearance"\nclearance = "low-roof"\n', "requires itself"),
    ],
)
def test_a_requirement_must_name_what_exists(tmp_path: Path, more: str, sentence: str) -> None:
    write(tmp_path, NAME + LESSON + more)
    (tmp_path / "tasks.toml").write_text(TASK, encoding="utf-8")
    (tmp_path / "certificates.toml").write_text(KIND, encoding="utf-8")
    lessons = {"ladders": LessonRef("ladders", 1, Text(en="Ladders", es="Escaleras"))}
    with pytest.raises(ContentError) as found:
        load_rules(
            tmp_path, lessons=lessons, skills={"slope": Text(en="slope", es="pendiente")}, must_pass=()
        )
    assert sentence in found.value.sentence
    assert found.value.line == (1 if "itself" in sentence else 10)


def test_the_kinds_of_certificate_load_and_each_is_explained() -> None:
    folder = content_dir("question_bank")
    kinds = load_certificate_kinds(folder / "certificates.toml")
    assert len(kinds) >= 8
    for kind in kinds.values():
        assert kind.source is None or kind.source in SOURCES
        assert not (kind.endless and kind.months)
    required = {
        need.certificate
        for rule in load_clearances(folder / "clearances.toml").values()
        for need in rule.requires
        if need.kind == "certificate"
    }
    assert {"first-aid-cpr", "respirator-fit"} <= required <= set(kinds)
    # 29 CFR 1910.134(f)(2): a fit test at least every 12 months (from memory).
    assert kinds["respirator-fit"].months == 12


@pytest.mark.parametrize(
    ("text", "line", "sentence"),
    [
        (KIND + "colour = 1\n", 4, "no 'colour'"),
        (KIND + "months = 0\n", 4, "must be 1 to"),
        (KIND + 'source = "a-friend"\n', 4, "no source 'a-friend'"),
        (KIND + "months = 12\nendless = true\n", 5, "cannot be endless too"),
        (KIND.replace(', es = "Ayuda." ', ""), 3, "must have en and es"),
        (KIND.partition("about")[0], 1, "lacks about"),
    ],
)
def test_a_mistake_in_a_kind_of_certificate_is_named_with_its_line(
    tmp_path: Path, text: str, line: int, sentence: str
) -> None:
    path = tmp_path / "certificates.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ContentError) as found:
        load_certificate_kinds(path)
    assert sentence in found.value.sentence
    assert (found.value.path, found.value.line) == ("certificates.toml", line)


def test_without_the_file_there_is_no_kind(tmp_path: Path) -> None:
    assert load_certificate_kinds(tmp_path / "certificates.toml") == {}
