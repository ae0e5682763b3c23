"""What is sent as a photograph or a paper: told by content, written anew, and nothing of the file itself kept."""

from __future__ import annotations

import struct
import zlib
from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageFile, ImageOps, PngImagePlugin
from pypdf import PdfReader, PdfWriter
from pypdf.annotations import FreeText, Link
from pypdf.generic import DictionaryObject, NameObject, TextStringObject

from trainer.errors import Refusal
from trainer.records import cleaning
from trainer.records.cleaning import KEPT_BYTES, LONGEST, SMALL, clean_paper, clean_photo

HTML = b"<html><script>alert(1)</script></html>"
SVG = b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>'
GPS = 0x8825


def picture(width: int = 640, height: int = 480) -> Image.Image:
    """Four corners of four colours, so that the way it is turned shows."""
    made = Image.new("RGB", (width, height), "red")
    made.paste("lime", (width // 2, 0, width, height // 2))
    made.paste("blue", (0, height // 2, width // 2, height))
    made.paste("white", (width // 2, height // 2, width, height))
    return made


def saved(made: Image.Image, kind: str = "JPEG", **more: Any) -> bytes:
    out = BytesIO()
    made.save(out, kind, **more)
    return out.getvalue()


def corners(data: bytes) -> list[tuple[bool, bool, bool]]:
    """Of each corner, which of red, green and blue are on."""
    with Image.open(BytesIO(data)) as made:
        wide, high = made.size
        places = [(x, y) for y in (high // 8, high * 7 // 8) for x in (wide // 8, wide * 7 // 8)]
        return [tuple(part > 127 for part in made.convert("RGB").getpixel(place)) for place in places]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_picture_comes_back_as_a_small_jpeg(kind: str) -> None:
    found = clean_photo(saved(picture(), kind))
    assert (found.media, found.width, found.height) == ("image/jpeg", 640, 480)
    assert corners(found.data) == corners(saved(picture(), "PNG"))
    assert found.small is not None
    with Image.open(BytesIO(found.small)) as small:
        assert small.format == "JPEG" and max(small.size) == SMALL


@pytest.mark.parametrize("mode", ["L", "P", "1", "CMYK", "RGBA", "LA", "I;16"])
def test_every_way_of_holding_colours_is_read(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    made = Image.new("I;16", (64, 48)) if mode == "I;16" else picture(64, 48).convert(mode)
    with Image.open(BytesIO(clean_photo(saved(made, kind)).data)) as found:
        assert (found.mode, found.size) == ("RGB", (64, 48))


def test_what_is_see_through_becomes_white() -> None:
    found = clean_photo(saved(Image.new("RGBA", (60, 60), (0, 0, 0, 0)), "PNG"))
    assert corners(found.data) == [(True, True, True)] * 4


@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_is_turned_as_the_camera_was_held(orientation: int) -> None:
    """The reference is the image library's own reading of the EXIF standard's tag 0x0112."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    data = saved(picture(), exif=exif)
    with Image.open(BytesIO(data)) as opened:
        upright = saved(ImageOps.exif_transpose(opened), "PNG")
    assert corners(clean_photo(data).data) == corners(upright)


def test_place_time_maker_and_comment_are_gone() -> None:
    exif = Image.Exif()
    exif[0x010F], exif[0x0132] = "Camera Maker Ltd", "2026:11:25 08:00:00"
    exif.get_ifd(GPS).update({1: "N", 2: (44.0, 28.0, 31.0), 3: "W", 4: (72.0, 1.0, 2.0)})
    data = saved(picture(), exif=exif, comment=b"taken at home", icc_profile=b"profile of the phone")
    with Image.open(BytesIO(data)) as opened:
        assert opened.getexif().get_ifd(GPS)[1] == "N", "the place was in the file that is sent"
    for hidden in (b"Camera Maker", b"2026:11:25", b"taken at home", b"profile of the phone"):
        assert hidden in data
    found = clean_photo(data)
    for kept in (found.data, found.small):
        assert kept is not None
        with Image.open(BytesIO(kept)) as opened:
            assert not dict(opened.getexif()) and not opened.getexif().get_ifd(GPS)
            assert set(opened.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert not any(
            hidden in kept for hidden in (b"Exif", b"Camera", b"2026:", b"taken", b"profile", b"GPS")
        )


def test_words_hidden_in_a_png_are_gone() -> None:
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", "someone in particular")
    data = saved(picture(), "PNG", pnginfo=words)
    assert b"someone in particular" in data and b"someone" not in clean_photo(data).data


def test_what_hangs_behind_a_picture_is_gone() -> None:
    """A file that is a picture and a page at once comes out as a picture only."""
    for tail in (HTML, SVG, b"PK\x03\x04 an archive", b"%PDF-1.7 a document"):
        found = clean_photo(saved(picture()) + tail)
        assert tail not in found.data and b"<" + tail[1:8] not in found.data
        with Image.open(BytesIO(found.data)) as made:
            assert made.size == (640, 480)


def test_a_page_inside_a_comment_is_gone() -> None:
    data = saved(picture(), comment=HTML)
    assert HTML in data and b"script" not in clean_photo(data).data


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\x00",
        HTML,
        SVG,
        b"GIF89a" + HTML,
        b"\xff\xd8\xff" + HTML,
        b"\xff\xd8\xff\xe0" + b"\x00" * 400,
        b"\x89PNG\r\n\x1a\n" + HTML,
        b"RIFF\x00\x00\x00\x00WEBP" + HTML,
        b"II*\x00" + b"\x00" * 100,  # TIFF: a decoder that is not used
        b"%PDF-1.7\n",
        b"#!/bin/sh\nrm -rf /\n",
    ],
)
def test_what_is_no_picture_is_refused_whatever_it_is_called(data: bytes) -> None:
    with pytest.raises(Refusal, match="no photograph that can be read"):
        clean_photo(data)


def test_pictures_of_other_kinds_are_refused() -> None:
    for kind in ("GIF", "BMP", "TIFF", "PPM"):
        with pytest.raises(Refusal, match="no photograph"):
            clean_photo(saved(picture(), kind))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("part", [0.1, 0.5, 0.9])
def test_half_a_picture_is_refused(kind: str, part: float, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        ImageFile, "LOAD_TRUNCATED_IMAGES", True
    )  # as WeasyPrint sets it for the whole process
    data = saved(Image.effect_noise((400, 300), 60).convert("RGB"), kind)
    with pytest.raises(Refusal):
        clean_photo(data[: int(len(data) * part)])


def png_that_says(width: int, height: int) -> bytes:
    """A PNG of a few bytes that declares so many pixels (PNG specification, 11.2.2 IHDR)."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 4096))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("width", "height"), [(5001, 5000), (9000, 9000), (14_000, 14_000), (60_000, 60_000), (400_000, 4)]
)
def test_a_picture_that_would_fill_the_memory_is_refused_unread(
    monkeypatch: pytest.MonkeyPatch, width: int, height: int
) -> None:
    def decode(self: Image.Image) -> None:
        raise AssertionError("it was decoded")

    monkeypatch.setattr(PngImagePlugin.PngImageFile, "load", decode)
    with pytest.raises(Refusal, match="million pixels"):
        clean_photo(png_that_says(width, height))


def test_a_jpeg_that_says_it_is_huge_is_refused() -> None:
    data = bytearray(saved(picture(64, 48)))
    at = data.index(b"\xff\xc0") + 5  # the frame header: length, precision, then height and width
    data[at : at + 4] = struct.pack(">HH", 65_000, 65_000)
    with pytest.raises(Refusal, match="million pixels"):
        clean_photo(bytes(data))


def test_a_large_photograph_is_made_smaller_in_pixels_and_bytes() -> None:
    noise = Image.effect_noise((2400, 1800), 90).convert("RGB")  # nothing is harder to make small
    found = clean_photo(saved(noise, quality=60))
    assert len(found.data) <= KEPT_BYTES
    assert found.width is not None and found.height is not None
    assert found.width <= LONGEST and found.width * 3 == found.height * 4
    plain = clean_photo(saved(picture(4000, 3000)))
    assert (plain.width, plain.height) == (LONGEST, 1200) and corners(plain.data) == corners(
        saved(picture(), "PNG")
    )


def test_a_sliver_keeps_its_shape() -> None:
    found = clean_photo(saved(Image.new("RGB", (3200, 2)), "PNG"))
    assert (found.width, found.height) == (LONGEST, 1)


def test_too_many_bytes_are_refused_unread() -> None:
    with pytest.raises(Refusal, match="larger than 12 MB"):
        clean_photo(b"\xff\xd8\xff" + b"\0" * cleaning.MOST_BYTES)
    with pytest.raises(Refusal, match="larger than 3 MB"):
        clean_paper(b"%PDF-1.7" + b"\0" * cleaning.MOST_PDF_BYTES)


# Papers ---------------------------------------------------------------------------------------------------------


def pdf(pages: int = 1, change: Any = None) -> bytes:
    writer = PdfWriter()
    for _ in range(pages):
        writer.add_blank_page(200, 200)
    if change is not None:
        change(writer)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def script() -> DictionaryObject:
    return DictionaryObject(
        {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("app.alert(1)")}
    )


def dangerous(writer: PdfWriter) -> None:
    writer._root_object[NameObject("/OpenAction")] = script()
    writer.pages[0][NameObject("/AA")] = DictionaryObject({NameObject("/O"): script()})
    writer.add_metadata({"/Author": "Someone In Particular", "/Producer": "The Office Program"})
    writer.add_attachment("a.txt", b"hidden attachment")
    writer.add_annotation(0, Link(rect=(0, 0, 50, 50), url="https://elsewhere.example/"))
    writer.add_annotation(0, FreeText(text="Passed", rect=(50, 50, 150, 150)))


def test_a_pdf_keeps_its_pages_and_nothing_that_acts() -> None:
    data = pdf(2, dangerous)
    hidden = (
        b"JavaScript",
        b"alert",
        b"Someone",
        b"Office",
        b"hidden attachment",
        b"elsewhere",
        b"/AA",
        b"/URI",
    )
    assert all(part in data for part in hidden)
    found = clean_paper(data)
    assert (found.media, found.small) == ("application/pdf", None)
    assert not [part for part in hidden if part in found.data]
    reader = PdfReader(BytesIO(found.data))
    assert len(reader.pages) == 2 and not reader.attachments and reader.metadata is None
    (mark,) = reader.pages[0]["/Annots"]
    assert mark.get_object()["/Contents"] == "Passed"


def test_what_hangs_before_or_behind_a_pdf_is_gone() -> None:
    found = clean_paper(pdf() + HTML)
    assert HTML not in found.data and len(PdfReader(BytesIO(found.data)).pages) == 1
    with pytest.raises(Refusal, match="neither a photograph nor a PDF"):
        clean_paper(HTML + pdf())


def test_a_locked_pdf_or_a_book_is_refused() -> None:
    locked = pdf(1, lambda writer: writer.encrypt("secret", algorithm="RC4-128"))
    with pytest.raises(Refusal, match="locked with a password"):
        clean_paper(locked)
    with pytest.raises(Refusal, match="has 21 pages"):
        clean_paper(pdf(21))


@pytest.mark.parametrize(
    "data", [b"%PDF-1.7\n%%EOF", b"%PDF-" + HTML, b"%PDF-1.7" + b"\xff" * 5000, HTML, SVG, b""]
)
def test_what_is_no_paper_is_refused(data: bytes) -> None:
    with pytest.raises(Refusal, match="neither a photograph nor a PDF"):
        clean_paper(data)


def test_a_photograph_of_a_paper_is_taken_as_one() -> None:
    assert clean_paper(saved(picture())).media == "image/jpeg"
