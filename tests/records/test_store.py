"""The store: made and upgraded by migrations only, safe at once by many, one writer at a time."""

from __future__ import annotations

import importlib
import sqlite3
import stat
import subprocess
import sys
import threading
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import (
    Boolean,
    CheckConstraint,
    DateTime,
    Index,
    UniqueConstraint,
    column,
    delete,
    select,
    text,
    update,
)
from sqlalchemy import (
    table as plain_table,
)
from sqlalchemy.dialects import postgresql
from sqlalchemy.engine import make_url
from sqlalchemy.orm import Session, configure_mappers
from sqlalchemy.schema import CreateTable

from trainer.errors import StoreError
from trainer.records import history, papers, people, queries, quizzes, schema
from trainer.records.engine import make_engine
from trainer.records.evidence import evidence_of
from trainer.records.locking import WriteLock
from trainer.records.models import Absence, Base, HistoryHead, LessonReading, Person, Shop
from trainer.records.store import TEST_COST, Store, Writing, open_store, upgrade


def test_a_fresh_store_reaches_the_newest_schema_and_equals_the_models(tmp_path: Path) -> None:
    path = tmp_path / "shop.sqlite3"
    done = upgrade(path)
    assert done.before is None and done.copy is None and done.changed
    assert not upgrade(path).changed
    store = open_store(path, password_cost=TEST_COST)
    with store.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert context.get_current_revision() == done.after
        assert compare_metadata(context, Base.metadata) == []
        assert connection.execute(text("PRAGMA journal_mode")).scalar() == "wal"
        assert connection.execute(text("PRAGMA synchronous")).scalar() == 2  # FULL
        assert connection.execute(text("PRAGMA foreign_keys")).scalar() == 1
    store.close()


def test_only_the_owner_of_the_file_may_read_it(tmp_path: Path) -> None:
    path = tmp_path / "shop.sqlite3"
    upgrade(path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_every_constraint_has_a_name_and_every_table_can_be_made_on_postgresql() -> None:
    configure_mappers()
    assert len(Base.metadata.tables) > 15
    for table in Base.metadata.tables.values():
        for one in (*table.constraints, *table.indexes):
            assert one.name, (table.name, one)
            # PostgreSQL cuts names at 63 bytes; a cut name could not be addressed later.
            assert len(str(one.name)) <= 63
        ddl = str(CreateTable(table).compile(dialect=postgresql.dialect()))
        assert "CREATE TABLE" in ddl
        assert "TIMESTAMP WITHOUT" not in ddl


def test_many_starts_at_once_make_one_store(tmp_path: Path) -> None:
    path = tmp_path / "shop.sqlite3"
    code = f"from trainer.records.store import upgrade; print(upgrade({str(path)!r}).changed)"
    started = [
        subprocess.Popen(
            [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )
        for _ in range(6)
    ]
    outcomes = [process.communicate(timeout=120) for process in started]
    assert [process.returncode for process in started] == [0] * 6, outcomes
    assert sorted(out.strip() for out, _ in outcomes) == ["False"] * 5 + ["True"]


def test_a_newer_store_is_refused_with_what_to_do(store: Store, store_path: Path) -> None:
    _set_revision(store_path, "9999")
    for use in (open_store, upgrade):
        with pytest.raises(StoreError, match=r"newer version .* install the newer version"):
            use(store_path)


def test_an_older_store_is_copied_first_and_keeps_its_rows(
    store: Store, store_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with store.write() as session:
        session.add(HistoryHead(id=1, number=0, hash="x")) if session.get(HistoryHead, 1) is None else None
    store.close()
    head, persons = "0002_test", _count(store_path, "person")
    assert persons > 0
    _pretend_newer_program(monkeypatch, head, "ALTER TABLE shop ADD COLUMN motto VARCHAR")
    done = upgrade(store_path)
    assert done.copy is not None and done.after == head
    assert "motto" not in _columns(done.copy, "shop")
    assert "motto" in _columns(store_path, "shop")
    assert _count(done.copy, "person") == _count(store_path, "person") == persons


def test_absences_are_filled_from_the_history(store: Store, shop_people: Any, now: datetime) -> None:
    """Migration 0002 on a store in which people left and came back before there was a table for it."""
    owner, ana, ben, theo = shop_people.owner, shop_people.apprentice, shop_people.other, shop_people.trainer
    days = [now + timedelta(days=number) for number in range(3)]
    with store.write() as session:
        people.deactivate(session, owner, days[0], ana.id)
        people.reactivate(session, owner, days[1], ana.id)
        people.deactivate(session, owner, days[2], ana.id)
        people.deactivate(session, owner, days[0], ben.id)
        people.reactivate(session, owner, days[1], ben.id)
        session.get_one(Person, theo.id).left_at = days[0]  # without an event
        kept = _absences(session)
        session.execute(delete(Absence))
    filled = importlib.import_module("trainer.records.migrations.versions.0002_absences")
    with store.engine.begin() as connection:
        moment = DateTime(timezone=True)
        names = (column("left_at", moment), column("back_at", moment))
        filled._fill(connection, plain_table("absence", column("person_id"), *names))
    with store.read() as session:
        assert _absences(session) == sorted([*kept, (theo.id, days[0], None)])
    assert kept == [(ana.id, days[0], days[1]), (ana.id, days[2], None), (ben.id, days[0], days[1])]


def test_readings_of_an_older_store_stay_and_go_on_counting(
    store: Store, store_path: Path, shop_people: Any, now: datetime, rules: Any
) -> None:
    """Migration 0005 on a store as the revision before left it: lessons read, and told of, without check questions."""
    ana = shop_people.apprentice
    with store.write() as session:
        for lesson, version in (("ladders", 1), ("crowns", 2), ("crowns", 3)):
            session.add(LessonReading(person_id=ana.id, lesson=lesson, version=version, at=now))
            facts = {"lesson": lesson, "version": version}
            history.append(session, now, kind="lesson read", actor_id=ana.id, person_id=ana.id, **facts)
        before = history.verify(session)
    store.close()
    old = _as_before_the_lessons(store_path)
    done = upgrade(old)
    assert done.changed and done.copy is not None
    upgraded = open_store(old, password_cost=TEST_COST)
    with upgraded.read() as session:
        rows = {row.id: row for row in queries.lessons(session, ana, rules)}
        assert [(one.lesson, one.version) for one in evidence_of(session, ana.id).readings] == [
            ("ladders", 1),
            ("crowns", 2),
            ("crowns", 3),
        ]
        after = history.verify(session)
    upgraded.close()
    assert {(row.state, row.with_check) for row in rows.values()} == {("read", False)}
    assert (before.ok, after) == (True, before), "no event was changed, and none is missed"


def test_papers_of_an_older_store_get_the_copy_of_their_answers(
    store: Store, store_path: Path, shop: Any, shop_people: Any
) -> None:
    """Migration 0014 on papers that were closed before there was a copy: answered, half answered, taken back."""
    trainer, ana, ben = shop_people.trainer, shop_people.apprentice, shop_people.other
    shop.answer_all(ana, shop.assign(trainer, ana).papers[0])
    half, out = shop.assign(trainer, ben).papers[0], shop.assign(trainer, ana)
    shop.answer(ben, half, 1, "5")
    with store.write() as session:
        papers.hand_in(session, ben, shop.now, half)
        quizzes.close(session, trainer, shop.now, out.quiz_id)
        before = {who.id: evidence_of(session, who.id) for who in (ana, ben)}
    store.close()
    old = _as_before_the_lessons(store_path)
    upgrade(old)
    upgraded = open_store(old, password_cost=TEST_COST)
    with upgraded.read() as session:
        assert {who: evidence_of(session, who) for who in before} == before
        assert history.verify(session).ok
    upgraded.close()
    assert [len(before[who.id].papers[0].answers) for who in (ana, ben)] == [2, 2]


def _as_before_the_lessons(path: Path) -> Path:
    """A store made by the migrations up to the one before 0005, with what the store at `path` holds in its columns."""
    old = path.with_name("old.sqlite3")
    revision = importlib.import_module("trainer.records.migrations.versions.0005_lessons").down_revision
    engine = make_engine(make_url(f"sqlite:///{old}"), foreign_keys=False)
    config = schema._config()
    with engine.connect() as connection, connection.begin():
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
    engine.dispose()
    with closing(sqlite3.connect(old)) as plain, plain:
        plain.execute("ATTACH ? AS newer", (str(path),))
        tables = plain.execute("SELECT name FROM main.sqlite_master WHERE type = 'table'").fetchall()
        for (table,) in tables:
            if table != "alembic_version":
                names = [f'"{row[1]}"' for row in plain.execute(f"PRAGMA main.table_info({table})")]
                listed = ", ".join(names)
                plain.execute(f"DELETE FROM main.{table}")
                plain.execute(f"INSERT INTO main.{table} ({listed}) SELECT {listed} FROM newer.{table}")
    assert "checked" not in _columns(old, "lesson_reading")
    return old


def _absences(session: Session) -> list[tuple[int, datetime, datetime | None]]:
    rows = session.execute(select(Absence.person_id, Absence.left_at, Absence.back_at))
    return sorted(tuple(row) for row in rows)


def test_a_failed_upgrade_changes_nothing(
    store: Store, store_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.close()
    before = _columns(store_path, "shop")
    _pretend_newer_program(
        monkeypatch,
        "0002_test",
        "ALTER TABLE shop ADD COLUMN motto VARCHAR",
        "INSERT INTO nowhere VALUES (1)",
    )
    with pytest.raises(StoreError, match="left as it was"):
        upgrade(store_path)
    assert _columns(store_path, "shop") == before


def test_an_upgrade_that_leaves_loose_rows_is_refused(
    store: Store, store_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.close()
    _pretend_newer_program(monkeypatch, "0002_test", "DELETE FROM person WHERE id = 1")
    with pytest.raises(StoreError, match="pointing at nothing"):
        upgrade(store_path)
    assert _count(store_path, "person") == 4


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("missing.sqlite3", None, "there is no data store"),
        ("empty.sqlite3", b"", "the data store is empty"),
        ("noise.sqlite3", b"not a database at all" * 100, "cannot be read"),
    ],
)
def test_what_is_no_store_is_refused(tmp_path: Path, name: str, content: bytes | None, sentence: str) -> None:
    path = tmp_path / name
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(StoreError, match=sentence):
        open_store(path)


def test_a_missing_folder_and_an_unknown_address_are_refused(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="does not exist"):
        upgrade(tmp_path / "nowhere" / "shop.sqlite3")
    with pytest.raises(StoreError, match="unknown kind of store"):
        open_store("mysql://somewhere/shop")
    with pytest.raises(StoreError, match="needs a file"):
        open_store("sqlite://")


def test_a_write_is_undone_when_its_block_fails(store: Store) -> None:
    with pytest.raises(ZeroDivisionError), store.write() as session:
        session.get_one(Person, 1).name = "Nobody"
        session.flush()
        raise ZeroDivisionError
    with store.read() as session:
        assert session.get_one(Person, 1).name == "Olive Ortega"


def test_a_read_sees_one_state_and_a_write_is_alone_from_its_start(store: Store) -> None:
    """On PostgreSQL too, with --on-postgresql. The lock in front of the writers is left out, to see the store's own."""
    names = select(Shop.name)

    def rename(name: str) -> None:
        with store._session(store.engine, Writing) as session:
            session.execute(update(Shop).values(name=name))
            session.commit()

    with store.read() as reading:
        first = reading.scalar(names)
        rename("Changed meanwhile")
        assert reading.scalar(names) == first
    with store.read() as reading:
        assert reading.scalar(names) == "Changed meanwhile"

    for begun in ("at its start", "after a commit in the middle"):
        waiting = threading.Thread(target=rename, args=(f"Written {begun}",))
        with store.write() as writing:
            if begun != "at its start":
                writing.execute(update(Shop).values(name="Committed in the middle"))
                writing.commit()
                writing.scalar(names)
            waiting.start()
            waiting.join(0.3)
            assert waiting.is_alive(), "another writer waits"
        waiting.join(10)
        with store.read() as reading:
            assert reading.scalar(names) == f"Written {begun}"


def test_a_read_refuses_to_write(store: Store) -> None:
    with pytest.raises(RuntimeError, match=r"store\.write"), store.read() as session:
        session.get_one(Person, 1).name = "Nobody"
        session.flush()
    with pytest.raises(RuntimeError, match=r"store\.write"), store.read() as session:
        session.execute(LessonReading.__table__.delete())
    with store.read() as session:
        assert session.get_one(Person, 1).name == "Olive Ortega"


def test_read_modify_write_from_many_threads_loses_nothing(store: Store, store_path: Path) -> None:
    def add_ten() -> None:
        own = open_store(store_path, password_cost=TEST_COST)
        for _ in range(10):
            with own.write() as session:
                person = session.get_one(Person, 1)
                person.name = str(int(person.name) + 1)
        own.close()

    with store.write() as session:
        session.get_one(Person, 1).name = "0"
    threads = [threading.Thread(target=add_ten) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with store.read() as session:
        assert session.get_one(Person, 1).name == "40"


def test_a_lock_that_stays_taken_is_reported_and_not_waited_for_for_ever(tmp_path: Path) -> None:
    one, other = WriteLock(tmp_path / "lock"), WriteLock(tmp_path / "lock")
    with one.held():
        with pytest.raises(StoreError, match="busy"), other.held(wait=0.05):
            pass
        with pytest.raises(StoreError, match="busy"), one.held(wait=0.05):
            pass
    with other.held(wait=0.05):
        pass


def test_a_database_held_by_another_program_is_a_store_error(
    store: Store, store_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(sqlite3.connect(store_path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with store.engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA busy_timeout = 20")
        with pytest.raises(StoreError, match="locked"), store.write() as session:
            session.get_one(Person, 1).name = "Nobody"


def test_models_hold_no_type_of_one_database_only() -> None:
    kinds = {
        type(column.type).__module__ for table in Base.metadata.tables.values() for column in table.columns
    }
    assert kinds <= {"sqlalchemy.sql.sqltypes", "trainer.records.models.base"}
    constraints = [c for table in Base.metadata.tables.values() for c in table.constraints]
    assert any(isinstance(c, CheckConstraint) for c in constraints)
    assert any(isinstance(c, UniqueConstraint) for c in constraints)
    assert any(isinstance(i, Index) for table in Base.metadata.tables.values() for i in table.indexes)
    assert any(isinstance(column.type, Boolean) for column in Base.metadata.tables["answer"].columns)


def _pretend_newer_program(monkeypatch: pytest.MonkeyPatch, head: str, *statements: str) -> None:
    """A program one revision newer, whose migration runs these statements."""

    def newer_upgrade(config: object, _to: str) -> None:
        connection = config.attributes["connection"]  # type: ignore[attr-defined]
        for statement in statements:
            connection.exec_driver_sql(statement)
        connection.exec_driver_sql(f"UPDATE alembic_version SET version_num = '{head}'")

    def newer_state(connection: object, config: object = None) -> tuple[str | None, str]:
        return MigrationContext.configure(connection).get_current_revision(), head  # type: ignore[arg-type]

    monkeypatch.setattr(command, "upgrade", newer_upgrade)
    monkeypatch.setattr(schema, "state", newer_state)


def _set_revision(path: Path, revision: str) -> None:
    with closing(sqlite3.connect(path)) as plain, plain:
        plain.execute("UPDATE alembic_version SET version_num = ?", (revision,))


def _columns(path: Path, table: str) -> list[str]:
    with closing(sqlite3.connect(path)) as plain:
        return [row[1] for row in plain.execute(f"PRAGMA table_info({table})")]


def _count(path: Path, table: str) -> int:
    with closing(sqlite3.connect(path)) as plain:
        return int(plain.execute(f"SELECT count(*) FROM {table}").fetchone()[0])
