"""A picture taken in: looked at by its content, turned upright, rid of all that a camera writes into it.

The imaging library is only loaded when a picture comes in.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import datetime
from typing import IO, TYPE_CHECKING

from garage.errors import GarageError

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_PIXELS = 60_000_000
THUMB_PX = 480
_READ = ("JPEG", "PNG", "WEBP", "GIF")
_KEPT_AS = {"JPEG": "JPEG", "MPO": "JPEG", "PNG": "PNG", "WEBP": "WEBP", "GIF": "PNG"}
_MEDIA_TYPES = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
# Tags of the block in which a camera writes (Exif 2.32, CIPA DC-008), from memory.
_EXIF_BLOCK, _TAKEN, _TAKEN_OFFSET = 0x8769, 0x9003, 0x9011


class UnreadableFile(GarageError):
    """A file that is not taken in; its own text says why, for the page."""


@dataclass(frozen=True)
class Picture:
    """A cleaned picture: its bytes and a thumbnail's, and when it was taken if the camera wrote that."""

    content: bytes
    thumb: bytes
    media_type: str
    width_px: int
    height_px: int
    taken: datetime | None


def read_picture(file: IO[bytes], name: str) -> Picture:
    """The picture in `file`. Raises UnreadableFile in words; `name` is how the message calls it."""
    from PIL import Image, UnidentifiedImageError

    file.seek(0)
    try:
        with Image.open(file, formats=_READ) as opened:
            _refuse_too_large(opened, name)
            taken = _taken(opened)
            kept_as = _KEPT_AS[opened.format or "PNG"]
            upright = _upright(opened)
        content = _encoded(upright, kept_as)
        return Picture(content, _thumb(content), _MEDIA_TYPES[kept_as], *upright.size, taken)
    except UnidentifiedImageError as error:
        raise UnreadableFile(
            f"{name} is not a picture, sound or video that can be kept here (JPEG, PNG, WebP and GIF "
            "pictures, the usual sound and video files)."
        ) from error
    except Image.DecompressionBombError as error:
        raise UnreadableFile(f"{name} has too many dots to be kept here.") from error
    except (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError) as error:
        raise UnreadableFile(f"{name} is damaged or cut short; it was not kept.") from error


def _refuse_too_large(opened: Image, name: str) -> None:
    if opened.width * opened.height > MOST_PIXELS:
        raise UnreadableFile(
            f"{name} has {opened.width} × {opened.height} dots; {MOST_PIXELS // 1_000_000} million fit."
        )


def _upright(opened: Image) -> Image:
    """The dots alone, turned as the camera was held, in a mode that every browser shows."""
    from PIL import ImageOps

    turned = ImageOps.exif_transpose(opened)
    see_through = turned.mode in ("RGBA", "LA", "PA") or "transparency" in turned.info
    if turned.mode != "L" or see_through:
        turned = turned.convert("RGBA" if see_through else "RGB")
    return _in_common_colours(turned, opened.info.get("icc_profile"))


def _in_common_colours(picture: Image, profile: bytes | None) -> Image:
    """Colours of a camera's own profile turned to sRGB, so that the profile can be left out."""
    from PIL import ImageCms

    if not profile or picture.mode != "RGB":
        return picture
    try:
        return ImageCms.profileToProfile(picture, io.BytesIO(profile), ImageCms.createProfile("sRGB")) or picture
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture


def _encoded(picture: Image, kept_as: str) -> bytes:
    # Only dots pass into the new picture; everything else that travelled with the old one stays behind.
    bare = _bare(picture)
    if kept_as == "JPEG" and bare.mode == "RGBA":
        bare = bare.convert("RGB")
    out = io.BytesIO()
    bare.save(out, kept_as, **({} if kept_as == "PNG" else {"quality": 90}))
    return out.getvalue()


def _bare(picture: Image) -> Image:
    from PIL import Image as images

    bare = images.new(picture.mode, picture.size)
    bare.paste(picture)
    return bare


def _thumb(content: bytes) -> bytes:
    from PIL import Image as images

    with images.open(io.BytesIO(content)) as small:
        # A JPEG can be read at an eighth of its size straight away, which is what makes this quick.
        small.draft("RGB", (THUMB_PX, THUMB_PX))
        small.thumbnail((THUMB_PX, THUMB_PX))
        if small.mode == "RGBA":
            ground = images.new("RGB", small.size, "white")
            ground.paste(small, mask=small.getchannel("A"))
        else:
            ground = small.convert("RGB")
        out = io.BytesIO()
        ground.save(out, "JPEG", quality=82)
        return out.getvalue()


def _taken(opened: Image) -> datetime | None:
    """When the camera says the picture was taken; None if it does not say, or nonsense."""
    try:
        block = opened.getexif().get_ifd(_EXIF_BLOCK)
        local = datetime.strptime(str(block[_TAKEN]).strip("\0 "), "%Y:%m:%d %H:%M:%S")
        offset = str(block.get(_TAKEN_OFFSET, "")).strip("\0 ")
        when = datetime.fromisoformat(f"{local.isoformat()}{offset}")
        return when if when.tzinfo else when.astimezone()
    except Exception:  # A camera may write anything here, and the picture is good without it.
        return None
