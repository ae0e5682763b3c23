"""The owner's page of the shop itself."""

from __future__ import annotations

from trainer.records import shop as shops


def test_name_zone_and_language_are_changed(sign_in, people, store):
    owner = sign_in(people.owner)
    # 20:40 UTC is 1:40 PM in Denver and 3:40 PM in New York in winter (IANA time zone database).
    assert "Shop time: 25 November 2026, 1:40\u00a0PM" in owner.get("/shop").soup.select_one("main").text
    page = owner.submit("/shop", {"name": "Dale Chimney", "zone": "America/New_York", "language": "es"})
    assert (
        page.path == "/shop" and "Saved." in page.text and "3:40\u00a0PM" in page.soup.select_one("main").text
    )
    assert page.soup.select_one("footer").get_text().startswith("Dale Chimney")
    with store.read() as session:
        info = shops.the_shop(session)
    assert (info.name, info.zone, info.language) == ("Dale Chimney", "America/New_York", "es")
    assert owner.get("/people/add").soup.select_one("input[name=language][checked]")["value"] == "es"


def test_a_shop_far_from_the_usual_zones_keeps_its_own(sign_in, people, store):
    owner = sign_in(people.owner)
    owner.submit("/shop", {"zone": "Europe/Madrid"})
    assert owner.get("/shop").soup.select_one("#zone option[selected]")["value"] == "Europe/Madrid"


def test_what_cannot_be_is_refused_and_stays(sign_in, people, store):
    page = sign_in(people.owner).submit("/shop", {"name": " ", "zone": "Mars/Olympus", "language": "de"})
    assert page.errors == [
        "Name of the shop: Fill this in.",
        "Time zone: Choose one of the list.",
        "Language of new people: Choose one of the list.",
    ]
    with store.read() as session:
        assert shops.the_shop(session).zone == "America/Denver"


def test_a_shop_changed_meanwhile_is_not_overwritten(sign_in, people, store):
    here, there = sign_in(people.owner), sign_in(people.owner)
    opened = here.get("/shop").soup.select_one("input[name=made_from]")["value"]
    there.submit("/shop", {"name": "Hill Chimney"})
    fields = {"name": "Dale Chimney", "zone": "America/Denver", "language": "en"}
    page = here.post("/shop", {**fields, "made_from": opened})
    assert len(page.errors) == 1 and "Hill Chimney, America/Denver, en" in page.errors[0]
    assert page.soup.select_one("#name")["value"] == "Dale Chimney"
    with store.read() as session:
        assert shops.the_shop(session).name == "Hill Chimney"
    fields["made_from"] = page.soup.select_one("input[name=made_from]")["value"]
    assert here.post("/shop", fields).status == 303


def test_the_page_costs_few_statements(sign_in, people, count_statements):
    owner = sign_in(people.owner)
    with count_statements() as seen:
        owner.get("/shop")
    assert 0 < len(seen) <= 20
