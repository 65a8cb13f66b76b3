"""Photographs: taken in as pictures only, without the place and owner a camera writes."""

import warnings
from datetime import datetime
from io import BytesIO

from django.core.files.base import ContentFile
from django.db import transaction
from django.db.models.fields.files import FieldFile

from jobs.models import Panel, Photo
from studio.domain.records import keep_record
from studio.refusal import Refused

LONG_SIDE = 2048
MOST_PIXELS = 50_000_000
NOT_A_PICTURE = "This is not a picture we can read. Send a JPEG, PNG or WebP."


def redrawn(upload) -> ContentFile:
    """Return the upload as a plain JPEG of at most 2048 px. Raises Refused if it is no picture.

    It takes a second or more: call it outside of a transaction.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError  # slow import

    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            opened = Image.open(upload, formats=["JPEG", "PNG", "WEBP"])
            upright = ImageOps.exif_transpose(opened).convert("RGB")
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise Refused("This picture is too large: more than 50 million points.", "image") from error
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as error:
        raise Refused(NOT_A_PICTURE, "image") from error
    upright.thumbnail((LONG_SIDE, LONG_SIDE))
    # Pasting into a new picture leaves the camera's notes behind; saving the old one keeps some.
    plain = Image.new("RGB", upright.size)
    plain.paste(upright)
    out = BytesIO()
    plain.save(out, "JPEG", quality=85)
    return ContentFile(out.getvalue(), name="photo.jpg")


@transaction.atomic
def add_photo(panel: Panel, *, image: ContentFile, caption: str, at: datetime) -> Photo:
    """Keep a photograph of a panel. `image` is what `redrawn` made of it."""
    return keep_record(Photo(panel=panel, image=image, caption=caption, taken_at=at))


def clear_away(picture: FieldFile) -> None:
    """Delete the file of a removed picture, once what is stored of it is surely gone."""
    if picture:
        transaction.on_commit(lambda: picture.storage.delete(picture.name))
