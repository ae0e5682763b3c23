"""From every schema that ever landed to the newest, with records in it: nothing changes and the history holds."""

from __future__ import annotations

from typing import Any

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import JSON, Connection, Engine, MetaData, Table, insert, select
from sqlalchemy.engine import make_url

from tests.places import Databases, Files
from trainer.calc.standard import DEFAULT_SHOP
from trainer.records import grants, history, people, review, schema
from trainer.records import shop as shops
from trainer.records.engine import make_engine
from trainer.records.models import Base, LessonReading
from trainer.records.store import TEST_COST, Store, open_store, upgrade

OLDER = [
    script.revision
    for script in reversed(list(ScriptDirectory.from_config(schema._config()).walk_revisions()))
][:-1]
OWN = "alembic_version"


@pytest.fixture
def lived(shop: Any, shop_people: Any) -> Store:
    """What the first schema could hold already: quizzes, grades, sign-offs, grants, absences, the shop's figures."""
    owner, trainer, ana, ben = (
        shop_people.owner,
        shop_people.trainer,
        shop_people.apprentice,
        shop_people.other,
    )
    with shop.store.write() as session:
        session.add(LessonReading(person_id=ana.id, lesson="ladders", version=1, at=shop.now))
        history.append(
            session,
            shop.now,
            kind="lesson read",
            actor_id=ana.id,
            person_id=ana.id,
            lesson="ladders",
            version=1,
        )
    first, second = shop.assign(trainer, ana, ben).papers
    shop.answer_all(ana, first)
    shop.answer(ben, second, 1, "3")
    shop.sign_off(trainer, ana)
    shop.grant(owner, ana)
    with shop.store.write() as session:
        review.change_grade(
            session,
            trainer,
            shop.now,
            paper_id=first,
            position=1,
            credit=0.5,
            reason="half",
            made_from="0",
            token="g",
        )
        grants.suspend(
            session,
            owner,
            shop.now,
            person_id=ana.id,
            clearance="ladder",
            reason="a near miss",
            rules=shop.rules,
        )
        people.deactivate(session, owner, shop.now, ben.id)
        people.reactivate(session, owner, shop.now, ben.id)
        shops.change_standard(session, owner, shop.now, {"overhang": DEFAULT_SHOP["overhang"] + 0.5})
    store: Store = shop.store
    return store


def test_there_are_older_schemas_to_come_from() -> None:
    assert OLDER[0] == "0001" and len(OLDER) >= 13


@pytest.mark.parametrize("revision", OLDER)
def test_records_come_whole_from_every_older_schema(
    lived: Store, places: Files | Databases, revision: str
) -> None:
    old = places.new(f"from_{revision}")
    tables, kept = _carried(lived, old, revision)
    assert sum(map(len, kept.values())) > 40, "there is hardly anything to lose"
    with lived.read() as session:
        before = history.verify(session)
    assert before.ok, (before.faults, before.differences)

    done = upgrade(old)

    assert (done.before, done.changed) == (revision, True)
    store = open_store(old, password_cost=TEST_COST)
    with store.read() as session:
        assert history.verify(session) == before
    with store.engine.connect() as connection:
        assert _rows(connection, tables) == kept
        assert compare_metadata(MigrationContext.configure(connection), Base.metadata) == []
    absences = Base.metadata.tables["absence"]
    with store.engine.connect() as there, lived.engine.connect() as here:
        columns = absences.c.person_id, absences.c.left_at, absences.c.back_at
        assert there.execute(select(*columns)).all() == here.execute(select(*columns)).all() != []
    store.close()
    if done.copy is None:
        assert "://" in old, "a file is copied before it is changed"
        places.drop(old)  # type: ignore[union-attr]
        return
    copy = _engine(str(done.copy))
    with copy.connect() as connection:
        assert MigrationContext.configure(connection).get_current_revision() == revision
        assert _rows(connection, tables) == kept
    copy.dispose()


def _engine(at: str) -> Engine:
    return make_engine(make_url(at if "://" in at else f"sqlite:///{at}"), foreign_keys=False)


def _carried(source: Store, old: str, revision: str) -> tuple[list[Table], dict[str, list[str]]]:
    """Make a store of that schema by its own migrations and fill it from `source`; its tables and what they then hold."""
    engine, config = _engine(old), schema._config()
    with engine.connect() as connection, connection.begin():
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
        tables = _tables(connection)
        with source.engine.connect() as full:
            for table in tables:
                rows = full.execute(select(*table.c)).mappings().all()
                if rows:
                    connection.execute(insert(table), [dict(row) for row in rows])
        held = _rows(connection, tables)
    engine.dispose()
    return tables, held


def _tables(connection: Connection) -> list[Table]:
    found = MetaData()
    found.reflect(connection)
    for table in found.tables.values():
        for column in table.c:
            if isinstance(column.type, JSON):
                column.type.none_as_null = True
    return [table for table in found.sorted_tables if table.name != OWN]


def _rows(connection: Connection, tables: list[Table]) -> dict[str, list[str]]:
    """Every row of the tables in their columns, as text, in order."""
    return {
        table.name: sorted(repr(tuple(row)) for row in connection.execute(select(*table.c)))
        for table in tables
    }
