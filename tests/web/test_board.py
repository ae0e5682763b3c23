"""The clearance board and one standing: what the owner sees, grants, suspends and lifts.

What each clearance asks for is in question_bank/clearances.toml; the days follow from its 365 days.
"""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime, timedelta

import pytest

from tests.shipped import shipped_content
from trainer.records import people as records_people
from trainer.records.cells import harmless
from trainer.web import boards
from trainer.web.forms.board import PROMPTS

GROUND = "on-the-ground"


@pytest.fixture
def where(people):
    return f"/board/{people.apprentice.id}/{GROUND}"


@pytest.fixture
def granted(acts, people, sign_in, where):
    """The owner has cleared the apprentice for work on the ground."""
    acts.make_ready(people.apprentice)
    assert "Granted." in sign_in(people.owner).submit(where, {}, form="/grant").text


def cells(page, name):
    """The states on a person's row of the board, by clearance."""
    row = next(
        row for row in page.soup.select("table.board tbody tr") if next(row.th.stripped_strings) == name
    )
    return {cell["data-label"]: " ".join(cell.get_text(" ").split()) for cell in row.select("td")}


def test_the_board_shows_everyone_by_every_clearance(sign_in, people):
    page = sign_in(people.owner).get("/board")
    names = [next(name.stripped_strings) for name in page.soup.select("table.board tbody th")]
    assert names == ["Jess Lindqvist", "Luis Barrera", "Nora Whitfield", "Tom Okafor"]
    rules = shipped_content().rules
    assert list(cells(page, "Luis Barrera")) == [rule.name.en for rule in rules.clearances.values()]
    assert set(cells(page, "Luis Barrera").values()) == {"– not cleared"}  # a mark and a word


def test_a_phone_shows_one_line_of_whoever_holds_nothing(sign_in, people, granted, where):
    def in_short(page):
        rows = page.soup.select("table.board tr.holds-nothing")
        return {next(row.th.stripped_strings): row.th.a["href"] for row in rows}

    owner = sign_in(people.owner)
    page = owner.get("/board")
    assert list(in_short(page)) == ["Jess Lindqvist", "Nora Whitfield", "Tom Okafor"]
    assert "– not cleared for anything" in page.text
    assert owner.get(in_short(page)["Jess Lindqvist"]).soup.h1.get_text(strip=True) == "Jess Lindqvist"
    # The record tells of today and of every clearance, so another day and one clearance alone show the cells.
    assert not in_short(owner.get("/board", on="2026-11-26")) and not in_short(
        owner.get("/board", clearance=GROUND)
    )
    owner.submit(f"{where}/suspend", {"prompt": "other", "reason": "Rope"}, form="/suspend")
    assert "Luis Barrera" not in in_short(owner.get("/board"))


def test_the_board_says_what_it_is_not(sign_in, people):
    text = sign_in(people.trainer).get("/board").text
    assert "does not make anyone safe" in text and "competent person on site decides on the day" in text


def test_a_grant_shows_on_the_board_until_its_evidence_runs_out(sign_in, people, granted, clock):
    owner = sign_in(people.owner)
    assert cells(owner.get("/board"), "Luis Barrera")["On the ground"] == "✓ cleared until 25 Nov 2027"
    # 365 days from 25 November 2026: good on the last day, gone the day after.
    on = clock.now.date() + timedelta(days=365)
    assert cells(owner.get("/board", on=on.isoformat()), "Luis Barrera")["On the ground"].startswith(
        "✓ cleared"
    )
    after = owner.get("/board", on=(on + timedelta(days=1)).isoformat())
    assert cells(after, "Luis Barrera")["On the ground"] == "✗ lapsed"
    assert "as far as is known today" in after.text


def test_an_evening_in_the_shop_is_that_day_on_the_board(sign_in, people, acts, where, clock):
    """Denver is seven hours behind UTC in winter and six in summer (IANA time zone database): at 23:30 UTC is a day on."""
    clock.now = datetime(2026, 11, 26, 6, 30, tzinfo=UTC)  # 23:30 on the 25th
    acts.make_ready(people.apprentice)
    owner = sign_in(people.owner)
    assert "Granted." in owner.submit(where, {}, form="/grant").text
    page = owner.get("/board")
    assert "Who may do what on 25 November 2026" in page.text
    assert cells(page, "Luis Barrera")["On the ground"] == "✓ cleared until 25 Nov 2027"
    assert "Luis Barrera" not in owner.get("/board", on="2026-11-24").soup.select_one("table.board").text, (
        "not yet hired"
    )
    last, after = (cells(owner.get("/board", on=day), "Luis Barrera") for day in ("2027-11-25", "2027-11-26"))
    assert last["On the ground"].startswith("✓ cleared") and after["On the ground"] == "✗ lapsed"
    clock.now = datetime(2027, 11, 26, 6, 59, tzinfo=UTC)  # a minute before its last day is over
    assert cells(sign_in(people.owner).get("/board"), "Luis Barrera")["On the ground"].startswith("✓ cleared")
    clock.now = datetime(2027, 11, 26, 7, 0, tzinfo=UTC)
    assert cells(sign_in(people.owner).get("/board"), "Luis Barrera")["On the ground"] == "✗ lapsed"


def test_a_day_before_the_evidence_shows_what_stood_then(sign_in, people, acts, where, clock):
    clock.now += timedelta(days=2)
    acts.make_ready(people.apprentice)
    assert "Granted." in sign_in(people.owner).submit(where, {}, form="/grant").text
    page = sign_in(people.owner).get("/board", on="2026-11-26")
    assert cells(page, "Luis Barrera")["On the ground"] == "– not cleared" and "as it stood then" in page.text


def test_a_day_before_anyone_came_lists_nobody(sign_in, people):
    page = sign_in(people.owner).get("/board", on="2026-11-24")
    assert page.status == 200 and not page.soup.select("table.board tbody tr")


def test_a_cell_leads_to_the_standing_on_the_same_day(sign_in, people, granted):
    owner = sign_in(people.owner)
    links = [link["href"] for link in owner.get("/board", on="2027-11-26").soup.select("table.board td a")]
    page = owner.get(next(link for link in links if f"/{people.apprentice.id}/{GROUND}" in link))
    assert page.status == 200 and "lapsed on 26 November 2027" in page.text
    assert not page.soup.select("main form"), "nothing is granted or suspended on another day"


@pytest.mark.parametrize("on", ["tomorrow", "2026-02-30", "25/11/2026", "99999-01-01"])
def test_a_day_that_is_none_says_how_it_is_written_and_shows_today(sign_in, people, on):
    page = sign_in(people.owner).get("/board", on=on)
    assert page.status == 200
    assert page.errors == [f"Day: {on} is no date; write year, month and day, such as 2026-11-25."]
    assert "Who may do what on 25 November 2026" in page.text


@pytest.mark.parametrize("on", ["0001-01-01", "9999-12-31", "2028-02-29", "2026-11-25"])
def test_any_day_of_the_calendar_can_be_asked_for(sign_in, people, granted, on):
    page = sign_in(people.owner).get("/board", on=on)
    assert page.status == 200 and not page.errors
    assert sign_in(people.owner).get(f"/board/{people.apprentice.id}/{GROUND}", on=on).status == 200


def test_the_standing_gives_a_reason_for_every_requirement(sign_in, people, where):
    page = sign_in(people.trainer).get(where)
    needs = shipped_content().rules.clearances[GROUND].requires
    said = [" ".join(item.get_text(" ").split()) for item in page.soup.select("main > ul.list > li")]
    assert len(said) == len(needs) and all("✗ missing" in one for one in said)
    assert "Lesson read: Roof protection ✗ missing Not read yet." in said


def test_met_requirements_say_by_what_and_until_when(sign_in, people, acts, where):
    acts.make_ready(people.apprentice)
    text = sign_in(people.owner).get(where).text
    assert "ready to grant" in text
    assert "Crowns and roofs: 100 % on 25 Nov 2026, good through 25 Nov 2027." in text


def test_the_owner_grants_when_ready_and_the_evidence_is_kept(sign_in, people, granted, where):
    page = sign_in(people.owner).get(where)
    assert (
        "From 25 November 2026 until 25 November 2027" in page.text
        and "granted by Nora Whitfield" in page.text
    )
    evidence = page.soup.find("summary", string="The evidence it rested on").parent
    assert "Lesson read: Roof protection: Read on 25 Nov 2026." in " ".join(evidence.get_text(" ").split())
    assert not page.soup.select("form[action$='/grant']")


def test_a_person_who_is_not_ready_cannot_be_granted_and_the_reasons_are_listed(sign_in, people, where):
    owner = sign_in(people.owner)
    page = owner.get(where)
    assert not page.soup.select("form[action$='/grant']") and "It cannot be granted yet" in page.text
    refused = owner.post(f"{where}/grant")  # as from a page that was opened before something ran out
    assert refused.status == 200 and "Not granted" in refused.text
    assert "Lesson read: Roof protection: Not read yet." in refused.errors
    assert cells(owner.get("/board"), "Luis Barrera")["On the ground"] == "– not cleared"


def test_a_renewal_is_offered_only_when_it_lasts_longer(sign_in, people, acts, granted, where, clock):
    owner = sign_in(people.owner)
    assert not owner.get(where).soup.select("form[action$='/grant']")
    clock.now += timedelta(days=30)
    acts.sit(people.apprentice, acts.assign(people.apprentice, ["first-thing-up", "rocking-stack"]))
    owner = sign_in(people.owner)  # the last sign-in has run out meanwhile
    assert "Granted." in owner.submit(where, {}, form="/grant").text
    assert cells(owner.get("/board"), "Luis Barrera")["On the ground"] == "✓ cleared until 25 Dec 2027"


def test_nobody_clears_themselves(sign_in, people, acts):
    mine = f"/board/{people.owner.id}/{GROUND}"
    acts.make_ready(people.owner)
    owner = sign_in(people.owner)
    page = owner.get(mine)
    assert "Nobody clears themselves" in page.text and not page.soup.select("form[action$='/grant']")
    assert owner.post(f"{mine}/grant").status == 403


def test_a_trainer_suspends_at_once_with_a_reason(sign_in, people, granted, where):
    trainer = sign_in(people.trainer)
    page = trainer.submit(where, {"prompt": "gap", "reason": "Unclipped to pass the ridge."}, form="/suspend")
    assert "Suspended from this moment." in page.text
    assert f"{PROMPTS['gap']}. Unclipped to pass the ridge." in page.text
    assert cells(trainer.get("/board"), "Luis Barrera")["On the ground"] == "‖ suspended"
    assert not page.soup.select("form[action*='/suspend']") and "Only an owner lifts it." in page.text


def test_a_suspension_needs_words_of_its_own_and_keeps_what_was_chosen(sign_in, people, where):
    page = sign_in(people.owner).submit(where, {"prompt": "equipment", "reason": "  "}, form="/suspend")
    assert page.status == 200 and page.errors == ["What happened: Fill this in."]
    assert page.soup.select_one("input[name=prompt][checked]")["value"] == "equipment"
    assert page.soup.select_one("#suspend").has_attr("open")
    assert cells(sign_in(people.owner).get("/board"), "Luis Barrera")["On the ground"] == "– not cleared"


def test_the_suggested_occasions_are_those_of_the_rule_and_leave_the_decision_where_it_belongs(
    sign_in, people, where
):
    # 29 CFR 1926.503(c)(1) to (3): the workplace changed; fall protection systems or equipment changed; inadequacies
    # in the person's knowledge or use (facts read from the rule, wording ours).
    page = sign_in(people.trainer).get(where)
    offered = [option["value"] for option in page.soup.select("#suspend input[name=prompt]")]
    assert offered == ["workplace", "equipment", "gap", "other"]
    text = page.soup.select_one("#suspend").get_text(" ", strip=True)
    assert "29 CFR 1926.503(c)" in text and "employer's competent person" in text and "local rules" in text


def test_a_second_suspension_says_that_it_is_so_and_keeps_what_was_typed(sign_in, people, where, store):
    trainer = sign_in(people.trainer)
    trainer.submit(where, {"prompt": "other", "reason": "Near miss."}, form="/suspend")
    page = trainer.post(f"{where}/suspend", {"prompt": "other", "reason": "Untied on the ridge."})
    assert page.status == 200 and "Luis Barrera is suspended from On the ground already." in page.text
    assert "Nothing was stored this time." in page.text
    assert page.soup.blockquote.get_text() == "Untied on the ridge."
    assert "Near miss. (Tom Okafor)" in page.text  # what stands
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM suspension").scalar() == 1


def test_a_second_grant_says_that_it_is_so(sign_in, people, granted, where, store):
    owner = sign_in(people.owner)
    answer = owner.client.post(f"{where}/grant", data={"csrf_token": owner.token()}, follow_redirects=True)
    page = owner._page(answer)
    assert page.status == 200 and page.path == where
    assert "Luis Barrera is cleared for On the ground already" in page.soup.select_one(".flash").get_text()
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM clearance_grant").scalar() == 1


def test_a_second_lift_says_that_it_is_so_and_keeps_what_was_typed(sign_in, people, granted, where):
    owner = sign_in(people.owner)
    owner.submit(where, {"prompt": "other", "reason": "Near miss."}, form="/suspend")
    owner.post(f"{where}/lift/1", {"reason": "Trained again."})
    page = owner.post(f"{where}/lift/1", {"reason": "Seen doing it right."})
    assert page.status == 200 and "It was lifted already." in page.text
    assert page.soup.blockquote.get_text() == "Seen doing it right."
    assert owner.post(f"{where}/lift/9", {"reason": "Trained again."}).status == 404


def test_the_owner_lifts_with_a_reason(sign_in, people, granted, where):
    owner = sign_in(people.owner)
    owner.submit(where, {"prompt": "other", "reason": "Near miss."}, form="/suspend")
    empty = owner.submit(where, {"reason": ""}, form="/lift")
    assert empty.errors == ["Why it is lifted: Fill this in."]
    page = owner.submit(where, {"reason": "Trained again on the harness."}, form="/lift")
    assert "The suspension is lifted." in page.text
    assert "Lifted on 25 November 2026 by Nora Whitfield: Trained again on the harness." in page.text
    assert cells(owner.get("/board"), "Luis Barrera")["On the ground"].startswith("✓ cleared")


def test_a_suspension_is_lifted_only_under_its_own_address(sign_in, people, granted, where):
    owner = sign_in(people.owner)
    owner.submit(where, {"prompt": "other", "reason": "Near miss."}, form="/suspend")
    for other in (
        f"/board/{people.trainer.id}/{GROUND}",
        f"/board/{people.apprentice.id}/ladder-and-staging",
    ):
        assert owner.post(f"{other}/lift/1", {"reason": "Trained again."}).status == 404
    assert cells(owner.get("/board"), "Luis Barrera")["On the ground"] == "‖ suspended"


def test_unknown_people_and_clearances_are_404(sign_in, people):
    owner = sign_in(people.owner)
    assert owner.get(f"/board/{people.apprentice.id}/the-moon").status == 404
    assert owner.post(f"/board/{people.apprentice.id}/the-moon/grant").status == 404
    assert owner.get(f"/board/999/{GROUND}").status == 404
    assert owner.post(f"/board/{people.apprentice.id}/{GROUND}/lift/999", {"reason": "x"}).status == 404


def test_a_deactivated_person_leaves_the_board(sign_in, people, granted):
    owner = sign_in(people.owner)
    owner.post(f"/people/{people.apprentice.id}/deactivate")
    page = owner.get("/board")
    assert "Luis Barrera" not in page.text
    assert "This person is deactivated." in owner.get(f"/board/{people.apprentice.id}/{GROUND}").text


def test_in_spanish(sign_in, people, granted, where):
    page = sign_in(people.owner, "es").get("/board")
    assert cells(page, "Luis Barrera")["En el suelo"].startswith("✓ vigente")
    assert "Lección leída: Protección del techo" in sign_in(people.owner, "es").get(where).text


def test_what_was_typed_is_never_markup(sign_in, people, where):
    page = sign_in(people.owner).submit(
        where, {"prompt": "other", "reason": "<script>alert(1)</script>"}, form="/suspend"
    )
    assert "<script>alert" not in page.html and "<script>alert(1)</script>" in page.text


@pytest.mark.parametrize(("path", "most"), [("/board", 17), ("/board/3/on-the-ground", 20)])
def test_statements_do_not_grow_with_the_people(
    sign_in, people, granted, crowd, count_statements, path, most
):
    owner = sign_in(people.owner)
    owner.get(path)
    with count_statements() as few:
        owner.get(path)
    crowd(36)
    with count_statements() as many:
        page = owner.get(path)
    assert page.status == 200 and len(few) == len(many) <= most, many
    if path == "/board":
        assert len(page.soup.select("table.board tbody tr")) == 40


def column(page):
    return [head.get_text(strip=True) for head in page.soup.select("table.board thead th")]


def names(page):
    return [next(name.stripped_strings) for name in page.soup.select("table.board tbody th")]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"name": "lu"}, ["Luis Barrera"]),
        ({"name": "nobody"}, []),
        ({"role": "owner"}, ["Nora Whitfield"]),
        ({"show": "cleared"}, ["Luis Barrera"]),
        ({"show": "cleared", "clearance": "lead-hand"}, []),
        ({"show": "not", "clearance": GROUND}, ["Jess Lindqvist", "Nora Whitfield", "Tom Okafor"]),
        ({"show": "not", "role": "apprentice", "clearance": GROUND}, ["Jess Lindqvist"]),
    ],
)
def test_the_board_shows_the_part_that_is_asked_for(sign_in, people, granted, asked, found):
    page = sign_in(people.owner).get("/board", **asked)
    assert names(page) == found and f"{len(found)} of 4 people" in page.text
    assert len(column(page)) == (2 if "clearance" in asked else 1 + len(shipped_content().rules.clearances))


def test_what_ends_soon_is_counted_and_listed(sign_in, people, granted):
    """The grant ends with the paper, 365 days after 25 November 2026: 25 November 2027 is its last good day."""
    owner = sign_in(people.owner)
    for on, counted in (
        ("2027-08-26", (0, 0, 0)),
        ("2027-08-27", (0, 0, 1)),
        ("2027-10-26", (1, 1, 1)),
        ("2027-11-26", (0, 0, 0)),
    ):
        text = owner.get("/board", on=on).text
        assert (
            "What ends: "
            + " , ".join(
                f"within {days} days: {number}" for days, number in zip((30, 60, 90), counted, strict=True)
            )
            in text
        ), on
    page = owner.get("/board", on="2027-11-25", show="30")
    assert "Luis Barrera: On the ground until 25 November 2027" in page.text and not names(page)
    assert "Nothing." in owner.get("/board", on="2027-11-26", show="90").text


def pages_of(browser, **asked):
    """Every page of the board, by its links."""
    found, address = [browser.get("/board", **asked)], True
    while address := found[-1].soup.select_one("nav a[rel=next]"):
        found.append(browser.get(address["href"]))
        assert len(found) < 10
    return found


def test_a_board_of_many_people_comes_in_pages_that_say_the_same(
    sign_in, people, granted, crowd, monkeypatch
):
    crowd(5)
    owner = sign_in(people.owner)
    whole = owner.get("/board")
    said = {name: cells(whole, name) for name in names(whole)}
    monkeypatch.setattr(boards, "PEOPLE_ON_PAGE", 2)
    pages = pages_of(owner)
    assert [name for page in pages for name in names(page)] == list(said) and len(said) == 9
    assert [len(names(page)) for page in pages] == [2, 2, 2, 2, 1]
    assert said == {name: cells(page, name) for page in pages for name in names(page)}
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of 5" in page.text
        # What ends is not counted, as that would judge everyone.
        assert "What ends: within 30 days , within 60 days , within 90 days" in page.text
        assert not page.soup.select("main details[open]"), "no part is asked for"
    assert names(owner.get("/board", page="99")) == names(pages[-1])
    assert names(owner.get("/board", page="x")) == names(owner.get("/board", page="-1")) == names(pages[0])
    assert not whole.soup.select("nav a[rel=next]") and "Page 1" not in whole.text


@pytest.mark.parametrize(
    "asked",
    [
        {"name": "Tom"},
        {"show": "cleared"},
        {"show": "not", "clearance": GROUND},
        {"role": "apprentice", "clearance": GROUND, "on": "2027-11-26"},
        {"role": "apprentice", "show": "31"},
        {"show": "cleared", "clearance": "moon"},
        {"show": "31", "on": "2026-12-20"},
        {"name": "nobody of that name"},
    ],
)
def test_a_part_of_many_people_is_the_same_in_pages(sign_in, people, granted, crowd, monkeypatch, asked):
    crowd(5)
    owner = sign_in(people.owner)

    def seen():
        pages = pages_of(owner, **asked)
        for page in pages:
            assert column(page) == column(pages[0])
            assert page.soup.select_one("main p.lead").text == pages[0].soup.select_one("main p.lead").text
        # A mistake is told where it was made; the pages after it carry on with the rest.
        said = (pages[0].errors, [name for page in pages for name in names(page)])
        return *said, owner.get("/board/table.csv", **asked).html

    one_page = seen()
    monkeypatch.setattr(boards, "PEOPLE_ON_PAGE", 2)
    assert seen() == one_page
    assert len(one_page[2].splitlines()) == 1 + len(one_page[1])


def test_what_ends_is_listed_whole_in_a_shop_of_many(sign_in, people, granted, monkeypatch):
    monkeypatch.setattr(boards, "PEOPLE_ON_PAGE", 1)
    page = sign_in(people.owner).get("/board", on="2027-11-25", show="30")
    assert "Luis Barrera: On the ground until 25 November 2027" in page.text


@pytest.mark.parametrize(
    "asked", [{"role": "king"}, {"clearance": "moon"}, {"show": "31"}, {"name": "x" * 121}]
)
def test_a_part_that_is_not_offered_is_said_and_everything_is_shown(sign_in, people, asked):
    page = sign_in(people.owner).get("/board", **asked)
    assert page.status == 200 and len(page.errors) == 1 and len(names(page)) == 4
    assert len(sign_in(people.owner).get("/board/table.csv", **asked).html.splitlines()) == 5


def test_the_table_holds_what_the_page_shows(sign_in, people, granted):
    answer = sign_in(people.owner).get("/board/table.csv", clearance=GROUND)
    assert answer.headers["Content-Type"].startswith("text/csv")
    assert answer.headers["Content-Disposition"] == "attachment; filename=board-2026-11-25.csv"
    rows = list(csv.reader(io.StringIO(answer.html.removeprefix("\ufeff"))))
    assert rows[0] == ["Name", "On the ground", "On the ground: until"]
    assert ["Luis Barrera", "cleared", "2027-11-25"] in rows and ["Tom Okafor", "not cleared", ""] in rows
    spanish = sign_in(people.owner, "es").get("/board/table.csv", show="30", on="2027-11-20")
    assert [row[:2] for row in csv.reader(io.StringIO(spanish.html.removeprefix("\ufeff")))] == [
        ["Nombre", "En el suelo"],
        ["Luis Barrera", "vigente"],
    ]


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-1", "'-1"),
        ("@x", "'@x"),
        ("\t=1", "'\t=1"),
        ("  =1", "'  =1"),
        ("\r=1", "'\r=1"),
        ("Ana", "Ana"),
        ("", ""),
        ("A=1", "A=1"),
    ],
)
def test_no_cell_is_taken_for_a_formula(text, cell):
    """The characters are those that OWASP's page on CSV injection lists (from memory)."""
    assert harmless(text) == cell


def test_a_name_that_is_a_formula_is_harmless_in_the_table(sign_in, people, store, clock):
    with store.write() as session:
        records_people.add_person(
            session, people.owner, clock.now, name='=HYPERLINK("x")', sign_in="eq", roles=["apprentice"]
        )
    rows = list(csv.reader(io.StringIO(sign_in(people.owner).get("/board/table.csv").html)))
    assert '\'=HYPERLINK("x")' in [row[0] for row in rows]


def test_the_whole_page_takes_seventeen_statements_however_many_people(
    sign_in, people, crowd, count_statements
):
    owner = sign_in(people.owner)
    with count_statements() as few:
        owner.get("/board")
    crowd(15)
    with count_statements() as many:
        owner.get("/board")
    assert 0 < len(few) == len(many) <= 17, many
