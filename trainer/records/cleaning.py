"""What a person sends as a photograph or a paper, made safe to keep: told by its content, never by its name.

A photograph is decoded within limits and written anew, so that nothing of the file itself is kept: no place, no time,
no maker, nothing hidden behind the picture. A PDF is taken apart and its pages put together anew, without scripts,
actions, attachments and the document's own data; it is only ever handed out to be saved.
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO
from typing import Final

from PIL import Image, ImageFile

from trainer.errors import Refusal
from trainer.languages import Text

JPEG: Final = "image/jpeg"
PDF: Final = "application/pdf"
MOST_BYTES: Final = 12 * 1024 * 1024  # of one file as it is sent
MOST_PIXELS: Final = 50_000_000
MOST_UNSCALED: Final = 25_000_000  # of a kind that can only be decoded whole
LONGEST: Final = 1600  # side of a kept photograph [pixels]
SMALL: Final = 320  # longest side of its small picture [pixels]
KEPT_BYTES: Final = 400 * 1024
MOST_PDF_BYTES: Final = 3 * 1024 * 1024
MOST_PAGES: Final = 20

QUALITIES: Final = (82, 72, 60, 45)
ORIENTATION: Final = 0x0112  # the EXIF tag; its values 2 to 8 as the standard defines them
TURNS: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
DECODERS: Final = ("JPEG", "PNG", "WEBP")

NOT_A_PHOTO: Final = Text(
    en="This is no photograph that can be read; send a JPEG, PNG or WebP picture.",
    es="No es una fotografía que se pueda leer; envíe una imagen JPEG, PNG o WebP.",
)
NOT_A_PAPER: Final = Text(
    en="This is neither a photograph nor a PDF that can be read.",
    es="No es una fotografía ni un PDF que se pueda leer.",
)
TOO_LARGE: Final = Text(en="The file is larger than %(most)s MB.", es="El archivo pesa más de %(most)s MB.")
TOO_MANY_PIXELS: Final = Text(
    en="The picture has more than %(most)s million pixels; take it with a smaller setting.",
    es="La imagen tiene más de %(most)s millones de píxeles; tómela con un tamaño menor.",
)


@dataclass(frozen=True, slots=True)
class Cleaned:
    """A file made safe. small: its small picture, None for a PDF; width, height: of the picture [pixels]."""

    media: str
    data: bytes
    small: bytes | None = None
    width: int | None = None
    height: int | None = None

    @property
    def sha256(self) -> str:
        return sha256(self.data).hexdigest()


def clean_photo(data: bytes) -> Cleaned:
    """A photograph written anew as a JPEG of at most LONGEST pixels a side and KEPT_BYTES. Refusal otherwise."""
    _check_size(data, MOST_BYTES)
    if not _is_picture(data):
        raise Refusal(NOT_A_PHOTO)
    picture = _decoded(data)
    kept = _written(picture, LONGEST, KEPT_BYTES)
    small = _written(picture, SMALL, KEPT_BYTES)
    with Image.open(BytesIO(kept), formats=("JPEG",)) as made:
        width, height = made.size
    return Cleaned(JPEG, kept, small, width, height)


def clean_paper(data: bytes) -> Cleaned:
    """A photograph as above, or a PDF of at most MOST_PAGES pages put together anew. Refusal otherwise."""
    _check_size(data, MOST_BYTES)
    if data.startswith(b"%PDF-"):
        from trainer.records.cleaning_pdf import put_together

        _check_size(data, MOST_PDF_BYTES)
        made = put_together(data)
        _check_size(made, MOST_PDF_BYTES)
        return Cleaned(PDF, made)
    if not _is_picture(data):
        raise Refusal(NOT_A_PAPER)
    return clean_photo(data)


def _check_size(data: bytes, most: int) -> None:
    if len(data) > most:
        raise Refusal(TOO_LARGE, most=most // (1024 * 1024))


def _is_picture(data: bytes) -> bool:
    """Whether it begins as a JPEG, PNG or WebP file does."""
    return data.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n")) or (
        data[:4] == b"RIFF" and data[8:12] == b"WEBP"
    )


def _decoded(data: bytes) -> Image.Image:
    """The picture upright, in plain red, green and blue on white, with nothing else of the file."""
    # WeasyPrint, once it is loaded, lets half a picture pass for a whole one everywhere in the process.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with Image.open(BytesIO(data), formats=DECODERS) as picture:
            _check_pixels(picture)
            wide, high = picture.size
            longest = max(wide, high)
            if longest > LONGEST:
                # A JPEG is decoded at an eighth, a quarter or half its size when that is enough.
                picture.draft("RGB", (wide * LONGEST // longest, high * LONGEST // longest))
            turn = TURNS.get(_orientation(picture))
            picture.load()
            plain = _on_white(picture)
    except Refusal:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many(MOST_PIXELS) from None
    except Exception:  # a decoder given a hostile file may raise anything
        raise Refusal(NOT_A_PHOTO) from None
    return plain if turn is None else plain.transpose(turn)


def _check_pixels(picture: Image.Image) -> None:
    """By the size that the file declares, before anything of it is decoded."""
    wide, high = picture.size
    most = MOST_PIXELS if picture.format in ("JPEG", "MPO") else MOST_UNSCALED
    if wide * high > most or max(wide, high) > 65_500:
        raise _too_many(most)


def _too_many(most: int) -> Refusal:
    return Refusal(TOO_MANY_PIXELS, most=most // 1_000_000)


def _orientation(picture: Image.Image) -> int:
    """How the camera was held, by its EXIF data; 1 when that cannot be read."""
    try:
        return int(picture.getexif().get(ORIENTATION, 1))
    except Exception:
        return 1


def _on_white(picture: Image.Image) -> Image.Image:
    if picture.mode in ("RGBA", "LA", "PA", "RGBa", "La") or "transparency" in picture.info:
        seen = picture.convert("RGBA")
        plain = Image.new("RGB", seen.size, "white")
        plain.paste(seen, mask=seen.getchannel("A"))
        return plain
    plain = Image.new("RGB", picture.size)
    plain.paste(picture.convert("RGB"))  # into a fresh picture: what the file says of itself stays behind
    return plain


def _written(picture: Image.Image, longest: int, most: int) -> bytes:
    """As a JPEG of at most `longest` pixels a side and `most` bytes."""
    while True:
        made = picture.copy()
        made.thumbnail((longest, longest), Image.Resampling.LANCZOS)
        for quality in QUALITIES:
            out = BytesIO()
            made.save(out, "JPEG", quality=quality, optimize=True)
            if out.tell() <= most:
                return out.getvalue()
        longest = longest * 3 // 4
