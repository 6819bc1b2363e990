"""The lists as they arrived and their drafts, kept beside the database; nobody reaches them by an address."""

import hashlib
import zlib

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from inventory.compute.intake.draft import Draft
from inventory.models import Source
from people.models import Ministry


def fingerprint_of(data: bytes) -> str:
    """Return the SHA-256 of a file in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def keep_file(ministry: Ministry, data: bytes) -> str:
    """Store a file under its content and return the name it can be found by; the same content is stored once."""
    name = f"lists/{ministry.uid}/{fingerprint_of(data)}"
    return name if default_storage.exists(name) else default_storage.save(name, ContentFile(data))


def file_of(source: Source) -> bytes:
    """Return the list as it arrived. Raises FileNotFoundError when the store lost it."""
    with default_storage.open(source.draft["file"]) as kept:
        return kept.read()


def keep_draft(source: Source, draft: Draft) -> None:
    """Store what the list was last read as, for the pages that follow."""
    name = _draft_name(source)
    if default_storage.exists(name):
        default_storage.delete(name)
    default_storage.save(name, ContentFile(zlib.compress(draft.to_json().encode("utf-8", "replace"), 1)))


def kept_draft(source: Source) -> Draft | None:
    """Return what the list was last read as, None where it is not kept any more."""
    name = _draft_name(source)
    if not default_storage.exists(name):
        return None
    with default_storage.open(name) as kept:
        return Draft.from_json(zlib.decompress(kept.read()).decode("utf-8"))


def _draft_name(source: Source) -> str:
    return f"lists/{source.ministry.uid}/{source.uid}.draft"
