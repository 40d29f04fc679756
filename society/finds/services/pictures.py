"""Reading an uploaded picture safely, and making its renditions: no database here.

A picture is judged by its header before it is decoded. The original is kept byte for byte;
a rendition is decoded, turned upright, brought to sRGB and encoded anew with no metadata at all.
"""

import io
from dataclasses import dataclass
from typing import IO

from django.utils.translation import gettext as _
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError
from pillow_heif import register_heif_opener

from society.core.errors import Refused

register_heif_opener()
# The limits are ours, below: they are checked by the header, before anything is decoded.
Image.MAX_IMAGE_PIXELS = None

# A JPEG of several frames (MPO) comes through the JPEG reader.
FORMATS = ("JPEG", "PNG", "WEBP", "AVIF", "HEIF", "TIFF")
SIZES = (320, 1024, 2048)
# A plain JPEG can be decoded small; anything else is decoded whole, so it has a lower limit.
MOST_PIXELS_JPEG = 200_000_000
MOST_PIXELS = 60_000_000
LEAST_SIDE = 16
QUALITY = 85


@dataclass(frozen=True, slots=True)
class PictureRead:
    """What the header of an accepted picture says; width and height as it stands upright."""

    format: str
    width: int
    height: int


def picture_read(file: IO[bytes]) -> PictureRead:
    """Return what an upload is, having decoded it once to prove it whole; else ``Refused``."""
    file.seek(0)
    try:
        with Image.open(file, formats=FORMATS) as image:
            _size_allowed(image)
            width, height = image.size
            upright = _decoded(image, 320)
            kind = image.format or ""
    except Refused:
        raise
    except UnidentifiedImageError as error:
        raise Refused(
            _("This is no picture the logbook can read: JPEG, PNG, WebP, AVIF, HEIC or TIFF."),
            "not_a_picture",
            field="photograph",
        ) from error
    except Exception as error:  # decoders raise what they like on damaged data
        raise Refused(
            _("This picture is damaged or cut short. Send it again, or take it anew."),
            "damaged",
            field="photograph",
        ) from error
    # Some decoders turn a picture by themselves, some leave it to us: what came out tells.
    if (width > height) != (upright.width > upright.height) and upright.width != upright.height:
        width, height = height, width
    return PictureRead(format="JPEG" if kind == "MPO" else kind, width=width, height=height)


def rendition_made(file: IO[bytes], longest_side: int) -> bytes:
    """Return the picture as a JPEG, at most ``longest_side`` pixels, upright, without metadata."""
    file.seek(0)
    with Image.open(file, formats=FORMATS) as image:
        picture = _decoded(image, longest_side)
        picture.thumbnail((longest_side, longest_side), Image.Resampling.LANCZOS, reducing_gap=3.0)
        out = io.BytesIO()
        clean = Image.new("RGB", picture.size)
        clean.paste(picture)
        clean.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=True)
        return out.getvalue()


def _size_allowed(image: Image.Image) -> None:
    pixels = image.width * image.height
    is_plain_jpeg = image.format in ("JPEG", "MPO") and image.mode in ("RGB", "L")
    scales = is_plain_jpeg and not image.info.get("progressive")
    if pixels > (MOST_PIXELS_JPEG if scales else MOST_PIXELS):
        raise Refused(_too_large(), "too_many_pixels", field="photograph")
    if min(image.size) < LEAST_SIDE:
        raise Refused(_("This picture is too small to show anything."), "tiny", field="photograph")


def _too_large() -> str:
    return _("This picture has too many pixels. Send it as a JPEG, or smaller.")


def _decoded(image: Image.Image, longest_side: int) -> Image.Image:
    """Decode, no larger than needed, upright, in sRGB, on white where it was transparent."""
    if image.format in ("JPEG", "MPO"):
        image.draft("RGB", (longest_side * 2, longest_side * 2))
    image.load()
    profile = image.info.get("icc_profile")
    try:
        picture = ImageOps.exif_transpose(image)
    except Exception:  # noqa: BLE001 - nonsense in the metadata is no reason to refuse
        picture = image
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        ground = Image.new("RGBA", picture.size, "white")
        picture = Image.alpha_composite(ground, picture.convert("RGBA"))
    if picture.mode.startswith("I"):  # 16 bits a pixel: keep the upper eight
        picture = picture.convert("I").point(lambda value: value / 256).convert("L")
    return _in_srgb(picture.convert("RGB"), profile)


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    if not profile:
        return picture
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        converted = ImageCms.profileToProfile(picture, source, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture
    return converted or picture
