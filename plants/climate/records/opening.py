"""A file as it was sent: unpacked within a limit, or refused."""

import zlib

from plants.climate.records.sifting import RecordError

MOST_BYTES = 50 * 1024 * 1024
_GZIP = b"\x1f\x8b"
_PACKED = {
    b"PK\x03\x04": "a zip file or a workbook",
    b"BZh": "a bzip2 file",
    b"\xfd7zXZ": "an xz file",
    b"7z\xbc\xaf": "a 7z file",
    b"Rar!": "a rar file",
    b"\x28\xb5\x2f\xfd": "a zstd file",
}
_TAR_MARK = slice(257, 262)
_STEP = 1 << 20


def plain_content(content: bytes, *, most: int = MOST_BYTES) -> bytes:
    """The bytes of the station file itself, or RecordError.

    Only gzip is unpacked, once, and no further than MOST bytes.
    """
    if not content.strip():
        raise RecordError("The file is empty.")
    if len(content) > most:
        raise _too_large(most)
    if content.startswith(_GZIP):
        content = _unpacked(content, most)
        if content.startswith(_GZIP):
            raise RecordError("This file was packed twice; unpack it once.")
        if not content.strip():
            raise RecordError("The packed file is empty.")
    for mark, words in _PACKED.items():
        if content.startswith(mark):
            raise RecordError(
                f"This is {words}. Give the station's own file, plain or as .gz."
            )
    if content[_TAR_MARK] == b"ustar":
        raise RecordError(
            "This is an archive of several files. Give the station's own file, plain "
            "or as .gz."
        )
    if b"\x00" in content[:4096]:
        raise RecordError("This is no text file, so no daily weather is in it.")
    return content


def _unpacked(content: bytes, most: int) -> bytes:
    """What a gzip file holds, piece by piece, so that a small file cannot swell."""
    parts: list[bytes] = []
    total = 0
    rest = content
    try:
        while rest:
            reader = zlib.decompressobj(wbits=31)
            while not reader.eof:
                piece = reader.decompress(rest, _STEP)
                rest = reader.unconsumed_tail
                total += len(piece)
                if total > most:
                    raise _too_large(most)
                parts.append(piece)
                if not piece and not rest and not reader.eof:
                    raise RecordError("The .gz file ends in the middle.")
            # A gzip file may have several members; what follows them is padding.
            rest = reader.unused_data.lstrip(b"\x00")
    except zlib.error:
        raise RecordError("The .gz file is damaged.") from None
    return b"".join(parts)


def _too_large(most: int) -> RecordError:
    return RecordError(
        f"The file is too large: at most {most // 2**20} MB are read, unpacked."
    )
