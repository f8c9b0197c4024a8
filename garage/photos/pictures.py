"""A picture taken in: looked at by its content, turned upright, rid of all that a camera writes into it."""

import io
from dataclasses import dataclass
from datetime import datetime
from typing import IO

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from garage.errors import GarageError

MOST_PIXELS = 60_000_000
THUMB_PX = 480
_READ = ("JPEG", "PNG", "WEBP", "GIF")
_MEDIA_TYPES = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
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
    try:
        with Image.open(file, formats=_READ) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise UnreadableFile(
                    f"{name} has {opened.width} × {opened.height} dots; at most {MOST_PIXELS // 1_000_000} million fit."
                )
            taken = _taken(opened)
            upright = _upright(opened)
            kept_as = opened.format if opened.format in _MEDIA_TYPES else "JPEG" if opened.format == "MPO" else "PNG"
        content = _encoded(upright, kept_as or "PNG")
        return Picture(
            content, _thumb(content), _MEDIA_TYPES[kept_as or "PNG"], upright.width, upright.height, taken
        )
    except UnidentifiedImageError as error:
        raise UnreadableFile(f"{name} is not a picture that can be read here (JPEG, PNG, WebP and GIF are).") from error
    except (OSError, SyntaxError, ValueError, EOFError, Image.DecompressionBombError) as error:
        raise UnreadableFile(f"{name} is damaged or cut short; it was not kept.") from error


def _upright(opened: Image.Image) -> Image.Image:
    """The dots alone, turned as the camera was held, in a mode that every browser shows."""
    turned = ImageOps.exif_transpose(opened)
    see_through = turned.mode in ("RGBA", "LA", "PA") or "transparency" in turned.info
    plain = turned.convert("RGBA" if see_through else "RGB") if turned.mode not in ("L",) else turned
    return _in_common_colours(plain, opened.info.get("icc_profile"))


def _in_common_colours(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Colours of a camera's own profile turned to sRGB, so that the profile can be left out."""
    if not profile or picture.mode != "RGB":
        return picture
    try:
        return ImageCms.profileToProfile(picture, io.BytesIO(profile), ImageCms.createProfile("sRGB")) or picture
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture


def _encoded(picture: Image.Image, kept_as: str) -> bytes:
    bare = Image.new(picture.mode, picture.size)
    bare.paste(picture)
    if kept_as == "JPEG" and bare.mode == "RGBA":
        bare = bare.convert("RGB")
    out = io.BytesIO()
    bare.save(out, kept_as, **({} if kept_as == "PNG" else {"quality": 90}))
    return out.getvalue()


def _thumb(content: bytes) -> bytes:
    with Image.open(io.BytesIO(content)) as small:
        # A JPEG can be read at an eighth of its size straight away, which is what makes this quick.
        small.draft("RGB", (THUMB_PX, THUMB_PX))
        small.thumbnail((THUMB_PX, THUMB_PX))
        if small.mode == "RGBA":
            ground = Image.new("RGB", small.size, "white")
            ground.paste(small, mask=small.getchannel("A"))
        else:
            ground = small.convert("RGB")
        out = io.BytesIO()
        ground.save(out, "JPEG", quality=82)
        return out.getvalue()


def _taken(opened: Image.Image) -> datetime | None:
    """When the camera says the picture was taken; None if it does not say, or nonsense."""
    try:
        block = opened.getexif().get_ifd(_EXIF_BLOCK)
        local = datetime.strptime(str(block[_TAKEN]).strip("\0 "), "%Y:%m:%d %H:%M:%S")
        offset = str(block.get(_TAKEN_OFFSET, "")).strip("\0 ")
        return datetime.fromisoformat(f"{local.isoformat()}{offset}").astimezone()
    except (KeyError, ValueError, OverflowError, OSError, SyntaxError, TypeError):
        return None
