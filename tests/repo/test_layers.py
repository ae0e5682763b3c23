"""The layers of the package, as pyproject.toml states them."""

from __future__ import annotations

from pathlib import Path

from importlinter.cli import lint_imports

ROOT = Path(__file__).parents[2]


def test_layers(monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    assert lint_imports(config_filename="pyproject.toml", no_cache=True) == 0, capsys.readouterr().out
