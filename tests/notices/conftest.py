"""The small shop of tests/records, used here too."""

from __future__ import annotations

from tests.records.conftest import bank, plain_draw, rules, shop

__all__ = ["bank", "plain_draw", "rules", "shop"]
