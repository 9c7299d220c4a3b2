"""Uploaded photos and scans: what is taken, what is left of it, who gets it back."""

import io
import struct
import zlib
from pathlib import Path

import pytest
from django.conf import LazySettings
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from firm.actions.files import STORED_NAME, UnusableFile, store_photo, store_scan
from firm.forms.files import PhotoField, ScanField
from tests.conftest import StrictClient

GPS_TAG = 0x8825
MAKER_TAG = 0x010F
TURNED_TAG = 0x0112


def upload(content: bytes, name: str = "photo.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


def picture(
    form: str = "JPEG", size: tuple[int, int] = (60, 40), *, exif: bool = False
) -> bytes:
    target = io.BytesIO()
    image = Image.new("RGB", size, "green")
    if exif:
        notes = Image.Exif()
        notes[MAKER_TAG] = "Canary camera"
        notes[TURNED_TAG] = 6
        notes.get_ifd(GPS_TAG)[1] = "N"
        notes.get_ifd(GPS_TAG)[2] = (38.0, 36.0, 0.0)
        image.save(target, form, exif=notes)
    else:
        image.save(target, form)
    return target.getvalue()


def png_that_claims(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose head claims WIDTH by HEIGHT."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = b""
    for kind, data in (
        (b"IHDR", head),
        (b"IDAT", zlib.compress(b"\0")),
        (b"IEND", b""),
    ):
        body = kind + data
        chunks += struct.pack(">I", len(data)) + body
        chunks += struct.pack(">I", zlib.crc32(body))
    return b"\x89PNG\r\n\x1a\n" + chunks


def test_a_stored_photo_has_a_random_name_and_no_position_left() -> None:
    first = store_photo(upload(picture(exif=True), "my garden.jpg"))
    second = store_photo(upload(picture(exif=True), "my garden.jpg"))

    assert STORED_NAME.fullmatch(first)
    assert STORED_NAME.fullmatch(second)
    assert first != second
    with default_storage.open(first) as stored:
        content = stored.read()
    assert b"Canary" not in content
    assert b"Exif" not in content
    with Image.open(io.BytesIO(content)) as image:
        assert image.format == "JPEG"
        assert dict(image.getexif()) == {}
        # Tag 6 says "turn by a quarter": 60 x 40 stands upright as 40 x 60.
        assert image.size == (40, 60)


def test_a_transparent_png_lies_on_white_and_a_large_photo_is_made_smaller() -> None:
    target = io.BytesIO()
    Image.new("RGBA", (3000, 1500), (0, 0, 0, 0)).save(target, "PNG")

    name = store_photo(upload(target.getvalue(), "sketch.png"))

    with default_storage.open(name) as stored, Image.open(stored) as image:
        assert image.size == (2400, 1200)
        assert image.getpixel((5, 5)) == (255, 255, 255)


@pytest.mark.parametrize(
    "content",
    [
        b"<html><script>alert(1)</script></html>",
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
        b"GIF89a" + b"\0" * 40,
        picture()[:300],
        b"%PDF-1.7\n%%EOF",
    ],
    ids=["html", "svg", "gif", "cut off", "pdf"],
)
def test_what_is_no_photo_is_refused_and_not_stored(
    content: bytes, settings: LazySettings
) -> None:
    with pytest.raises(UnusableFile, match="not a photo that can be read"):
        store_photo(upload(content))

    assert not Path(settings.MEDIA_ROOT).exists()
    assert store_photo(upload(picture()))


def test_script_behind_a_photo_does_not_survive() -> None:
    name = store_photo(upload(picture() + b"<script>alert(1)</script>"))

    with default_storage.open(name) as stored:
        assert b"<script>" not in stored.read()


def test_a_photo_over_15_mb_is_refused_with_its_size(settings: LazySettings) -> None:
    assert settings.UPLOAD_LIMIT_BYTES == 15 * 1024 * 1024
    content = picture() + b"\0" * settings.UPLOAD_LIMIT_BYTES

    with pytest.raises(UnusableFile) as refusal:
        store_photo(upload(content))

    assert str(refusal.value) == (
        "The file is too large: 16 MB, at most 15 MB are taken."
    )


@pytest.mark.parametrize("side", [6400, 10_000, 20_000])
def test_too_many_pixels_are_refused_before_decoding(side: int) -> None:
    # The pixels are not there at all: decoding would say "cut off" instead.
    with pytest.raises(UnusableFile, match="at most 40 million pixels"):
        store_photo(upload(png_that_claims(side, side), "huge.png"))


def test_an_empty_file_is_refused() -> None:
    with pytest.raises(UnusableFile, match="The file is empty"):
        store_photo(upload(b""))


def test_a_scan_is_known_by_its_content_not_by_its_name() -> None:
    pdf = store_scan(upload(b"%PDF-1.7\n...\n%%EOF\n", "agreed.jpg"))
    png = store_scan(upload(picture("PNG"), "agreed.pdf"))
    jpeg = store_scan(upload(picture(exif=True), "agreed"))

    assert [name.rpartition(".")[2] for name in (pdf, png, jpeg)] == [
        "pdf",
        "png",
        "jpg",
    ]
    with default_storage.open(jpeg) as stored:
        assert b"Canary" not in stored.read()
    with pytest.raises(UnusableFile, match="not a scan that can be read"):
        store_scan(upload(b"PK\x03\x04 a workbook", "agreed.pdf"))
    with pytest.raises(UnusableFile, match="its end is missing"):
        store_scan(upload(b"%PDF-1.7\nhalf of it", "agreed.pdf"))


def test_the_fields_refuse_beside_the_field_and_hand_on_what_is_good() -> None:
    good = PhotoField().clean(upload(picture()))
    assert good is not None
    assert STORED_NAME.fullmatch(store_photo(good))
    assert PhotoField(required=False).clean(None) is None
    scan = ScanField().clean(upload(picture("PNG"), "paper.png"))
    assert scan is not None
    assert store_scan(scan).endswith(".png")

    for field in (PhotoField(), ScanField()):
        with pytest.raises(Exception, match="can be read") as refusal:
            field.clean(upload(b"<html>", "page.jpg"))
        assert refusal.type.__name__ == "ValidationError"


def test_a_photo_goes_to_everybody_in_the_firm_and_to_nobody_else(
    client: StrictClient,
    owner_client: StrictClient,
    crew_client: StrictClient,
    bookkeeper_client: StrictClient,
) -> None:
    url = reverse("file", args=[store_photo(upload(picture()))])

    for browser in (owner_client, crew_client, bookkeeper_client):
        response = browser.get(url)
        assert response.status_code == 200
        assert response["Content-Type"] == "image/jpeg"
        assert response["X-Content-Type-Options"] == "nosniff"
        assert response["Content-Disposition"].startswith("inline; filename=")
        # Read to its end: the test client then closes it without the connection.
        assert b"".join(response.streaming_content)
    refused = client.get(url)
    assert refused.status_code == 302
    assert refused["Location"].startswith(reverse("login"))
    assert owner_client.post(url).status_code == 405


def test_a_scan_goes_to_the_books_and_not_to_crews(
    owner_client: StrictClient,
    crew_client: StrictClient,
    bookkeeper_client: StrictClient,
) -> None:
    name = store_scan(upload(b"%PDF-1.7\n%%EOF\n", "bill.pdf"))
    url = reverse("file", args=[name])

    for browser in (owner_client, bookkeeper_client):
        response = browser.get(url)
        assert response.status_code == 200
        assert response["Content-Type"] == "application/pdf"
        assert response["Content-Disposition"] == f'attachment; filename="{name}"'
        assert b"".join(response.streaming_content) == b"%PDF-1.7\n%%EOF\n"
    assert crew_client.get(url).status_code == 403


@pytest.mark.parametrize(
    "name",
    [
        "..%2f..%2fsecret_key",
        "%2e%2e",
        "photo-" + "0" * 32 + ".jpg",
        "photo-" + "0" * 32 + ".jpg%00",
        "photo-" + "0" * 32 + ".jpg%0d%0aX-Evil:1",
        'photo-".jpg',
        "secret_key",
    ],
)
def test_names_that_are_not_ours_find_nothing(
    owner_client: StrictClient, name: str, settings: LazySettings
) -> None:
    folder = Path(settings.MEDIA_ROOT)
    folder.mkdir()
    (folder / "secret_key").write_text("canary")
    (folder.parent / "secret_key").write_text("canary")

    response = owner_client.get(f"/files/{name}")

    assert response.status_code == 404
    assert "X-Evil" not in response.headers
