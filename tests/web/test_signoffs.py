"""A trainer signs off a practical task: read back first, stored only when confirmed."""

from __future__ import annotations

import pytest

from tests.web.sign_off_form import FORM, GOOD, PASSED
from trainer.records.models import SignOff


def read_back(browser, fields, path=FORM):
    """The page after the form was sent the first time, and its hidden fields."""
    page = browser.submit(path, fields)
    hidden = {item["name"]: item["value"] for item in page.soup.select("main form input[type=hidden]")}
    return page, hidden


def side_by_side(page):
    """(measured, held against, verdict) of each measure on the page, in order; the marks of the verdict left out."""
    for mark in (soup := page.soup).select("[aria-hidden]"):
        mark.decompose()
    rows = soup.select("table.readings tbody tr")
    return [tuple(" ".join(cell.get_text(" ").split()) for cell in row.select("td")) for row in rows]


def test_a_person_then_a_task_then_the_form(trainer, people):
    page = trainer.get("/sign-offs")
    names = [a.text for a in page.soup.select(".list a")]
    assert names == ["Jess Lindqvist", "Luis Barrera", "Nora Whitfield"], "new hires first, never oneself"
    page = trainer.get(next(a["href"] for a in page.soup.select(".list a") if a.text == "Luis Barrera"))
    link = next(a["href"] for a in page.soup.select(".list a") if a["href"].endswith("/build-form"))
    assert link == FORM
    page = trainer.get(link)
    caution, form = page.soup.select_one(".caution"), page.soup.select_one("main form")
    assert caution.text.split()[0] == "WARNING" and caution in form.find_all_previous()
    assert len(form.select("input[type=checkbox]")) == 6 + 2


def test_the_tasks_say_how_often_they_were_passed_before(trainer, people):
    for wanted in (PASSED, {**PASSED, "outcome": "not"}):
        _, hidden = read_back(trainer, wanted)
        assert trainer.post(FORM, hidden).status == 303
    row = trainer.get("/sign-offs", person="3").soup.select_one(f".list a[href='{FORM}']").parent
    assert "passed once" in row.text and "last on 25 November 2026, not passed" in row.text
    other = trainer.get("/sign-offs", person="3").soup.select_one(".list a[href$='/set-ladder']").parent
    assert "passed" not in other.text and "last on" not in other.text


def test_it_is_read_back_before_it_is_stored(trainer, people, stored):
    page, hidden = read_back(trainer, PASSED)
    assert "Not stored yet." in page.text and not stored()
    assert side_by_side(page) == [
        ("2 1/4 in", "The shop standard is at least 2 in", "good"),
        ("4 in", "The shop standard is at least 4 in", "good"),
        ("1/16 in", "At most 1/8 in is taken", "good"),
    ]
    page_before, page = page, trainer.post(FORM, hidden)
    assert (page.status, page.location) == (303, "/sign-offs/1")
    (row,) = stored()
    assert (row.person, row.observer, row.task, row.passed) == (
        "Luis Barrera",
        "Tom Okafor",
        "build-form",
        True,
    )
    assert (row.criteria, row.fails, row.notes) == ((True,) * 6, (), "Square at once.")
    kept = trainer.get("/sign-offs/1")
    shown = kept.text
    assert (
        side_by_side(kept) == side_by_side(page_before) and "Square at once." in shown and "passed" in shown
    )


def test_the_confirmation_sent_twice_is_stored_once(trainer, stored):
    _page, hidden = read_back(trainer, PASSED)
    assert [trainer.post(FORM, hidden).location for _ in range(2)] == ["/sign-offs/1"] * 2
    assert len(stored()) == 1


def test_a_stored_form_that_is_changed_is_said_and_counts_when_confirmed_once_more(trainer, stored):
    _page, hidden = read_back(trainer, PASSED)
    trainer.post(FORM, hidden)
    page = trainer.post(FORM, {**hidden, "notes": "And level."})
    assert page.status == 200 and "This form was sent once before with other content" in page.errors[0]
    assert (
        page.soup.select_one("textarea[name=notes]").get_text().strip() == "And level." and len(stored()) == 1
    )
    token = page.soup.select_one("input[name=form_token]")["value"]
    assert (
        trainer.post(FORM, {**hidden, "notes": "And level.", "form_token": token}).location == "/sign-offs/2"
    )
    assert [row.notes for row in stored()] == ["And level.", "Square at once."]


def test_a_short_measure_says_by_how_much_and_is_stored_as_not_passed(trainer, stored):
    short = {**PASSED, "measure-overhang": "1 3/4 in", "outcome": "not"}
    page, hidden = read_back(trainer, short)
    assert side_by_side(page)[0] == (
        "1 3/4 in",
        "The shop standard is at least 2 in",
        "not good: short by 1/4 in",
    )
    trainer.post(FORM, hidden)
    (row,) = stored()
    assert (
        not row.passed
        and row.measures["overhang"].ok is False
        and row.measures["overhang"].typed == "1 3/4 in"
    )


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"measure-overhang": "1 3/4 in"}, "1 3/4 in: The shop standard is at least 2 in: short by 1/4 in"),
        ({"measure-overhang": ""}, "not measured: Least overhang"),
        ({"fail-1": "y"}, "seen: Works under or beside a form"),
        ({"criterion-5": None}, "not seen: Form release is on the boards"),
    ],
)
def test_what_contradicts_a_pass_is_said_and_nothing_typed_is_lost(trainer, stored, change, said):
    sent = {name: value for name, value in {**PASSED, **change}.items() if value is not None}
    page = trainer.submit(FORM, sent)
    assert page.status == 200 and len(page.errors) == 1
    assert page.errors[0].startswith("This cannot count as passed: ") and said in page.errors[0]
    kept = {box["name"] for box in page.soup.select("input[type=checkbox][checked]")}
    assert kept == {name for name in sent if name.startswith(("criterion", "fail"))}
    for name in GOOD:
        assert page.soup.select_one(f"#{name}")["value"] == sent[name]
    assert page.soup.select_one("#notes").text.strip() == "Square at once."
    assert page.soup.select_one("input[name=outcome][checked]")["value"] == "passed"
    assert not stored()


def test_a_measure_that_cannot_be_read_is_said_beside_its_field(trainer, stored):
    page = trainer.submit(FORM, {**PASSED, "measure-edge_thickness": "a hand"})
    field = page.soup.select_one("#measure-edge_thickness")
    assert field["value"] == "a hand" and field["aria-invalid"] == "true"
    assert "a hand" in page.soup.select_one("#measure-edge_thickness-error").text and not stored()


def test_without_an_outcome_nothing_is_read_back(trainer):
    page = trainer.submit(FORM, {name: value for name, value in PASSED.items() if name != "outcome"})
    assert page.errors == ["Outcome: Choose one."]


def test_change_something_goes_back_to_the_form_with_everything_in_it(trainer, stored):
    _page, hidden = read_back(trainer, PASSED)
    page = trainer.post(FORM, {**hidden, "change": "yes"})
    assert page.status == 200 and not stored() and not page.errors
    assert page.soup.select_one("#measure-overhang")["value"] == "2 1/4 in"
    assert len(page.soup.select("input[type=checkbox][checked]")) == 6
    assert page.soup.select_one("input[name=form_token]")["value"] == hidden["form_token"]


def test_a_confirmation_of_other_readings_is_read_back_again(trainer, stored):
    _page, hidden = read_back(trainer, PASSED)
    page = trainer.post(FORM, {**hidden, "measure-overhang": "3 in"})
    assert "Not stored yet." in page.text and side_by_side(page)[0][0] == "3 in" and not stored()


def test_a_standard_that_changed_meanwhile_is_read_back_again(trainer, sign_in, people, stored):
    _page, hidden = read_back(trainer, PASSED)
    sign_in(people.owner).submit("/standard", {"overhang": "2 1/8 in"})
    page = trainer.post(FORM, hidden)
    assert side_by_side(page)[0][1:] == ("The shop standard is at least 2 1/8 in", "good") and not stored()


@pytest.mark.parametrize(("setback", "met"), [("4 ft", True), ("4 ft 3 in", True), ("4 ft 4 in", False)])
def test_a_ladder_is_held_against_a_quarter_of_its_working_length(trainer, setback, met):
    # 29 CFR 1926.1053(b)(5)(i): a quarter of the working length. A ladder of 16 ft set out 4 ft reaches
    # sqrt(16² - 4²) = 15.492 ft, which is 15 ft 5 29/32 in.
    sent = {"measure-support_height": "15 ft 5 29/32 in", "measure-setback": setback, "outcome": "not"}
    page, _hidden = read_back(trainer, sent, "/sign-offs/3/set-ladder")
    (height, foot) = side_by_side(page)
    assert height[1:] == ("–", "noted")
    assert foot[1:] == (
        "The calculation gives 4 ft, give or take 3 in",
        "good" if met else "not good: over by 4 in",
    )


def test_a_measure_outside_the_calculation_is_refused_in_a_sentence(trainer, stored):
    sent = {"measure-support_height": "900 ft", "measure-setback": "4 ft", "outcome": "not"}
    page = trainer.submit("/sign-offs/3/set-ladder", sent)
    assert page.status == 200 and "900 ft" in page.errors[0] and not stored()


def test_nobody_signs_off_their_own_work(trainer, people):
    own = f"/sign-offs/{people.trainer.id}/build-form"
    for page in (trainer.get(own), trainer.post(own, PASSED)):
        assert page.status == 403 and "Nobody signs off their own work." in page.text


def test_unknown_people_tasks_and_sign_offs_are_404(trainer):
    for path in ("/sign-offs/3/no-such-task", "/sign-offs/99/build-form", "/sign-offs/99"):
        assert trainer.get(path).status == 404
    assert trainer.get("/sign-offs", person="99").status == 200


def test_the_person_sees_their_sign_off_and_another_new_hire_does_not(trainer, people, sign_in):
    _page, hidden = read_back(trainer, PASSED)
    trainer.post(FORM, hidden)
    assert sign_in(people.apprentice).get("/sign-offs/1").status == 200
    assert sign_in(people.second).get("/sign-offs/1").status == 403


def test_it_is_read_back_in_spanish(sign_in, people):
    page, _hidden = read_back(
        sign_in(people.trainer, language="es"), {**PASSED, "measure-overhang": "1 3/4", "outcome": "not"}
    )
    assert side_by_side(page)[0] == (
        "1 3/4 in",
        "El estándar del taller es de al menos 2 in",
        "mal: por debajo en 1/4 in",
    )


def test_a_sign_off_stored_before_the_columns_were_apart_keeps_its_sentence(trainer, store):
    _page, hidden = read_back(trainer, PASSED)
    trainer.post(FORM, hidden)
    with store.write() as session:
        row = session.get_one(SignOff, 1)
        row.measures = {
            name: {key: value for key, value in measured.items() if key not in ("asked", "off")}
            for name, measured in row.measures.items()
        }
    assert side_by_side(trainer.get("/sign-offs/1"))[0][1] == "The shop standard is at least 2 in: met."


def test_the_pages_cost_the_same_for_many_sign_offs(trainer, count_statements):
    def cost():
        with count_statements() as seen:
            pages = [
                trainer.get(path).status
                for path in ("/sign-offs", "/sign-offs?person=3", FORM, "/sign-offs/1")
            ]
        assert pages == [200] * 4
        return len(seen)

    def sign_off():
        _page, hidden = read_back(trainer, PASSED)
        trainer.post(FORM, hidden)

    sign_off()
    few = cost()
    for _ in range(25):
        sign_off()
    many = cost()
    assert few == many and 0 < many <= 4 * 20
    assert len(trainer.get("/sign-offs").soup.select("a[href^='/sign-offs/']")) == 20
    assert len(trainer.get("/sign-offs", page="2").soup.select("a[href^='/sign-offs/']")) == 6
