"""Uploaded pictures, made safe: decoded, turned upright, made smaller, and written anew without their metadata."""

from __future__ import annotations

import io
import warnings
from typing import Any

MOST_BYTES = 20 * 1024 * 1024
LONGEST_SIDE_PX = 2000
MOST_PIXELS = 60_000_000
QUALITY = 85
ACCEPTED = {"JPEG": "JPEG", "MPO": "JPEG", "PNG": "PNG"}
REFUSED = "Send a JPEG or PNG picture (on an iPhone: Settings, Camera, Formats, Most Compatible)."


def reencoded(upload: Any) -> tuple[bytes, str]:
    """(JPEG bytes, "") or (b"", what is wrong with it). ``upload``: an open file or Django's uploaded file."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    upload.seek(0)
    raw = upload.read(MOST_BYTES + 1)
    if not raw:
        return b"", "Choose a photo."
    if len(raw) > MOST_BYTES:
        return b"", f"At most {MOST_BYTES // 1024 // 1024} MB."
    try:
        with warnings.catch_warnings():
            # A small file can unfold into gigabytes: Pillow's warning about it is an error here.
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(raw), formats=("JPEG", "PNG")) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    return b"", f"At most {MOST_PIXELS // 1_000_000} megapixels."
                picture.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))
                upright = ImageOps.exif_transpose(picture)
                upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
                flat = _flattened(upright)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        return b"", f"At most {MOST_PIXELS // 1_000_000} megapixels."
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        return b"", REFUSED
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue(), ""


def _flattened(picture: Any) -> Any:
    """On white where it was transparent; a new image, so that no metadata comes along."""
    from PIL import Image

    rgba = picture.convert("RGBA") if picture.mode in ("RGBA", "LA", "P") else None
    flat = Image.new("RGB", picture.size, "white")
    flat.paste(rgba or picture.convert("RGB"), mask=rgba.getchannel("A") if rgba else None)
    return flat
