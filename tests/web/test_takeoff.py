"""The take-off pages: the form, the job sheet, the PDF, and the jobs that are kept."""

from __future__ import annotations

import io
from datetime import timedelta
from urllib.parse import urlencode

import pytest
from bs4 import BeautifulSoup
from pypdf import PdfReader

from trainer import takeoff
from trainer.languages import LANGUAGES
from trainer.records import queries
from trainer.takeoff import FIELDS, PARTS, sheet

TYPED = {
    "chimney_length": "40 1/2 in",
    "chimney_width": "24 in",
    "flue_1": "13 x 13 in",
    "above_wall_1": "12 in",
    "flue_2": "8 1/2 x 13 in",
    "above_wall_2": "6 in",
    "flue_thickness": "5 1/2 in",
    "pitch": "8 in 12",
    "poured_on": "2026-12-01",
    "coverage": "50 ft2/gal",
    "wall_thickness": "7/8 in",
    "ridge_distance": "9 ft",
    "old_thickness": "3 in",
    "brick_rise": "16 in",
    "brick_depth": "3 5/8 in",
    "repoint_rise": "4 ft",
}


def query(typed=TYPED, parts=tuple(PARTS), **more):
    return urlencode([*typed.items(), *(("part", part) for part in parts), *more.items()])


@pytest.fixture
def hire(sign_in, people):
    return sign_in(people.apprentice)


@pytest.fixture
def whole():
    return takeoff.run(takeoff.read(TYPED, PARTS))


@pytest.fixture
def kept(store, people):
    def rows():
        with store.read() as session:
            return queries.jobs(session, people.owner).items

    return rows


def test_a_fresh_form_holds_the_shops_figures_and_every_field(hire, sign_in, people):
    sign_in(people.owner).submit("/standard", {"overhang": "2 1/2 in", "cure": "21 days"})
    page = hire.get("/take-off")
    form = page.soup.select_one("main form")
    assert form["method"] == "get" and not form.select("input[name=csrf_token]")
    names = {item["name"] for item in form.select("input[name], select[name]")}
    assert names == {*FIELDS, "part"}
    assert (
        form.select_one("#overhang")["value"] == "2 1/2 in" and form.select_one("#cure")["value"] == "21 days"
    )
    assert form.select_one("#poured_on")["value"] == "2026-11-25", "today on the shop's calendar"
    checked = {box["value"] for box in form.select("input[name=part][checked]")}
    assert checked == {part.name for part in PARTS.values() if part.on}
    for item in form.select("input:not([type=hidden]), select"):
        assert form.select_one(f"label[for={item['id']}]"), item


def test_the_form_leads_to_the_sheet_and_nothing_is_stored(hire, kept):
    page = hire.get(f"/take-off/sheet?{query()}")
    assert page.status == 200 and page.soup.h1.text == "Job sheet" and not page.errors
    assert not kept()


def test_the_sheet_lists_every_material_and_opens_its_working(hire, whole):
    soup = hire.get(f"/take-off/sheet?{query()}").soup
    rows = [
        [cell.get_text(" ", strip=True) for cell in row.select("td")]
        for row in soup.select(".materials tbody tr")
    ]
    assert rows == [[line.item, line.shown] for line in sheet.materials(whole)]
    for link in soup.select(".materials a"):
        opened = soup.select_one(link["href"])
        assert opened.select("ol.working li"), link
    assert len(soup.select("details.link")) == len(whole.outcomes)
    shown = {each.text for each in soup.select("#of-bags .gives")}
    assert "= 5" in shown and "= 400 lb" in shown


def test_the_sheet_draws_the_crown_and_the_mat(hire):
    soup = hire.get(f"/take-off/sheet?{query()}").soup
    captions = [each.text for each in soup.select("figure.drawing figcaption")]
    for words in (
        "Crown, plan",
        "Crown, section",
        "Rebar mat, plan",
        "Flue 1: cut or extend",
        "Flue 2: cut or extend",
    ):
        assert any(words in caption for caption in captions), words
    svgs = soup.select("figure.drawing svg")
    assert len(svgs) == len(captions)
    ids = [tag["id"] for tag in soup.select("[id]")]
    assert len(ids) == len(set(ids)), "two drawings share an id"


def test_the_cautions_stand_on_the_sheet(hire):
    page = hire.get(f"/take-off/sheet?{query()}")
    boxes = page.soup.select("aside.caution")
    assert boxes[0].text.split()[0] == "DANGER"
    assert "local code" in boxes[-1].text and any("licensed for it" in box.text for box in boxes)


def test_what_one_part_lacks_is_said_and_the_rest_is_worked_out(hire):
    typed = {name: text for name, text in TYPED.items() if name not in ("coverage", "ridge_distance")}
    page = hire.get(f"/take-off/sheet?{query(typed)}")
    said = [item.get_text(" ", strip=True) for item in page.soup.select(".refused li")]
    assert (
        len(said) == 2
        and said[0].startswith("Coating")
        and "it is missing; give 1 to 1,000 ft²/gal." in said[0]
    )
    assert page.soup.select(".materials tbody tr")
    assert "not worked out" in page.soup.select_one("details.link:has(#of-pails) summary").text
    form = hire.get(page.soup.select_one(".refused a")["href"].partition("#")[0])
    assert page.soup.select_one(".refused a")["href"].endswith("#coverage")
    assert "it is missing" in form.soup.select_one("#coverage-error").text.lower()
    assert form.soup.select_one("#chimney_length")["value"] == "40 1/2 in"


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("chimney_width", "4,5 in", "point"),
        ("chimney_width", "3 in", "It cannot be 3 in; give 8 to 240 in."),
        ("chimney_width", "", "It is missing; give 8 to 240 in."),
        ("overhang", "1/2 in", "looser than every source"),
        ("flue_1", "13 by", "13 by"),
        ("flue_1", "30 x 30 in", "inside"),
        ("poured_on", "01/02/2027", "year-month-day"),
        ("max_projection", "9 in", "looser than every source"),
    ],
)
def test_a_wrong_number_is_said_at_its_field_and_nothing_typed_is_lost(hire, field, text, said):
    page = hire.get(f"/take-off/sheet?{query(TYPED | {field: text})}")
    assert page.status == 200 and page.soup.h1.text == "Take-off of a chimney"
    assert said in page.soup.select_one(f"#{field}-error").text
    item = page.soup.select_one(f"#{field}")
    assert item["value"] == text and item["aria-invalid"] == "true"
    for name, other in TYPED.items():
        if name != field:
            assert page.soup.select_one(f"#{name}")["value"] == other
    folded = item.find_parent("details")
    assert folded is None or folded.has_attr("open")


@pytest.mark.parametrize("job", ["99", "9" * 30, "-1", "x", "²"])
def test_a_job_there_is_not_in_the_address_changes_nothing(hire, job):
    page = hire.get(f"/take-off/sheet?{query(job=job)}")
    assert page.status == 200 and page.soup.select("form[action='/take-off/jobs']")


def test_a_choice_that_is_none_of_them_is_refused(hire):
    page = hire.get(f"/take-off/sheet?{query(TYPED | {'bar': '#9'})}")
    assert page.soup.select_one("#bar-error") and page.soup.h1.text == "Take-off of a chimney"


def test_a_figure_looser_than_the_shops_is_told(hire):
    page = hire.get(f"/take-off/sheet?{query(TYPED | {'overhang': '1 1/2 in'})}")
    assert "this job 1 1/2 in, the shop 2 in. Stricter:" in page.text
    assert "Not the shop's own figures" not in hire.get(f"/take-off/sheet?{query()}").text


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_the_pdf_has_every_line_and_the_drawings(sign_in, people, whole, language, paper):
    browser = sign_in(people.trainer, language)
    answer = browser.client.get(f"/take-off/sheet.pdf?{query(paper=paper, title='Maple Street 12')}")
    assert answer.status_code == 200 and answer.mimetype == "application/pdf"
    reader = PdfReader(io.BytesIO(answer.data))
    assert reader.trailer["/Root"]["/Lang"] == language and reader.metadata.title == "Maple Street 12"
    # Spaces are left out: a PDF breaks lines where it likes.
    text = "".join("".join(page.extract_text() for page in reader.pages).split())
    lines = [
        *(f"{line.item}{line.shown}" for line in sheet.materials(whole, language)),
        *(f"{what}{weight}" for what, weight, _ in sheet.loads(whole, language)),
        *(what for what, _ in sheet.steps(whole, language)),
        *(sentence for _, sentence in sheet.cautions(whole, language)),
        *(pieces for _, pieces in sheet.cuts(whole, language)),
    ]
    assert len(lines) > 40
    missing = [line for line in lines if "".join(line.split()) not in text]
    assert not missing
    # The lettering of the drawings is text in the PDF.
    for words in {"en": ("slab length 44 1/2 in", "drip groove"), "es": ("44 1/2 in", "goterón")}[language]:
        assert "".join(words.split()) in text, words
    assert "Ridgeline" in text


@pytest.mark.parametrize("more", [{"paper": "A3"}, {"paper": "letter; } body"}])
def test_a_paper_there_is_not_is_refused(hire, more):
    assert hire.get(f"/take-off/sheet.pdf?{query(**more)}").status == 400
    assert hire.get("/take-off/sheet.pdf?chimney_length=abc").status == 400


class TestKept:
    def save(self, browser, title="Maple Street 12", **more):
        return browser.submit(
            f"/take-off/sheet?{query(TYPED | more)}", {"title": title}, form="/take-off/jobs"
        )

    def test_a_job_is_saved_opened_by_everyone_and_the_same_sheet_again(
        self, hire, sign_in, people, kept, whole
    ):
        page = self.save(hire)
        assert (
            page.path == "/take-off/jobs/1"
            and "Saved." in page.text
            and page.soup.h1.text == "Maple Street 12"
        )
        (row,) = kept()
        assert {name: row.texts[name] for name in TYPED} == TYPED and set(row.parts) == set(PARTS)
        for person in (people.owner, people.trainer, people.second):
            soup = sign_in(person).get("/take-off/jobs/1").soup
            shown = [row.get_text(" ", strip=True) for row in soup.select(".materials td.num")]
            assert shown == [line.shown for line in sheet.materials(whole)]
            assert sign_in(person).get("/take-off/jobs").soup.select(".list a")[0].text == "Maple Street 12"

    def test_one_form_sent_twice_saves_once(self, hire, kept):
        page = hire.get(f"/take-off/sheet?{query()}")
        form = page.soup.select_one("form[action='/take-off/jobs']")
        data = {item["name"]: item.get("value", "") for item in form.select("input[name]:not([name=part])")}
        data |= {"title": "Twice", "part": list(PARTS)}
        answers = {hire.client.post("/take-off/jobs", data=data).location for _ in range(2)}
        assert answers == {"/take-off/jobs/1"} and len(kept()) == 1

    def test_a_job_saved_without_a_day_never_gets_one_by_itself(self, hire, clock, kept):
        self.save(hire, poured_on="")
        assert "poured_on" not in kept()[0].texts
        clock.now += timedelta(hours=11)  # the next day in the shop
        page = hire.get("/take-off/jobs/1")
        assert [item.get_text(" ", strip=True) for item in page.soup.select(".refused li")] == [
            "Dates – day of the pour: it is missing; give year-month-day such as 2026-11-25, 2000-01-01 to 2099-12-31."
        ]

    def test_a_job_without_a_name_is_asked_for_one(self, hire, kept):
        page = self.save(hire, title="")
        assert "Fill this in." in page.soup.select_one("#title-error").text and not kept()
        assert page.soup.select_one("input[name=chimney_length]")["value"] == "40 1/2 in"

    def test_numbers_of_a_saved_job_are_changed_by_who_may(self, hire, sign_in, people, kept):
        self.save(hire)
        trainer = sign_in(people.trainer)
        link = trainer.get("/take-off/jobs/1").soup.find("a", string="Change the numbers")["href"]
        form = trainer.get(link)
        assert "You are changing Maple Street 12." in form.text
        assert form.soup.select_one("#chimney_length")["value"] == "40 1/2 in"
        assert form.soup.select_one("input[name=job]")["value"] == "1"
        changed = f"/take-off/sheet?{query(TYPED | {'chimney_length': '44 in'}, job='1')}"
        page = trainer.submit(changed, {}, form="/jobs/1/change")
        assert page.path == "/take-off/jobs/1" and "Last changed on" in page.text
        assert kept()[0].texts["chimney_length"] == "44 in"
        other = sign_in(people.second)
        assert not other.get(changed).soup.select("form[action$='/change']"), (
            "saved as a job of their own instead"
        )
        assert other.get(changed).soup.select("form[action='/take-off/jobs']")
        assert other.post("/take-off/jobs/1/change", {"title": "Mine"}).status == 403

    def test_a_removed_job_is_gone_from_the_list(self, hire, sign_in, people, kept):
        self.save(hire)
        assert sign_in(people.second).post("/take-off/jobs/1/remove").status == 403
        assert not sign_in(people.second).get("/take-off/jobs/1").soup.select("form[action$='/remove']")
        page = hire.submit("/take-off/jobs/1", {}, form="/remove")
        assert page.path == "/take-off/jobs" and "No job has been kept yet." in page.text and not kept()
        assert hire.get("/take-off/jobs/1").status == 404
        events = sign_in(people.owner).get("/history").text
        assert "Take-off saved" in events and "Take-off removed" in events and "Maple Street 12" in events

    def test_the_pages_cost_the_same_for_many_jobs(self, hire, count_statements):
        def cost():
            with count_statements() as seen:
                pages = [
                    hire.get(path).status
                    for path in (
                        "/take-off",
                        f"/take-off/sheet?{query()}",
                        "/take-off/jobs",
                        "/take-off/jobs/1",
                    )
                ]
            assert pages == [200] * 4
            return len(seen)

        self.save(hire)
        few = cost()
        for number in range(12):
            self.save(hire, title=f"Job {number}")
        assert cost() == few and 0 < few <= 4 * 6


def test_every_role_finds_it_in_the_bar(sign_in, people):
    for person in (people.owner, people.trainer, people.apprentice):
        soup = sign_in(person).get("/account").soup
        assert soup.select_one(".bar a[href='/take-off']").text == "Take-off"


def test_the_pages_in_spanish_say_nothing_in_english(sign_in, people):
    browser = sign_in(people.trainer, "es")
    page = browser.submit(
        f"/take-off/sheet?{query(TYPED | {'overhang': '1 1/2 in'})}",
        {"title": "Calle Arce"},
        form="/take-off/jobs",
    )
    for path in (
        "/take-off",
        page.path,
        "/take-off/jobs",
        f"/take-off/sheet?{query({'chimney_length': '40'})}",
    ):
        soup = BeautifulSoup(browser.get(path).html, "html.parser")
        for hidden in soup.select("header form, .slip, #of-none"):
            hidden.decompose()
        words = set(soup.get_text(" ").lower().split())
        assert not words & {
            "the",
            "with",
            "flue",
            "crown",
            "missing;",
            "bags",
            "bag",
            "thickness",
            "left",
            "steel",
        }, path
