"""What a list says, read with the church's habits, the columns as put right and the answers given so far."""

from collections.abc import Mapping

from inventory.compute.intake.draft import Draft
from inventory.models import AskedQuestion, Source
from inventory.services.intake_child import Reading, read_list
from inventory.services.intake_files import file_of, kept_draft
from inventory.services.intake_plan import previous_list
from people.clock import today
from people.packs import pack

OWN_CODES = "WHICH_"  # questions of ours that the reader knows nothing of


def read_source(
    source: Source, data: bytes, answers: Mapping[str, str] | None = None, *, mapping: Mapping[str, str] | None = None
) -> Draft:
    """Return what the list says with its columns as mapped and its questions as answered; raises Unreadable."""
    country = pack(source.ministry.country)
    reading = Reading(
        name=source.name,
        day_first=country.day_first,
        currency=source.ministry.currency,
        exponent=country.exponent,
        today=today(source.ministry),
        mapping=_mapping(source.mapping if mapping is None else mapping),
        answers=answers or {},
    )
    return read_list(data, reading)


def _mapping(stored: Mapping[str, str]) -> dict[tuple[str, str], str | None]:
    """Return {(sheet, letter): field or None} of what a source keeps as {'sheet!letter': field or ''}."""
    return {tuple(key.rsplit("!", 1)): to or None for key, to in stored.items()}  # type: ignore[misc]


def draft_of(source: Source) -> Draft:
    """Return what the list was last read as; it is read again where that is not kept. Raises Unreadable."""
    return kept_draft(source) or read_source(source, file_of(source), earlier_answers(source))


def earlier_answers(source: Source) -> dict[str, str]:
    """Return {question key: answer} of this list, or of the same list as it came before. Queries twice."""
    own = list(AskedQuestion.objects.filter(source=source)) if source.pk else []
    if not own:
        before = previous_list(source, ())
        own = list(AskedQuestion.objects.filter(source=before)) if before else []
    return {asked.key: asked.answer for asked in own if asked.answer and not asked.code.startswith(OWN_CODES)}
