"""Photographs in a sign-off and papers of certificates: kept through every turn of the form, safe, and closed to others."""

from __future__ import annotations

import random
from io import BytesIO

import pytest
from PIL import Image
from werkzeug.datastructures import FileStorage
from werkzeug.test import encode_multipart

from tests.web.sign_off_form import FORM, GOOD, PASSED, SEEN
from trainer.records import files
from trainer.records.cleaning import MOST_BYTES

NEW = "/certificates/of/3/new"
PAPER = {"kind": "ladder-training", "issuer": "Hill School", "issued": "2026-11-02", "expires": ""}


def picture(colour="brown", kind="JPEG", **more):
    out = BytesIO()
    Image.new("RGB", (320, 240), colour).save(out, kind, **more)
    return out.getvalue()


def sent(*contents, name="photo.jpg"):
    return [(BytesIO(content), name) for content in contents]


def post_large(client, path, fields, content):
    """A form encoded in memory: the test client would leave a temporary file open."""
    boundary, body = encode_multipart({**fields, "photos": FileStorage(BytesIO(content), "a.jpg")})
    return client.post(path, data=body, content_type=f"multipart/form-data; boundary={boundary}")


def hidden(page):
    """What the confirmation carries on, several values of a name included."""
    found = {}
    for item in page.soup.select("main form input[type=hidden]"):
        found.setdefault(item["name"], []).append(item["value"])
    return found


def kept(page):
    return [item["value"] for item in page.soup.select("main form input[name=kept]")]


def test_a_photograph_goes_with_the_form_through_the_confirmation_to_the_record(
    trainer, people, sign_in, stored
):
    page = trainer.submit(FORM, {**PASSED, "photos": sent(picture("red"), picture("blue", "PNG"))})
    assert "Not stored yet." in page.text and not stored()
    shown = [image["src"] for image in page.soup.select("main section .photos img")]
    assert len(shown) == len(kept(page)) == 2
    for address in shown:
        small = trainer.client.get(address)
        assert (small.status_code, small.mimetype) == (200, "image/jpeg")
    answer = trainer.post(FORM, hidden(page))
    assert (answer.status, answer.location) == (303, "/sign-offs/1")
    assert stored()[0].photos == 2
    for reader in (trainer, sign_in(people.owner), sign_in(people.apprentice)):
        page = reader.get("/sign-offs/1")
        alts = [image["alt"] for image in page.soup.select(".photos img")]
        assert alts == ["Photograph 1 of 2", "Photograph 2 of 2"]
        for link in page.soup.select(".photos a"):
            assert reader.client.get(link["href"]).mimetype == "image/jpeg"
    assert "2 photographs" in sign_in(people.owner).get("/sign-offs").text
    assert "2 photographs" in sign_in(people.apprentice).get("/record").text


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"measure-overhang": "a hand"}, "a hand"),
        ({"measure-overhang": "1 3/4 in"}, "This cannot count as passed"),
        ({"outcome": ""}, "Choose one."),
    ],
)
def test_a_form_that_comes_back_still_has_its_photographs(trainer, stored, change, said):
    page = trainer.submit(FORM, {**PASSED, **change, "photos": sent(picture())})
    assert any(said in error for error in page.errors) and not stored()
    refs = kept(page)
    assert len(refs) == 1 and len(page.soup.select(".photos img")) == 1
    boxes = {"criterion-0": "y", **dict.fromkeys(SEEN, "y")}
    again = {**hidden(page), **boxes, **GOOD, "outcome": "passed", "notes": ""}
    page = trainer.post(FORM, again)
    assert "Not stored yet." in page.text and kept(page) == refs
    assert trainer.post(FORM, hidden(page)).status == 303 and stored()[0].photos == 1


def test_one_at_a_time_before_anything_else_is_filled_in(trainer, stored):
    page = trainer.submit(FORM, {"photos": sent(picture("red")), "add": "yes", "notes": "So far."})
    assert page.status == 200 and not page.errors and len(kept(page)) == 1
    assert page.soup.select_one("#notes").text.strip() == "So far."
    page = trainer.post(FORM, {**hidden(page), "photos": sent(picture("blue")), "add": "yes"})
    assert not page.errors and len(kept(page)) == 2 and not stored()
    # Sent once more by a thumb that shook: the same picture is there once.
    page = trainer.post(FORM, {**hidden(page), "photos": sent(picture("blue")), "add": "yes"})
    assert len(kept(page)) == 2


def test_a_photograph_is_left_out_again(trainer, stored):
    page = trainer.submit(FORM, {"photos": sent(picture("red"), picture("blue")), "add": "yes"})
    first, second = kept(page)
    page = trainer.post(FORM, {**hidden(page), **PASSED, "drop": first})
    assert "Not stored yet." in page.text and kept(page) == [second]
    trainer.post(FORM, hidden(page))
    assert stored()[0].photos == 1


def test_change_something_keeps_them(trainer):
    page = trainer.submit(FORM, {**PASSED, "photos": sent(picture())})
    refs = kept(page)
    page = trainer.post(FORM, {**hidden(page), "change": "yes"})
    assert kept(page) == refs and page.soup.select_one("input[type=file]")


def test_another_photograph_than_the_one_shown_is_read_back_again(trainer, stored):
    page = trainer.submit(FORM, {**PASSED, "photos": sent(picture("red"))})
    fields = hidden(page)
    other = kept(trainer.submit(FORM, {**PASSED, "photos": sent(picture("blue"))}))
    page = trainer.post(FORM, {**fields, "kept": other})
    assert "Not stored yet." in page.text and not stored()


def test_what_is_no_photograph_is_said_and_the_others_are_kept(trainer, stored):
    html = b"<html><script>alert(1)</script></html>"
    page = trainer.submit(FORM, {**PASSED, "photos": sent(picture("red"), html, picture("blue"))})
    assert page.status == 200 and not stored()
    assert page.errors == [
        "Photographs: File 2: This is no photograph that can be read; send a JPEG, PNG or WebP picture."
    ]
    assert len(kept(page)) == 2 and "alert(1)" not in page.html
    page = trainer.post(FORM, {**hidden(page), **PASSED})
    assert "Not stored yet." in page.text, "what was wrong is gone with the file"


def test_more_than_six_are_said_and_none_is_lost(trainer, stored):
    colours = ["red", "blue", "green", "black", "white", "brown", "pink"]
    page = trainer.submit(FORM, {**PASSED, "photos": sent(*map(picture, colours))})
    assert page.errors == ["Photographs: At most 6 files at once; the first of them are kept."]
    assert len(kept(page)) == 6
    page = trainer.post(FORM, {**hidden(page), **PASSED, "photos": sent(picture("pink"))})
    assert page.errors == ["Photographs: At most 6 photographs go with one sign-off."]
    refs = kept(page)
    assert len(refs) == 7 and not stored()
    page = trainer.post(FORM, {**hidden(page), **PASSED, "drop": refs[0]})
    assert "Not stored yet." in page.text and kept(page) == refs[1:]


def test_a_file_too_large_is_said_and_what_was_typed_stays(trainer):
    fields = {**PASSED, "csrf_token": trainer.token(), "form_token": "large"}
    answer = post_large(trainer.client, FORM, fields, b"\xff\xd8\xff" + b"\0" * MOST_BYTES)
    assert answer.status_code == 200 and "The file is larger than 12 MB." in answer.text
    assert "Square at once.</textarea>" in answer.text


@pytest.mark.parametrize(
    "name",
    [
        "../../../etc/passwd", "..\\..\\windows.jpg", "/tmp/x.jpg", "a.html", "a.svg", "x" * 5000 + ".jpg",
        "<script>alert(1)</script>.jpg", 'a"; filename="b.html', "\u202egpj.exe", "con.jpg", ".jpg",
    ],
)  # fmt: skip
def test_the_name_of_a_file_means_nothing(trainer, tmp_path, name):
    before = sorted(tmp_path.rglob("*"))
    page = trainer.submit(FORM, {**PASSED, "photos": sent(picture(), name=name)})
    assert "Not stored yet." in page.text and len(kept(page)) == 1
    assert name[:30] not in page.html and "alert(1)" not in page.html
    answer = trainer.client.get(page.soup.select_one(".photos a")["href"])
    assert answer.headers["Content-Disposition"] == 'inline; filename="sent-1.jpg"'
    assert [
        path for path in sorted(tmp_path.rglob("*")) if path.suffix not in (".sqlite3-wal", ".sqlite3-shm")
    ] == [path for path in before if path.suffix not in (".sqlite3-wal", ".sqlite3-shm")]


def test_where_it_was_taken_is_not_handed_out(trainer):
    exif = Image.Exif()
    exif.get_ifd(0x8825).update({1: "N", 2: (44.0, 28.0, 31.0)})
    data = picture(exif=exif, comment=b"at home")
    page = trainer.submit(FORM, {**PASSED, "photos": sent(data)})
    answer = trainer.client.get(page.soup.select_one(".photos a")["href"])
    assert b"Exif" in data and b"Exif" not in answer.data and b"at home" not in answer.data


def test_a_photograph_is_handed_out_so_that_no_browser_takes_it_for_a_page(trainer):
    page = trainer.submit(FORM, {**PASSED, "photos": sent(picture())})
    trainer.post(FORM, hidden(page))
    answer = trainer.client.get("/sign-offs/1/photographs/1")
    assert answer.headers["Content-Type"] == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Content-Disposition"] == 'inline; filename="sign-off-1-1.jpg"'
    assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'; sandbox")
    assert answer.headers["Cache-Control"].startswith("private") and answer.headers["ETag"]
    again = trainer.client.get(
        "/sign-offs/1/photographs/1", headers={"If-None-Match": answer.headers["ETag"]}
    )
    assert (again.status_code, again.data) == (304, b"")
    small = trainer.client.get("/sign-offs/1/photographs/1?size=small")
    assert small.headers["ETag"] != answer.headers["ETag"]


def test_other_peoples_photographs_and_papers_stay_closed(trainer, people, sign_in, visitor, acts):
    page = trainer.submit(FORM, {**PASSED, "photos": sent(picture())})
    waiting = page.soup.select_one(".photos a")["href"]
    trainer.post(FORM, hidden(page))
    acts.certificate(people.apprentice, paper=acts.photo(people.apprentice))
    everywhere = [
        waiting,
        "/sign-offs/1/photographs/1",
        "/sign-offs/1",
        "/certificates/1/paper",
        "/certificates/1",
    ]
    for path in everywhere:
        for more in ("", "?size=small"):
            page = sign_in(people.second).get(path + more)
            assert page.status == 403 and "JFIF" not in page.html
            answer = visitor.client.get(path + more)
            assert answer.status_code == 303 and answer.location.startswith("/sign-in")
    for reader in (people.owner, people.trainer, people.apprentice):
        for path in everywhere[1:]:
            assert sign_in(reader).client.get(path).status_code == 200
    assert sign_in(people.owner).get(waiting).status == 403, (
        "not part of what the owner may see before it counts"
    )


def test_someone_elses_photograph_cannot_be_drawn_into_a_sign_off(
    trainer, people, sign_in, store, clock, acts
):
    about_another = acts.photo(people.second)
    page = trainer.submit(FORM, {**PASSED, "kept": about_another})
    assert page.status == 200 and "not here any more" in page.errors[0] and not kept(page)
    owners = sign_in(people.owner).submit(FORM, {**PASSED, "photos": sent(picture())})
    page = trainer.submit(FORM, {**PASSED, "kept": kept(owners)[0]})
    assert "not here any more" in page.errors[0] and not kept(page)


@pytest.mark.parametrize(
    "ref", ["1", "0-000000000000", "1-000000000000", "../1", "1;2", "9" * 30, "-1-abcdefabcdef"]
)
def test_a_made_up_reference_leads_nowhere(trainer, people, acts, ref, stored):
    acts.photo(people.apprentice)
    page = trainer.submit(FORM, {**PASSED, "kept": ref})
    assert page.status == 200 and not kept(page) and not stored()


def test_a_form_with_a_file_and_no_token_stores_nothing(trainer, store, people):
    for token in (None, "made up"):
        data = {**PASSED, "photos": sent(picture())} | ({"csrf_token": token} if token else {})
        answer = trainer.client.post(FORM, data=data)
        assert answer.status_code == 400
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM stored_file").scalar() == 0


def test_an_expired_form_with_a_photograph_keeps_what_was_typed(trainer):
    headers = {"Origin": "http://localhost", "Referer": f"http://localhost{FORM}"}
    data = {**PASSED, "csrf_token": "old", "photos": sent(picture())}
    answer = trainer.client.post(FORM, data=data, headers=headers)
    assert answer.status_code == 400
    assert "Square at once." in answer.text and "must be chosen again" in answer.text
    assert 'value="2 1/4 in"' in answer.text and "Send again" in answer.text


def test_nobody_outside_makes_the_server_read_a_large_form(visitor, sign_in, people):
    """Signed out, or without the role, a form may hold what any form may; the photographs' limit is not theirs."""
    large = b"\xff\xd8\xff" + b"\0" * (2 * 1024 * 1024)
    for browser in (visitor, sign_in(people.apprentice)):
        answer = post_large(browser.client, FORM, {}, large)
        assert answer.status_code == 413
    answer = post_large(sign_in(people.trainer).client, "/standard", {}, large)
    assert answer.status_code == 413, "other forms take no files"


def test_a_new_hire_sends_no_photograph(sign_in, people, store):
    browser = sign_in(people.apprentice)
    assert (
        browser.post(f"/sign-offs/{people.second.id}/build-form", {"photos": sent(picture())}).status == 403
    )
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM stored_file").scalar() == 0


def test_the_trainers_own_form_takes_no_photograph(trainer, people, store):
    own = f"/sign-offs/{people.trainer.id}/build-form"
    assert trainer.post(own, {**PASSED, "photos": sent(picture())}).status == 403
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM stored_file").scalar() == 0


def test_random_bytes_are_never_a_fault_of_ours(trainer):
    chance = random.Random(4)
    starts = (
        b"\xff\xd8\xff\xe0",
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
        b"RIFF\x40\0\0\0WEBPVP8 ",
        b"%PDF-1.4\n",
        b"",
    )
    whole = picture(), picture("red", "PNG"), picture("red", "WEBP")
    for number in range(60):
        data = bytearray(chance.choice(whole)) if number % 2 else bytearray(chance.choice(starts))
        data += chance.randbytes(chance.randrange(200))
        for _ in range(chance.randrange(1, 20)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        where, name = ((FORM, "photos"), (NEW, "papers"))[number % 3 == 0]
        page = trainer.submit(where, {name: sent(bytes(data))})
        assert page.status == 200, (number, bytes(data))


# Papers of certificates -----------------------------------------------------------------------------------------


def pdf():
    from pypdf import PdfWriter

    writer, out = PdfWriter(), BytesIO()
    writer.add_blank_page(200, 200)
    writer.write(out)
    return out.getvalue()


def test_a_pdf_is_kept_and_handed_out_only_to_be_saved(trainer, people, sign_in):
    page = trainer.submit(NEW, {**PAPER, "papers": sent(pdf(), name="a.jpg")})
    assert page.path == "/certificates/1" and "Save the PDF, 1 KB" in page.text
    answer = sign_in(people.apprentice).client.get("/certificates/1/paper")
    assert answer.mimetype == "application/pdf" and answer.data.startswith(b"%PDF-")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="certificate-1.pdf"'
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_a_form_that_comes_back_still_has_its_paper(trainer):
    page = trainer.submit(NEW, {**PAPER, "issuer": "", "papers": sent(picture())})
    assert page.errors == ["Issued by: Fill this in."] and len(kept(page)) == 1
    assert trainer.post(NEW, {**hidden(page), **PAPER}).location == "/certificates/1"
    page = trainer.get("/certificates/1")
    assert page.soup.select_one(".photos img")


def test_a_web_page_called_a_paper_is_refused(trainer):
    page = trainer.submit(NEW, {**PAPER, "papers": sent(b"<html>", name="paper.pdf")})
    assert page.errors == ["The paper itself: This is neither a photograph nor a PDF that can be read."]


def test_a_new_paper_in_place_of_one_sent_before(trainer):
    page = trainer.submit(NEW, {**PAPER, "issuer": "", "papers": sent(picture("red"))})
    page = trainer.post(NEW, {**hidden(page), **PAPER, "papers": sent(picture("blue"))})
    assert len(kept(page)) == 2 and page.errors == [
        "The paper itself: One paper goes with a certificate; leave the others out."
    ]
    page = trainer.post(NEW, {**hidden(page), **PAPER, "drop": kept(page)[0]})
    assert page.location == "/certificates/1"


def test_the_forms_cost_the_same_with_many_photographs(trainer, count_statements):
    def cost(*colours):
        page = trainer.submit(FORM, {**PASSED, "photos": sent(*map(picture, colours))})
        with count_statements() as seen:
            page = trainer.post(FORM, hidden(page))
        with count_statements() as shown:
            assert trainer.get(page.location).status == 200
        return len(shown), len(seen)

    few, _writes = cost("red")
    many, writes = cost("red", "blue", "green", "black", "white", "brown")
    assert few == many <= 20 and writes <= 40


def test_photographs_wait_no_longer_than_a_week(trainer, people, sign_in, clock, stored):
    page = trainer.submit(FORM, {**PASSED, "photos": sent(picture())})
    fields = hidden(page)
    clock.now += files.WAIT * 2
    trainer = sign_in(people.trainer)
    trainer.submit(FORM, {**PASSED, "photos": sent(picture("blue"))})
    page = trainer.post(FORM, fields)
    assert page.status == 200 and "not here any more" in page.errors[0] and not stored()
