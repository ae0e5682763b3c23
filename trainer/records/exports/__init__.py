"""The records taken out in open formats: tables as CSV, and the whole shop in one archive.

cells     a value as a cell that no spreadsheet takes for a formula
tables    which tables there are, who may have them, and their columns
reading   rows of a table, a batch at a time
archive   everything in one ZIP file, described inside
"""

from __future__ import annotations

from trainer.records.exports.archive import archive, note_taking
from trainer.records.exports.export import Export
from trainer.records.exports.reading import csv_lines, need_table, offered
from trainer.records.exports.tables import LEFT_OUT, TABLES

__all__ = [
    "LEFT_OUT",
    "TABLES",
    "Export",
    "archive",
    "csv_lines",
    "need_table",
    "note_taking",
    "offered",
]
