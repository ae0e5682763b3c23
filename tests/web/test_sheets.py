"""Records on paper: the certification record, the roster, and a grant's own page.

29 CFR 1926.503(b) asks of the written certification: the name or other identity of the person trained, the dates of
the training, and the signature of the trainer or the employer; of training given elsewhere, the date on which the
employer judged it adequate.
"""

from __future__ import annotations

import io
import re
from datetime import timedelta

import pytest
from pypdf import PdfReader

from trainer.languages import LANGUAGES
from trainer.records import grants
from trainer.web import boards
from trainer.web.content import CONTENT
from trainer.web.views import board as board_view
from trainer.web.views import sheets

GROUND = "on-the-ground"


@pytest.fixture
def granted(app, acts, people, store, clock):
    """The owner has cleared the apprentice for work on the ground; returns the rules."""
    acts.make_ready(people.apprentice)
    rules = app.extensions[CONTENT].rules
    with store.write() as session:
        grants.grant(
            session, people.owner, clock.now, person_id=people.apprentice.id, clearance=GROUND, rules=rules
        )
    return rules


@pytest.fixture
def paper(people):
    return f"/record/{people.apprentice.id}/certification.pdf"


def read(browser, path):
    answer = browser.client.get(path)
    assert answer.status_code == 200 and answer.mimetype == "application/pdf", (path, answer.status_code)
    return PdfReader(io.BytesIO(answer.data))


def words(reader):
    """The text without its spaces: a PDF breaks lines where it likes."""
    return "".join("".join(page.extract_text() for page in reader.pages).split())


def said(text, reader):
    return "".join(text.split()) in words(reader)


def test_the_record_has_what_the_rule_asks_for(sign_in, people, granted, paper):
    reader = read(sign_in(people.owner), paper)
    for text in (
        "29 CFR 1926.503(b)",
        "Person trained Luis Barrera",
        "luis (number 3 in the shop's list)",
        "Employer Ridgeline Chimney Repair",
        "Granted by Nora Whitfield on 25 November 2026; it ends on 25 November 2027",
        "Lesson read: Roof protection 25 November 2026 read by the person",
        "25 November 2026 Tom Okafor Crowns and roofs: 100 % on 25 Nov 2026, good through 25 Nov 2027.",
        "Person who conducted the training Tom Okafor",
        "As Printed name Signature Date",
        "On the ground ✓ cleared 25 November 2027",
        "Steep roof – not cleared –",
        "does not make anyone safe",
        "Local rules may ask for more",
    ):
        assert said(text, reader), text


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("size", "width"), [("letter", 612), ("A4", 595.28)])
@pytest.mark.parametrize("what", ["certification", "roster"])
def test_both_papers_both_languages(sign_in, people, granted, paper, language, size, width, what):
    browser = sign_in(people.owner, language)
    path = paper if what == "certification" else "/board/roster.pdf"
    reader = read(browser, f"{path}?paper={size}")
    root, box = reader.trailer["/Root"], reader.pages[0].mediabox
    assert root["/Lang"] == language and root["/MarkInfo"]["/Marked"] and root["/StructTreeRoot"]
    titles = {
        "certification": {"en": "Training certification record", "es": "Constancia de capacitación"},
        "roster": {"en": "Crew roster", "es": "Lista de la cuadrilla"},
    }
    assert reader.metadata.title == titles[what][language]
    # The roster lies on its long side.
    short = float(box.width) if what == "certification" else float(box.height)
    assert short == pytest.approx(width, abs=0.5)
    assert min(float(box.width), float(box.height)) == short
    state = {"en": "✓ cleared", "es": "✓ vigente"}[language]
    assert said(state, reader) and said("Luis Barrera", reader)
    caution = {"en": "WARNING", "es": "ADVERTENCIA"}[language]
    assert said(caution, reader)
    for rule in granted.clearances.values():
        assert said(rule.name.in_language(language), reader)


def test_the_record_of_another_day(sign_in, people, granted, paper):
    reader = read(sign_in(people.owner), paper + "?on=2027-11-26")
    assert said("On the ground ✗ lapsed –", reader) and said("there is nothing to certify", reader)
    assert said("as far as is known today", reader) and not said("Printed name", reader)
    assert said("there is nothing to certify", read(sign_in(people.owner), paper + "?on=2026-11-24"))


def test_a_suspension_stands_on_the_record(sign_in, people, granted, paper):
    where = f"/board/{people.apprentice.id}/{GROUND}"
    sign_in(people.trainer).submit(where, {"prompt": "other", "reason": "Unclipped."}, form="/suspend")
    reader = read(sign_in(people.owner), paper)
    assert said("On the ground ‖ suspended –", reader) and said("Suspended: Unclipped.", reader)
    roster = read(sign_in(people.owner), "/board/roster.pdf")
    assert said("Luis Barrera ‖ suspended", roster)


def test_the_roster_has_every_person_with_every_state(sign_in, people, granted):
    reader = read(sign_in(people.trainer), "/board/roster.pdf")
    text = words(reader)
    rest = "–notcleared" * (len(granted.clearances) - 1)
    assert f"LuisBarrera✓cleareduntil25Nov2027{rest}" in text
    for name in ("JessLindqvist", "NoraWhitfield", "TomOkafor"):
        assert f"{name}–notcleared{rest}" in text
    assert said("Who may do what on 25 November 2026", reader)
    later = read(sign_in(people.trainer), "/board/roster.pdf?on=2027-11-26")
    assert said("Luis Barrera ✗ lapsed", later) and said("as far as is known today", later)
    assert said("Nobody was in the shop", read(sign_in(people.trainer), "/board/roster.pdf?on=2020-01-01"))


def test_a_longer_roster_repeats_its_heading(sign_in, people, granted, crowd):
    crowd(60)
    reader = read(sign_in(people.owner), "/board/roster.pdf")
    assert len(reader.pages) > 1
    for page in reader.pages:
        assert "Ladder and" in page.extract_text()
    assert (
        words(reader).count("–notcleared") == (60 + 3) * len(granted.clearances) + len(granted.clearances) - 1
    )


def test_a_part_of_the_board_says_on_paper_that_it_is_one(sign_in, people, granted):
    owner = sign_in(people.owner)
    page = owner.get("/board", name="Luis", clearance=GROUND)
    assert "1 of 4 people" in page.text
    reader = read(owner, page.soup.select_one("a[href*='roster.pdf?paper=A4']")["href"])
    assert said("a part of the board: 1 of 4 people", reader) and said("Luis Barrera ✓ cleared", reader)
    assert "Jess" not in words(reader) and "Ladderand" not in words(reader)
    assert "apartoftheboard" not in words(read(owner, "/board/roster.pdf"))


def test_a_roster_too_long_to_make_is_refused_and_a_part_of_it_is_not(sign_in, people, monkeypatch):
    monkeypatch.setattr(sheets, "MOST_ON_ROSTER", 3)
    owner = sign_in(people.owner)
    page = owner.get("/board/roster.pdf")
    assert page.status == 400
    assert "A roster of 4 people takes too long to make; at most 3 fit on one." in page.text
    assert said("Luis Barrera", read(owner, "/board/roster.pdf?role=apprentice"))


def test_the_board_offers_no_roster_that_is_too_long(sign_in, people, crowd, monkeypatch):
    monkeypatch.setattr(board_view, "MOST_ON_ROSTER", 3)
    owner = sign_in(people.owner)
    for size in (500, 2):  # on one page, and on several
        monkeypatch.setattr(boards, "PEOPLE_ON_PAGE", size)
        page = owner.get("/board")
        assert "At most 3 people fit on one roster." in page.text
        assert not page.soup.select("a[href*='roster.pdf']")
        assert owner.get("/board", role="apprentice").soup.select(
            "a[href*='roster.pdf'][href*='role=apprentice']"
        )


@pytest.mark.parametrize("query", ["paper=A3", "paper=letter; } body", "on=tomorrow", "on=2026-02-30", "on="])
def test_an_address_that_makes_no_sense_is_refused(sign_in, people, granted, paper, query):
    for path in (paper, "/board/roster.pdf", "/grants/1/certification.pdf"):
        assert sign_in(people.owner).get(f"{path}?{query}").status == 400, path


def test_a_grants_page_shows_what_it_rested_on_then(sign_in, people, granted, acts, clock):
    before = sign_in(people.owner).get("/grants/1")
    items = [" ".join(item.get_text(" ").split()) for item in before.soup.select("main ul.list > li")]
    assert any(item.startswith("Lesson read: Roof protection Read on 25 Nov 2026") for item in items)
    assert any(
        "Crowns and roofs: 100 % on 25 Nov 2026, good through 25 Nov 2027. · Tom Okafor" in i for i in items
    )
    assert len(items) == len(granted.clearances[GROUND].requires)
    assert "The copy is the one that the history tells of." in before.text
    clock.now += timedelta(days=30)
    acts.make_ready(people.apprentice)
    after = sign_in(people.owner).get("/grants/1")
    assert [" ".join(i.get_text(" ").split()) for i in after.soup.select("main ul.list > li")] == items


def test_a_changed_copy_is_called_so(sign_in, people, granted, store):
    with store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE clearance_grant SET evidence = '{}'")
    page = sign_in(people.owner).get("/grants/1")
    assert "the copy was changed" in page.text and "cannot be read" in page.text
    reader = read(sign_in(people.owner), "/grants/1/certification.pdf")
    assert said("the copy was changed", reader) and said("cannot be read", reader)


def test_the_pages_lead_to_the_papers(sign_in, people, granted, paper):
    owner, own = sign_in(people.owner), sign_in(people.apprentice)
    for browser, page, targets in (
        (
            owner,
            f"/record/{people.apprentice.id}",
            [f"{paper}?paper=letter", f"{paper}?paper=A4", "/grants/1"],
        ),
        (own, "/record", [f"{paper}?paper=letter", "/grants/1"]),
        (owner, "/board", ["/board/roster.pdf?paper=letter", "/board/roster.pdf?paper=A4"]),
        (owner, "/board?on=2027-01-02", ["/board/roster.pdf?paper=A4&on=2027-01-02"]),
        (owner, f"/board/{people.apprentice.id}/{GROUND}", ["/grants/1"]),
        (
            owner,
            "/grants/1",
            ["/grants/1/certification.pdf?paper=A4", f"/board/{people.apprentice.id}/{GROUND}"],
        ),
        (own, "/grants/1", ["/grants/1/certification.pdf?paper=letter", "/record"]),
    ):
        links = {link["href"] for link in browser.get(page).soup.select("main a[href]")}
        assert set(targets) <= links, (page, links)
        for target in targets:
            assert browser.client.get(target).status_code == 200, target


def test_nobody_reads_anothers_paper(sign_in, people, granted, paper):
    other = sign_in(people.second)
    for path in (paper, "/grants/1", "/grants/1/certification.pdf", "/board/roster.pdf"):
        assert other.get(path).status == 403
    assert sign_in(people.owner).get("/grants/99").status == 404
    assert sign_in(people.owner).get("/record/99/certification.pdf").status == 404


def test_a_name_is_never_read_as_markup(sign_in, people, granted, store, paper):
    with store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE person SET name = '<b>Bo</b> & \"Co\"' WHERE id = 3")
    reader = read(sign_in(people.owner), paper)
    assert said('<b>Bo</b> & "Co"', reader)
    assert re.search(r"&amp;|&lt;", words(reader)) is None
