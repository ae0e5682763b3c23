"""Tables and the archive as downloads."""

from __future__ import annotations

import csv
import io
import zipfile

from trainer.records import history
from trainer.records import people as records_people


def test_a_table_is_a_download_without_formulas(sign_in, people, store, clock):
    with store.write() as session:
        records_people.add_person(
            session, people.owner, clock.now, name="=2+5", sign_in="formula", roles=["apprentice"]
        )
    answer = sign_in(people.owner).client.get("/exports/people.csv")
    assert answer.status_code == 200 and answer.mimetype == "text/csv"
    assert answer.headers["Content-Disposition"].startswith("attachment; filename=people-2026-11-25.csv")
    assert answer.headers["Cache-Control"] == "no-store"
    text = answer.get_data().decode()
    assert text.startswith("\ufeff")
    rows = list(csv.DictReader(io.StringIO(text.lstrip("\ufeff"), newline="")))
    assert [row["name"] for row in rows] == [
        "Nora Whitfield",
        "Tom Okafor",
        "Luis Barrera",
        "Jess Lindqvist",
        "'=2+5",
    ]
    assert rows[0]["roles"] == "owner"


def test_the_page_offers_each_role_its_tables(sign_in, people):
    owner = sign_in(people.owner).get("/exports")
    trainer = sign_in(people.trainer).get("/exports")
    assert owner.soup.select("form[action='/exports/archive']")
    assert not trainer.soup.select("form[action='/exports/archive']")
    links = {str(link["href"]) for link in owner.soup.select("main a.row-link")}
    fewer = {str(link["href"]) for link in trainer.soup.select("main a.row-link")}
    assert {"/exports/history.csv", "/exports/people.csv"} <= links - fewer and "/exports/papers.csv" in fewer
    for path in sorted(links):
        status = sign_in(people.owner).client.get(path).status_code
        assert status == 200, path
        assert (sign_in(people.trainer).client.get(path).status_code == 200) == (path in fewer), path


def test_a_table_that_is_none_is_not_found(sign_in, people):
    for name in ("nothing", "drawn-questions", "entry_code"):
        assert sign_in(people.owner).get(f"/exports/{name}.csv").status == 404


def test_the_archive_is_a_zip_file_and_is_told_of(sign_in, people, store):
    browser = sign_in(people.owner)
    answer = browser.client.post("/exports/archive", data={"csrf_token": browser.token()})
    assert answer.status_code == 200 and answer.mimetype == "application/zip"
    held = zipfile.ZipFile(io.BytesIO(answer.get_data()))
    assert held.testzip() is None and "README.txt" in held.namelist()
    assert b"archive made" in held.read("tables/history.csv")
    assert "Everything taken out as an archive" in browser.get("/history").text
    with store.read() as session:
        assert history.verify(session).ok
