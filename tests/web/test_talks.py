"""Toolbox talks: every skill in both languages on both papers fills one side, with the answers on the other."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader

from tests.shipped import shipped_bank

BANK = shipped_bank()
SKILLS = sorted(skill for skill in BANK.skills if BANK.of_skill(skill))


def pages(browser: Any, skill: str, language: str, paper: str, number: int = 3) -> list[str]:
    answer = browser.client.get(f"/talks/{skill}.pdf?language={language}&paper={paper}&number={number}")
    assert answer.status_code == 200 and answer.mimetype == "application/pdf"
    return [page.extract_text() for page in PdfReader(io.BytesIO(answer.data)).pages]


def test_the_sheet_asks_and_the_back_answers(people: Any, sign_in: Any) -> None:
    browser = sign_in(people.trainer)
    front, back = pages(browser, "slab-size", "en", "letter")
    assert (
        "Toolbox talk:" in front and "1." in front and "3." in front and "DANGER" in front + back
    ) or "WARNING" in front
    assert "Answers:" in back and "Answers:" not in front
    assert pages(browser, "slab-size", "en", "letter") == [front, back]  # the same number, the same sheet
    assert pages(browser, "slab-size", "en", "letter", 4)[0] != front
    assert "Charla de seguridad" in pages(browser, "slab-size", "es", "letter")[0]


@pytest.mark.parametrize("skill", SKILLS)
def test_one_side_and_the_answers_overleaf(people: Any, sign_in: Any, skill: str) -> None:
    """Spanish runs longest, and A4 is the narrower paper, letter the shorter."""
    browser = sign_in(people.trainer)
    for paper in ("letter", "A4"):
        assert len(pages(browser, skill, "es", paper)) == 2, (skill, paper)


@pytest.mark.parametrize("query", ["language=fr", "paper=A0"])
def test_another_language_or_paper_is_refused(people: Any, sign_in: Any, query: str) -> None:
    assert sign_in(people.trainer).get(f"/talks/slab-size.pdf?{query}").status == 400
    assert sign_in(people.trainer).get("/talks/nothing.pdf").status == 404
