"""SQL compiled once in a process, not once for each of the thousands of stores that its tests open."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Engine, create_engine
from sqlalchemy.engine import Dialect, make_url

from trainer.records import engine as engines

_compiled: dict[Any, Any] = {}
_dialect: list[Dialect] = []


def _create_engine(url: Any, **more: Any) -> Engine:
    engine = create_engine(url, **more)
    if make_url(url).get_backend_name() == "sqlite":
        # Compiled statements are kept by dialect, and each engine brings one of its own: all of one kind are alike.
        _dialect[:] = _dialect or [engine.dialect]
        engine.dialect = _dialect[0]
        engine.update_execution_options(compiled_cache=_compiled)
    return engine


def compile_once() -> None:
    """From now on, every SQLite store that is opened in this process."""
    engines.create_engine = _create_engine
