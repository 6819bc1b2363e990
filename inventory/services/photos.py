"""Photographs of pieces: drawn anew at two sizes, so that nothing but the picture is kept, above all no location."""

import io
import uuid
from typing import IO, Any

from django.core.files.base import ContentFile
from django.utils.translation import gettext as _

from inventory.models import Photo, Piece
from people.models import Act, Member
from people.services import record

LARGE, SMALL = 1600, 320  # pixels of the longer side
MOST_BYTES = 20_000_000
MOST_PIXELS = 60_000_000  # of the picture as sent: a 4 GB bitmap can hide in a file of 50 kB
KINDS = ("JPEG", "PNG", "WEBP")
QUALITY = {LARGE: 82, SMALL: 76}


class PhotoRefused(ValueError):
    """A file that is not taken; the message is the sentence for the person, `code` for tests."""

    def __init__(self, sentence: str, code: str) -> None:
        super().__init__(sentence)
        self.code = code


def add_photo(
    *, piece: Piece, by: Member | None, file: IO[bytes], size: int, shows: str, caption: str = ""
) -> tuple[Photo, Act]:
    """Store a photograph; raises PhotoRefused. size: of the file in bytes."""
    picture = _opened(file, size)
    large, width, height = _drawn(picture, LARGE)
    small, *_rest = _drawn(picture, SMALL)
    name = uuid.uuid4()
    says = _("Added a photograph of %(piece)s.") % {"piece": piece}
    with record.act(ministry=piece.ministry, by=by, kind="photo-add", says=says) as act:
        photo = Photo(ministry=piece.ministry, piece=piece, shows=shows, caption=caption, width=width, height=height)
        photo.file.save(f"{name}.webp", ContentFile(large), save=False)
        photo.small.save(f"{name}-small.webp", ContentFile(small), save=False)
        return record.add(photo), act


def remove_photo(*, photo: Photo, by: Member | None) -> Act:
    """Take a photograph off its piece; the files stay, so that it can come back."""
    says = _("Took a photograph off %(piece)s.") % {"piece": photo.piece}
    with record.act(ministry=photo.ministry, by=by, kind="photo-remove", says=says) as act:
        record.remove(photo)
        return act


def _opened(file: IO[bytes], size: int) -> Any:
    """Return the picture upright and in plain colors; raises PhotoRefused."""
    from PIL import Image, ImageOps

    if size > MOST_BYTES:
        raise PhotoRefused(_("This file is larger than 20 MB. Send a smaller copy."), "large")
    try:
        picture = Image.open(file, formats=KINDS)
        if picture.width * picture.height > MOST_PIXELS:
            raise PhotoRefused(_("This picture has more than 60 million points. Send a smaller copy."), "pixels")
        upright = ImageOps.exif_transpose(picture)
        return _flat(upright)
    except PhotoRefused:
        raise
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError) as error:
        raise PhotoRefused(
            _("This is no picture that can be read. Send a JPEG, PNG or WebP; phones can be set to take JPEG."), "kind"
        ) from error


def _flat(picture: Any) -> Any:
    """Return the picture in RGB on white, without anything the file carried beside it."""
    from PIL import Image

    flat = Image.new("RGB", picture.size, "white")
    shaped = picture.convert("RGBA") if "A" in picture.getbands() or "transparency" in picture.info else None
    flat.paste(shaped or picture.convert("RGB"), mask=shaped)
    return flat


def _drawn(picture: Any, longest: int) -> tuple[bytes, int, int]:
    """Return (WebP, width, height), no side longer than `longest`, never enlarged."""
    drawn = picture.copy()
    drawn.thumbnail((longest, longest))
    file = io.BytesIO()
    drawn.save(file, "WEBP", quality=QUALITY[longest])
    return file.getvalue(), drawn.width, drawn.height
