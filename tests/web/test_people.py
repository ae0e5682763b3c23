"""The owner's list of people."""

from __future__ import annotations

import re

from trainer.web.views import people as people_views

CODE = re.compile(r"\b[A-Z0-9]{4}-[A-Z0-9]{4}-[A-Z0-9]{4}\b")
ANA = {"name": "Ana Ruiz", "sign_in": "ana", "roles": ["apprentice"], "language": "es"}


def test_owner_adds_a_person_who_then_signs_in(sign_in, people, visitor):
    owner = sign_in(people.owner)
    page = owner.submit("/people/add", ANA)
    code = CODE.search(page.text)
    assert page.status == 200 and code and "One-time code for Ana Ruiz" in page.text
    assert page.headers["Cache-Control"] == "no-store"
    listed = owner.get("/people")
    assert "Code not used yet" in listed.text and code[0] not in listed.html
    fields = {
        "sign_in": "ana",
        "code": code[0],
        "password": "a long password",
        "password_again": "a long password",
    }
    assert "Ana Ruiz" in visitor.submit("/first-sign-in", fields).text


def test_the_link_on_the_code_page_carries_the_name_and_not_the_code(sign_in, people):
    page = sign_in(people.owner).submit("/people/add", ANA)
    link = page.soup.select_one("section a")["href"]
    assert link == "http://localhost/first-sign-in?name=ana"


def test_a_taken_sign_in_name_is_refused_and_what_was_typed_stays(sign_in, people):
    page = sign_in(people.owner).submit("/people/add", {**ANA, "sign_in": "LUIS"})
    assert page.errors == ["Sign-in name: The sign-in 'luis' is taken."]
    assert page.soup.select_one("#name")["value"] == "Ana Ruiz"
    assert page.soup.select_one("#sign_in")["value"] == "LUIS"
    assert [box["value"] for box in page.soup.select("input[name=roles][checked]")] == ["apprentice"]


def test_add_pressed_twice_adds_once_and_offers_a_new_code(sign_in, people, visitor, store):
    owner = sign_in(people.owner)
    first = CODE.search(owner.submit("/people/add", ANA).text)[0]
    again = owner.submit("/people/add", ANA)
    assert again.status == 200 and "Ana Ruiz is in the list already" in again.text
    assert not CODE.search(again.text)
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM person WHERE sign_in = 'ana'").scalar() == 1
    action = again.soup.select_one("main form")["action"]
    second = CODE.search(owner.post(action).text)[0]
    assert second != first
    fields = {"sign_in": "ana", "password": "a long password", "password_again": "a long password"}
    assert len(visitor.submit("/first-sign-in", {**fields, "code": first}).errors) == 1
    assert "Ana Ruiz" in visitor.submit("/first-sign-in", {**fields, "code": second}).text


def test_reactivate_pressed_twice_offers_a_new_code(sign_in, people):
    owner = sign_in(people.owner)
    path = f"/people/{people.second.id}"
    owner.post(f"{path}/deactivate")
    assert CODE.search(owner.post(f"{path}/reactivate").text)
    again = owner.post(f"{path}/reactivate")
    assert again.status == 200 and "Jess Lindqvist is in the list already" in again.text
    assert again.soup.select_one("main form")["action"] == f"{path}/new-code"


def test_a_person_without_a_role_is_refused(sign_in, people):
    page = sign_in(people.owner).submit("/people/add", {**ANA, "roles": []})
    assert page.errors == ["Roles: Fill this in."]


def test_names_are_shown_as_typed_and_never_as_markup(sign_in, people):
    owner = sign_in(people.owner)
    owner.submit("/people/add", {**ANA, "name": '<b>"Ana" & Cía</b>'})
    page = owner.get("/people")
    assert '<b>"Ana" & Cía</b>' in page.text and "<b>" not in page.html


def test_roles_are_changed(sign_in, people):
    owner = sign_in(people.owner)
    path = f"/people/{people.trainer.id}"
    page = owner.submit(path, {"name": "Tom Okafor", "roles": ["trainer", "apprentice"]}, form=path)
    assert page.path == "/people" and "New hire, Trainer" in page.text


def test_the_last_owner_stays_an_owner(sign_in, people):
    owner = sign_in(people.owner)
    path = f"/people/{people.owner.id}"
    page = owner.submit(path, {"roles": ["trainer"]})
    assert page.errors == ["Roles: Nora Whitfield is the last owner; make someone else an owner first."]
    assert owner.get("/people").status == 200


def test_a_new_code_ends_the_old_sign_in(sign_in, people):
    inside = sign_in(people.apprentice)
    page = sign_in(people.owner).submit(f"/people/{people.apprentice.id}", {}, form="new-code")
    assert CODE.search(page.text)
    assert inside.get("/account").path.startswith("/sign-in")


def test_deactivate_and_reactivate(sign_in, people):
    owner = sign_in(people.owner)
    path = f"/people/{people.second.id}"
    assert "Deactivated" in owner.submit(path, {}, form="deactivate").text
    assert CODE.search(owner.submit(path, {}, form="reactivate").text)


def test_an_unknown_person_is_a_404(sign_in, people):
    assert sign_in(people.owner).get("/people/9999").status == 404
    assert sign_in(people.owner).get(f"/people/{10**30}").status == 404


def test_the_list_costs_the_same_for_many_people(sign_in, people, count_statements):
    owner = sign_in(people.owner)
    owner.get("/people")
    with count_statements() as few:
        owner.get("/people")
    for number in range(12):
        owner.submit("/people/add", {**ANA, "name": f"Hand {number}", "sign_in": f"hand{number}"})
    with count_statements() as many:
        page = owner.get("/people")
    assert "Hand 11" in page.text
    assert 0 < len(few) == len(many) <= 20, many


def test_a_long_list_comes_in_pages_and_a_person_is_found_by_name(sign_in, people, crowd, monkeypatch):
    owner = sign_in(people.owner)
    page = owner.get("/people")
    assert not page.soup.select("main form, nav[aria-label='Pages of this list']"), "four people need neither"
    monkeypatch.setattr(people_views, "PER_PAGE", 5)
    crowd(8)
    first, last, beyond = (owner.get("/people", page=number) for number in ("1", "3", "9"))
    assert "Page 1 of 3" in first.text and "of 12 people" not in first.text
    assert len(listed(first)) == 5 and listed(last) == listed(beyond) == ["Nora Whitfield", "Tom Okafor"]
    found = owner.get("/people", name="hand 0")
    assert len(listed(found)) == 5 and "Page 1 of 2" in found.text and "8 of 12 people" in found.text
    following = owner.get(found.soup.select_one("nav a[rel=next]")["href"])
    assert listed(following) == ["Hand 05", "Hand 06", "Hand 07"]
    assert listed(owner.get("/people", name="  TOM ")) == ["Tom Okafor"]
    nobody = owner.get("/people", name="nobody of that name")
    assert listed(nobody) == [] and "Nobody has such a name." in nobody.text
    wrong = owner.get("/people", name="x" * 121)
    assert len(wrong.errors) == 1 and len(listed(wrong)) == 5


def listed(page):
    return [name.get_text(strip=True) for name in page.soup.select("main table tbody th")]
