"""The small shop of tests/records, used here too."""

from __future__ import annotations

from tests.records.conftest import bank, rules, shop

__all__ = ["bank", "rules", "shop"]
