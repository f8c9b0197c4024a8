"""Sound and video taken in as they are: known by their first bytes, rid of the place a phone writes in."""

import os
from collections.abc import Iterator
from typing import IO

# What a film needs to play. Anything else in the file may tell where and by whom it was taken.
_KEPT_BOXES = {
    "": {b"ftyp", b"moov", b"mdat", b"free", b"skip", b"wide", b"moof", b"mfra", b"sidx", b"styp"},
    "moov": {b"mvhd", b"trak", b"mvex", b"iods", b"free"},
    "trak": {b"tkhd", b"edts", b"mdia", b"tref", b"tapt", b"free"},
}
_INTO = {b"moov": "moov", b"trak": "trak"}
IN_BOXES = ("video/mp4", "video/quicktime", "audio/mp4")
_STILLS = (b"heic", b"heix", b"mif1", b"msf1", b"heim", b"heis", b"avif", b"avis")
# Long films come in pieces of a second or so, each with two boxes: this is a day of them.
_MOST_BOXES = 200_000
_SOUND_BRANDS = (b"M4A ", b"M4B ")


def media_type(head: bytes) -> str:
    """What a file's first 64 bytes say it is, of the sound and video that browsers play; '' for others."""
    if head[4:8] == b"ftyp":
        if head[8:12] in _STILLS:
            return ""
        if head[8:12] in _SOUND_BRANDS:
            return "audio/mp4"
        return "video/quicktime" if head[8:12] == b"qt  " else "video/mp4"
    if head.startswith(b"\x1a\x45\xdf\xa3"):
        return "video/webm" if b"webm" in head else ""
    if head.startswith(b"OggS"):
        return "audio/ogg"
    if head.startswith(b"RIFF") and head[8:12] == b"WAVE":
        return "audio/wav"
    if head.startswith(b"fLaC"):
        return "audio/flac"
    if _is_id3(head) or (head[:1] == b"\xff" and head[1:2] in (b"\xfb", b"\xf3", b"\xf2", b"\xfa")):
        return "audio/mpeg"
    if head[:2] in (b"\xff\xf1", b"\xff\xf9"):
        return "audio/aac"
    return ""


def _is_id3(head: bytes) -> bool:
    """Whether a tag of the kind that stands before MP3 sound begins here (id3.org: a version up to 2.4, a size whose
    bytes have their highest bit clear)."""
    return len(head) >= 10 and head[:3] == b"ID3" and head[3] <= 4 and not any(b & 0x80 for b in head[6:10])


def is_still_of_newer_kind(head: bytes) -> bool:
    """Whether this is a picture in a format that some phones use and browsers do not show."""
    return head[4:8] == b"ftyp" and head[8:12] in _STILLS


def blank_place(file: IO[bytes]) -> None:
    """Blank, in an open MP4 or QuickTime file, every box that is not needed to play it; sizes stay.

    Raises ValueError if the boxes do not fit into each other: the file is cut short or damaged.
    """
    file.seek(0, os.SEEK_END)
    _blank_within(file, "", 0, file.tell(), 0, iter(range(_MOST_BOXES)))


def _blank_within(file: IO[bytes], parent: str, start: int, end: int, depth: int, left: Iterator[int]) -> None:
    position = start
    while position < end:
        if next(left, None) is None:
            raise ValueError("too many boxes")
        file.seek(position)
        head = file.read(16)
        size, name = int.from_bytes(head[:4]), head[4:8]
        header = 16 if size == 1 else 8
        if size == 1:
            size = int.from_bytes(head[8:16])
        elif size == 0 and not parent:
            size = end - position
        if parent and size == 0 and end - position <= 8:
            return
        if size < header or position + size > end or len(head) < 8:
            raise ValueError("boxes do not fit")
        if name not in _KEPT_BOXES[parent]:
            _blank(file, position, header, size)
        elif name in _INTO and depth < 3:
            _blank_within(file, _INTO[name], position + header, position + size, depth + 1, left)
        position += size


def _blank(file: IO[bytes], position: int, header: int, size: int) -> None:
    file.seek(position + 4)
    file.write(b"free")
    file.seek(position + header)
    left = size - header
    while left > 0:
        left -= file.write(bytes(min(left, 1 << 20)))
