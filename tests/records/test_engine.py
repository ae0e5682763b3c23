"""What the store's errors say."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from trainer.records.engine import make_engine, store_url


def test_an_error_never_repeats_the_values_it_was_given(tmp_path: Path) -> None:
    engine = make_engine(store_url(tmp_path / "some.sqlite3"))
    with engine.connect() as connection, pytest.raises(DBAPIError) as caught:
        connection.execute(text("INSERT INTO nothing VALUES (:secret)"), {"secret": "$argon2id$hash"})
    assert "argon2id" not in str(caught.value)
    engine.dispose()
