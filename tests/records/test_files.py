"""Photographs and papers in the store: kept with a form, part of a record, for the right people, in every backup."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, select

from trainer.cli.shop import copy_store
from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import files, history, queries, signoffs
from trainer.records.cleaning import Cleaned
from trainer.records.models import StoredFile
from trainer.records.store import TEST_COST, open_store
from trainer.records.submissions import SentBefore


def cleaned(mark: str = "a", media: str = "image/jpeg") -> Cleaned:
    """Bytes that stand for a cleaned file; what cleaning makes is tested by itself."""
    small = f"small {mark}".encode() if media == "image/jpeg" else None
    return Cleaned(media, f"bytes {mark}".encode(), small, 640, 480)


@pytest.fixture
def keep(shop: Any, shop_people: Any) -> Any:
    def one(
        mark: str = "a", *, by: Any = None, about: Any = None, media: str = "image/jpeg", token: str = "form"
    ) -> str:
        with shop.store.write() as session:
            return files.keep(
                session,
                by or shop_people.trainer,
                shop.now,
                person_id=(about or shop_people.apprentice).id,
                cleaned=cleaned(mark, media),
                token=token,
            )

    return one


def sign_off(shop: Any, by: Any, who: Any, photos: Any, token: str = "form", **more: Any) -> int:
    with shop.store.write() as session:
        return signoffs.record(
            session,
            by,
            shop.now,
            **{
                "person_id": who.id,
                "task": shop.rules.tasks["set-ladder"],
                "passed": True,
                "criteria": [True],
                "measures": {},
                "notes": "",
                "token": token,
                "photos": photos,
                **more,
            },
        )


def number_of(ref: str) -> int:
    return int(ref.partition("-")[0])


def stored(shop: Any) -> int:
    with shop.store.read() as session:
        return int(session.scalar(select(func.count(StoredFile.id))) or 0)


def test_a_sign_off_keeps_its_photographs_in_order(shop: Any, shop_people: Any, keep: Any) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    refs = [keep(mark) for mark in "cab"]
    number = sign_off(shop, trainer, ana, refs)
    with shop.store.read() as session:
        found = [
            queries.sign_off_photo(session, ana, number, position, small=small)
            for position in (1, 2, 3)
            for small in (False, True)
        ]
        assert queries.sign_off(session, ana, number).photos == 3
        assert history.verify(session).ok
    assert [one.data for one in found] == [
        b"bytes c",
        b"small c",
        b"bytes a",
        b"small a",
        b"bytes b",
        b"small b",
    ]
    assert len({one.mark for one in found}) == 6


def test_the_same_file_sent_with_the_same_form_is_kept_once(shop: Any, keep: Any) -> None:
    assert keep() == keep() and stored(shop) == 1
    assert keep(token="another") != keep() and stored(shop) == 2


def test_only_whoever_may_see_the_record_gets_the_photograph(shop: Any, shop_people: Any, keep: Any) -> None:
    ref = keep()
    number = sign_off(shop, shop_people.trainer, shop_people.apprentice, [ref])
    with shop.store.read() as session:
        for who in (shop_people.owner, shop_people.trainer, shop_people.apprentice):
            assert queries.sign_off_photo(session, who, number, 1).data == b"bytes a"
        with pytest.raises(NotAllowed):
            queries.sign_off_photo(session, shop_people.other, number, 1)
        for missing in ((number, 2), (number, 0), (99, 1)):
            with pytest.raises(UnknownName):
                queries.sign_off_photo(session, shop_people.owner, *missing)


def test_before_it_is_part_of_a_record_only_the_sender_gets_it(
    shop: Any, shop_people: Any, keep: Any
) -> None:
    number = number_of(keep())
    with shop.store.read() as session:
        assert files.waiting(session, shop_people.trainer, number).data == b"bytes a"
        assert files.waiting(session, shop_people.trainer, number, small=True).data == b"small a"
        for other in (shop_people.owner, shop_people.apprentice, shop_people.other):
            with pytest.raises(NotAllowed):
                files.waiting(session, other, number)
        with pytest.raises(UnknownName):
            files.waiting(session, shop_people.trainer, 99)


def test_a_new_hire_sends_nothing(keep: Any, shop_people: Any) -> None:
    with pytest.raises(NotAllowed):
        keep(by=shop_people.apprentice, about=shop_people.other)
    with pytest.raises(UnknownName):
        keep(about=type("Nobody", (), {"id": 99}))


def test_what_is_not_ones_own_or_about_another_goes_into_no_record(
    shop: Any, shop_people: Any, keep: Any
) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    mine = keep()
    for refs in (
        [keep(by=shop_people.owner, token="owners")],
        [keep(about=shop_people.other)],
        [keep("p", media="application/pdf")],
        [mine.partition("-")[0] + "-" + "0" * 12],
        ["99-" + "0" * 12],
        [mine, "no reference"],
    ):
        with pytest.raises(Refusal, match="not here any more"):
            sign_off(shop, trainer, ana, refs)
    with shop.store.read() as session:
        assert not queries.sign_offs(session, trainer).items
    assert sign_off(shop, trainer, ana, [mine, mine]) == 1
    with shop.store.read() as session:
        assert queries.sign_off(session, trainer, 1).photos == 1


def test_seven_photographs_are_too_many(shop: Any, shop_people: Any, keep: Any) -> None:
    refs = [keep(mark) for mark in "abcdefg"]
    with pytest.raises(Refusal, match="At most 6 photographs"):
        sign_off(shop, shop_people.trainer, shop_people.apprentice, refs)
    assert sign_off(shop, shop_people.trainer, shop_people.apprentice, refs[:6]) == 1


def test_the_same_form_counts_once_and_other_photographs_are_other_content(
    shop: Any, shop_people: Any, keep: Any
) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    refs = [keep("a"), keep("b")]
    assert [sign_off(shop, trainer, ana, refs) for _ in range(2)] == [1, 1]
    for other in (refs[:1], refs[::-1], []):
        with pytest.raises(SentBefore):
            sign_off(shop, trainer, ana, other)
    # Sent once more under a new token it counts, and shows the same pictures.
    assert sign_off(shop, trainer, ana, refs, token="second") == 2


def test_what_waits_is_forgotten_after_a_week_and_what_counts_never(
    shop: Any, shop_people: Any, keep: Any
) -> None:
    kept, left = keep("a"), keep("b")
    sign_off(shop, shop_people.trainer, shop_people.apprentice, [kept])
    shop.now += files.WAIT - timedelta(seconds=1)
    keep("c")
    assert stored(shop) == 3
    shop.now += timedelta(seconds=2)
    keep("d")
    assert stored(shop) == 3
    with shop.store.read() as session:
        assert files.mine(session, shop_people.trainer, shop_people.apprentice.id, [left]) == ()
        assert queries.sign_off_photo(session, shop_people.owner, 1, 1).data == b"bytes a"


def test_too_many_that_wait_are_refused(shop: Any, keep: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "MOST_WAITING", 3)
    for mark in "abc":
        keep(mark)
    with pytest.raises(Refusal, match="3 files that belong to no record"):
        keep("d")
    assert stored(shop) == 3 and keep("a")


def test_a_certificate_keeps_its_paper(shop: Any, shop_people: Any, keep: Any) -> None:
    ana = shop_people.apprentice
    number = shop.certificate(shop_people.trainer, ana, paper=keep("p", media="application/pdf"))
    bare = shop.certificate(shop_people.trainer, ana)
    with shop.store.read() as session:
        found = queries.certificate_file(session, ana, number, small=True)
        assert (found.media, found.data) == ("application/pdf", b"bytes p"), "a PDF has no small picture"
        row = queries.certificate(session, ana, number)
        assert row.file is not None and (row.file.is_photo, row.file.size) == (False, 7)
        assert queries.certificate(session, ana, bare).file is None
        with pytest.raises(NotAllowed):
            queries.certificate_file(session, shop_people.other, number)
        with pytest.raises(UnknownName):
            queries.certificate_file(session, shop_people.owner, bare)
        assert history.verify(session).ok
    with pytest.raises(Refusal, match="not here any more"):
        shop.certificate(shop_people.trainer, shop_people.other, paper=keep("p", media="application/pdf"))


def test_a_refused_sign_off_leaves_its_photographs_waiting(shop: Any, shop_people: Any, keep: Any) -> None:
    ref = keep()
    with pytest.raises(Refusal, match="cannot count as passed"):
        sign_off(shop, shop_people.trainer, shop_people.apprentice, [ref], criteria=[False])
    with shop.store.read() as session:
        (row,) = files.mine(session, shop_people.trainer, shop_people.apprentice.id, [ref])
    assert row.ref == ref and sign_off(shop, shop_people.trainer, shop_people.apprentice, [ref]) == 1


def test_a_list_loads_no_bytes(shop: Any, shop_people: Any, keep: Any, count_statements: Any) -> None:
    ref = keep()
    sign_off(shop, shop_people.trainer, shop_people.apprentice, [ref])
    shop.certificate(shop_people.trainer, shop_people.apprentice, paper=keep("q", token="c"))
    with shop.store.read() as session, count_statements(shop.store) as statements:
        queries.sign_offs(session, shop_people.owner)
        queries.certificates(session, shop_people.owner, shop_people.apprentice.id)
        files.mine(session, shop_people.trainer, shop_people.apprentice.id, [ref])
    assert statements and not [one for one in statements if ".data" in one or ".small" in one]


def test_a_backup_carries_the_photographs(
    shop: Any, shop_people: Any, keep: Any, store_path: Path, tmp_path: Path
) -> None:
    sign_off(shop, shop_people.trainer, shop_people.apprentice, [keep()])
    copy = tmp_path / "copy.sqlite3"
    copy_store(store_path, copy)
    again = tmp_path / "restored.sqlite3"
    copy_store(copy, again)
    restored = open_store(again, password_cost=TEST_COST)
    with restored.read() as session:
        assert queries.sign_off_photo(session, shop_people.owner, 1, 1).data == b"bytes a"
        assert history.verify(session).ok
    restored.close()


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("UPDATE stored_file SET data = x'00'", "the picture or paper itself"),
        ("UPDATE stored_file SET small = x'00'", "its small picture"),
        ("DELETE FROM stored_file WHERE id = 1", "Photograph 1 of sign-off 1 is not as the history tells it"),
        ("UPDATE sign_off_photo SET file_id = 2", "the picture or paper itself"),
        ("DELETE FROM sign_off_photo", "Photograph 1 of sign-off 1 is missing"),
        (
            "INSERT INTO sign_off_photo VALUES (1, 2, 2)",
            "Photograph 2 of sign-off 1 stands in the records, but",
        ),
        ("UPDATE certificate SET file_id = NULL", "The paper of certificate 1 is missing"),
        ("UPDATE certificate SET file_id = 1", "The paper of certificate 1 is not as the history tells it"),
    ],
)
def test_a_picture_changed_past_the_program_is_named(
    shop: Any, shop_people: Any, keep: Any, store_path: Path, statement: str, sentence: str
) -> None:
    sign_off(shop, shop_people.trainer, shop_people.apprentice, [keep("a")])
    keep("b")
    shop.certificate(shop_people.trainer, shop_people.apprentice, paper=keep("c", token="paper"))
    with closing(sqlite3.connect(store_path)) as plain, plain:
        assert plain.execute(statement).rowcount > 0
    with shop.store.read() as session:
        found = history.verify(session)
    assert any(sentence in one.sentence.en for one in found.differences), found.differences
