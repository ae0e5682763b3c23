"""`trainer worksheet QUIZ`: the sheets and their key as two PDF files."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from tests.cli.shops import new_shop
from tests.shipped import shipped_bank
from trainer.cli import cli
from trainer.errors import StoreError, UnknownName
from trainer.questions import Draw, draw
from trainer.records import people, queries, quizzes
from trainer.records.actors import as_actor, person_of
from trainer.records.store import TEST_COST, open_store

NAMES = ("Luis Barrera", "Jess Lindqvist")
POINTS = {"letter": (612, 792), "A4": (595.28, 841.89)}  # ANSI/ASME Y14.1, ISO 216; a PDF unit is 1/72 in


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A shop with one quiz of a number and a choice, each new hire with their own numbers."""
    now = datetime(2026, 11, 25, 13, tzinfo=UTC)
    store = open_store(new_shop(tmp_path / "shop.sqlite3", now), password_cost=TEST_COST)
    with store.write() as session:
        owner = as_actor(person_of(session, 1))
        hired = [
            people.add_person(session, owner, now, name=name, sign_in=name.split()[0], roles=["apprentice"])
            for name in NAMES
        ]
        quizzes.assign(
            session, owner, now, title="On the tailgate", people=[one.person_id for one in hired],
            questions=["crown-slab-length", "why-the-gap"], pass_mark=80, due=now + timedelta(days=7),
            same_numbers=False, bank=shipped_bank().questions, draw=draw, token="one", seed=5,
        )  # fmt: skip
    store.close()
    return tmp_path


def run(folder: Path, *arguments: str) -> Result:
    return CliRunner().invoke(cli, ["worksheet", "--data", str(folder), *arguments])


def asked(folder: Path) -> list[Draw]:
    """The first question of each person's paper."""
    store = open_store(folder / "shop.sqlite3", password_cost=TEST_COST)
    with store.read() as session:
        sheets = queries.paper_sheets(session, as_actor(person_of(session, 1)), 1)
    store.close()
    return [Draw.from_json(sheet.draws[0]) for sheet in sheets]


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_sheets_ask_and_the_key_beside_them_answers(folder: Path, paper: str) -> None:
    done = run(folder, "1", "--out", str(folder / "tailgate.pdf"), "--paper", paper)
    assert done.exit_code == 0, done.output
    assert done.output.splitlines()[-2:] == [
        f"{folder / 'tailgate.pdf'}: 2 sheets",
        f"{folder / 'tailgate-key.pdf'}: 2 keys",
    ]
    read = [PdfReader(folder / name) for name in ("tailgate.pdf", "tailgate-key.pdf")]
    for reader in read:
        box = reader.pages[0].mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(POINTS[paper], abs=0.5)
    sheets, key = (" ".join(page.extract_text() for page in reader.pages) for reader in read)
    first, second = asked(folder)
    assert first.answer("en") != second.answer("en")
    for name, drawn in zip(NAMES, (first, second), strict=True):
        assert name in sheets and name in key
        assert drawn.answer("en") in key and drawn.answer("en") not in sheets


def test_a_quiz_that_is_none_and_a_file_that_cannot_be_written_are_said(folder: Path) -> None:
    assert isinstance(run(folder, "99").exception, UnknownName)
    done = run(folder, "1", "--out", str(folder / "no" / "sheets.pdf"))
    assert isinstance(done.exception, StoreError) and "cannot be written" in str(done.exception)
