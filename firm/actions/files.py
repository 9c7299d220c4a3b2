"""Uploaded photos and scans: looked through, written anew, kept under random names."""

import io
import re
import secrets
from dataclasses import dataclass
from typing import Any, Literal

from django.conf import settings
from django.core.files.base import ContentFile, File
from django.core.files.storage import default_storage
from django.utils.translation import gettext as _
from PIL import Image, ImageOps, UnidentifiedImageError

Kind = Literal["photo", "scan"]

MOST_PIXELS = 40_000_000
# A photo on a phone or a printed sheet needs no more.
LONGEST_SIDE_PX = 2400
# Beside a line of text, on a phone's thin signal or on paper.
SMALL_SIDE_PX = 320
# A phone's picture with a preview behind it (MPO) opens as JPEG, too.
PHOTO_FORMATS = ("JPEG", "PNG", "WEBP")
SCAN_FORMATS = ("JPEG", "PNG")
MEDIA_TYPES = {"jpg": "image/jpeg", "png": "image/png", "pdf": "application/pdf"}
STORED_NAME = re.compile(r"(photo|scan)-[0-9a-f]{32}\.(jpg|png|pdf)")


class UnusableFile(Exception):
    """An upload that is not kept; says why."""


@dataclass(frozen=True)
class Prepared:
    """What will be written: our own bytes, not the sender's."""

    kind: Kind
    content: bytes
    suffix: str


def _read(upload: File[bytes], kind: Kind) -> bytes:
    """The bytes of UPLOAD, refused when they are none or too many."""
    limit: int = settings.UPLOAD_LIMIT_BYTES
    if upload.size > limit:
        raise UnusableFile(
            _("The file is too large: %(size)d MB, at most %(limit)d MB are taken.")
            % {"size": -(-upload.size // 2**20), "limit": limit // 2**20}
        )
    upload.seek(0)
    content: bytes = upload.read()
    if not content:
        raise UnusableFile(_("The file is empty."))
    return content


def _open_image(content: bytes, formats: tuple[str, ...], refusal: str) -> Image.Image:
    """The picture, refused before it is decoded when it is too large to be one."""
    too_large = _("The picture is too large: at most 40 million pixels are taken.")
    try:
        image = Image.open(io.BytesIO(content), formats=formats)
        if image.width * image.height > MOST_PIXELS:
            raise UnusableFile(too_large)
        image.load()
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise UnusableFile(too_large) from error
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as error:
        raise UnusableFile(refusal) from error
    return image


def _redraw(image: Image.Image, *, as_format: str, longest: int | None) -> bytes:
    """The picture drawn anew: upright, without position, camera or comments."""
    upright = ImageOps.exif_transpose(image)
    if upright.mode in {"RGBA", "LA", "PA"} or "transparency" in upright.info:
        # Transparent parts would turn black on paper.
        shown = upright.convert("RGBA")
        ground = Image.new("RGBA", shown.size, "white")
        upright = Image.alpha_composite(ground, shown)
    plain = upright.convert("RGB")
    if longest:
        plain.thumbnail((longest, longest), Image.Resampling.LANCZOS)
    # A new image carries none of the old one's notes into the file.
    bare = Image.new("RGB", plain.size)
    bare.paste(plain)
    target = io.BytesIO()
    if as_format == "PNG":
        bare.save(target, "PNG", optimize=True)
    else:
        bare.save(target, "JPEG", quality=85, optimize=True)
    return target.getvalue()


def prepare_photo(upload: File[bytes]) -> Prepared:
    """UPLOAD as a JPEG of our own; raises UnusableFile if it is no photo."""
    image = _open_image(
        _read(upload, "photo"),
        PHOTO_FORMATS,
        _("This is not a photo that can be read. JPEG, PNG and WebP are taken."),
    )
    content = _redraw(image, as_format="JPEG", longest=LONGEST_SIDE_PX)
    return Prepared(kind="photo", content=content, suffix="jpg")


def prepare_scan(upload: File[bytes]) -> Prepared:
    """UPLOAD as a scan by its content, whatever its name; raises UnusableFile."""
    content = _read(upload, "scan")
    if content.startswith(b"%PDF-"):
        # A PDF ends with its mark; anything behind it would be another file's.
        if b"%%EOF" not in content[-1024:]:
            raise UnusableFile(_("This PDF is damaged: its end is missing."))
        return Prepared(kind="scan", content=content, suffix="pdf")
    image = _open_image(
        content,
        SCAN_FORMATS,
        _("This is not a scan that can be read. PDF, JPEG and PNG are taken."),
    )
    if image.format == "PNG":
        content = _redraw(image, as_format="PNG", longest=None)
        return Prepared(kind="scan", content=content, suffix="png")
    content = _redraw(image, as_format="JPEG", longest=None)
    return Prepared(kind="scan", content=content, suffix="jpg")


def small_photo(content: bytes) -> bytes:
    """One of our own photos as a small JPEG."""
    image = Image.open(io.BytesIO(content), formats=["JPEG"])
    return _redraw(image, as_format="JPEG", longest=SMALL_SIDE_PX)


def _store(ready: Prepared) -> str:
    name = f"{ready.kind}-{secrets.token_hex(16)}.{ready.suffix}"
    stored: str = default_storage.save(name, ContentFile(ready.content))
    return stored


def store_photo(upload: "File[Any] | Prepared") -> str:
    """The random name under which the photo was stored."""
    return _store(upload if isinstance(upload, Prepared) else prepare_photo(upload))


def store_scan(upload: "File[Any] | Prepared") -> str:
    """The random name under which the scan was stored."""
    return _store(upload if isinstance(upload, Prepared) else prepare_scan(upload))
