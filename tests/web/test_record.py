"""A person's record: their own, or anyone's for a trainer or an owner."""

from __future__ import annotations

import pytest

from tests.shipped import shipped_content
from trainer.records import learning, signoffs


@pytest.fixture
def busy(people, acts, store, clock):
    """The apprentice has read, sat, practised and been signed off."""
    acts.make_ready(people.apprentice)
    acts.assign(people.apprentice, ["ladder-foot"])
    acts.certificate(people.apprentice)
    task = shipped_content().rules.tasks["don-harness"]
    with store.write() as session:
        signoffs.record(
            session,
            people.trainer,
            clock.now,
            person_id=people.apprentice.id,
            task=task,
            passed=False,
            criteria=[False] * len(task.criteria),
            measures={},
            notes="Leg straps loose.",
            token="sign-off",
        )
        learning.record_practice(
            session,
            people.apprentice,
            clock.now,
            question="crown-slab-length",
            version=1,
            seed=5,
            typed="52",
            shown="52 in",
            right=False,
            credit=0.0,
            slip=None,
            skills=["slab-size"],
            token="practice",
        )


def headed(page, heading):
    title = page.soup.find("h2", string=heading)
    return [
        " ".join(item.get_text(" ").split())
        for item in title.find_next("ul", "list").find_all("li", recursive=False)
    ]


def test_an_empty_record_says_so(sign_in, people):
    page = sign_in(people.apprentice).get("/record")
    for sentence in (
        "No quiz has been assigned yet.",
        "No practical task has been signed off yet.",
        "No certificate is on record yet.",
        "Nothing practised yet.",
    ):
        assert sentence in page.text


def test_ones_own_record(sign_in, people, busy):
    page = sign_in(people.apprentice).get("/record")
    assert page.soup.h1.get_text() == "My record"
    assert headed(page, "Quizzes") == [
        "Crowns and roofs ◔ not handed in assigned 25 November 2026",
        "Crowns and roofs ✓ 100 %, passed handed in 25 November 2026"
        " 2 of 2 right; likely between 34 and 100 %",  # scipy.stats.binomtest(2, 2), Wilson
    ]
    assert headed(page, "Practical sign-offs")[0].endswith(
        "✗ not passed 25 November 2026 · seen by Tom Okafor · Leg straps loose."
    )
    assert headed(page, "Certificates") == [
        "First aid and CPR ✓ in date issued by Valley Adult School · good through 2 November 2028"
    ]
    assert headed(page, "Practice") == [
        "Slab size 0 of 1 right, likely between 0 and 79 % · 25 November 2026"
    ]
    read = "Roof protection ✓ read version 3 read on 25 November 2026 · check questions answered"
    assert read in headed(page, "Lessons")
    assert headed(page, "Clearances")[0].startswith(
        "On the ground ◔ ready to grant Lesson read: Roof protection ✓ met"
    )
    assert "does not make anyone safe" in page.text


def test_links_of_the_record_lead_to_pages(sign_in, people, busy):
    for browser, path in (
        (sign_in(people.apprentice), "/record"),
        (sign_in(people.trainer), f"/record/{people.apprentice.id}"),
    ):
        links = {link["href"] for link in browser.get(path).soup.select("main a[href]")}
        assert len(links) > 5
        assert {link: status for link in links if (status := browser.get(link).status) != 200} == {}


def test_staff_read_anyones_and_find_the_way_to_grants(sign_in, people, busy):
    for reader in (people.trainer, people.owner):
        page = sign_in(reader).get(f"/record/{people.apprentice.id}")
        assert page.soup.h1.get_text() == "Luis Barrera" and "ready to grant" in page.text
        assert page.soup.select(f"a[href='/board/{people.apprentice.id}/on-the-ground']")


def test_new_hires_read_only_their_own(sign_in, people, busy):
    browser = sign_in(people.second)
    assert browser.get(f"/record/{people.apprentice.id}").status == 403
    assert "Leg straps" not in browser.get("/record").text
    assert not browser.get("/record").soup.select("a[href^='/board']")


def test_a_person_who_does_not_exist(sign_in, people):
    assert sign_in(people.owner).get("/record/999").status == 404


def test_statements_do_not_grow(sign_in, people, acts, busy, crowd, count_statements):
    browser = sign_in(people.owner)
    path = f"/record/{people.apprentice.id}"
    browser.get(path)
    with count_statements() as few:
        browser.get(path)
    crowd(36)
    for _ in range(5):
        acts.sit(people.apprentice, acts.assign(people.apprentice, ["ladder-foot", "why-the-gap"]))
    with count_statements() as many:
        browser.get(path)
    assert len(few) == len(many) <= 23, many
