"""Where the content folders lie; nothing else builds a path to them."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from trainer.errors import ContentMissing

CONTENT_FOLDERS = ("lessons", "question_bank", "static", "templates")


def content_dir(name: str) -> Path:
    """The content folder `name`: inside an installed wheel, else beside the package in a checkout.

    Raises ContentMissing when it lies in neither place.
    """
    if name not in CONTENT_FOLDERS:
        raise ValueError(f"unknown content folder {name!r}; expected one of {', '.join(CONTENT_FOLDERS)}")
    package = Path(str(files("trainer")))
    # A checkout is known by its pyproject.toml; an installed wheel carries the folders inside the package.
    in_checkout = (package.parent / "pyproject.toml").is_file()
    folder = package.parent / name if in_checkout else package / "_shipped" / name
    if not folder.is_dir():
        raise ContentMissing(f"content folder {name!r} is missing: looked for {folder}")
    return folder
