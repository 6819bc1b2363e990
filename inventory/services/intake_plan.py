"""What taking a list in would do: each row against the same list of before and the pieces there are."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _

from inventory.compute.intake.draft import ASK, CHANGES, LEFT_OUT, VERDICTS, Draft, RowDraft
from inventory.compute.piece_columns import BETWEEN, makes_a_piece
from inventory.compute.relisting import ListedRow, changed_fields, folded, matched, same_list
from inventory.compute.tags import TagError, read_tag
from inventory.models import Piece, Source, SourceRow
from people.models import Ministry

# Fields named to a person when they change; the others change silently with them.
NAMED = {
    "what": _("what it is"),
    "maker": _("the maker"),
    "model": _("the model"),
    "serial": _("the serial"),
    "quantity": _("how many"),
    "condition": _("the condition"),
    "year": _("the year"),
    "price_minor": _("the price"),
    "currency": _("the currency"),
    "place": _("the place"),
    "kg": _("the weight"),
    "owner": _("whose it is"),
    "note": _("the note"),
}


@dataclass(frozen=True)
class PlannedRow:
    """One row with what will become of it; `before` is the row of the earlier list, `piece_id` what it changes."""

    draft: RowDraft
    verdict: str
    reason: str
    piece_id: int | None = None
    before: SourceRow | None = None

    @property
    def adds(self) -> bool:
        return self.piece_id is None and makes_a_piece(self.draft)


@dataclass(frozen=True)
class Plan:
    """All rows of a list with their verdicts; `previous` is the same list as it came before."""

    rows: tuple[PlannedRow, ...]
    previous: Source | None = None
    missing: int = 0  # pieces of the list before that do not stand on it now
    pieces: Mapping[int, Piece] = field(default_factory=dict)  # the pieces that rows change, by id

    @cached_property
    def counts(self) -> dict[str, int]:
        found = Counter(row.verdict for row in self.rows)
        return {verdict: found[verdict] for verdict in VERDICTS}

    def of(self, verdict: str) -> list[PlannedRow]:
        return [row for row in self.rows if row.verdict == verdict]


def with_notes(row: RowDraft) -> RowDraft:
    """Return the row with the remarks around it in its note, so that the stored fields say everything."""
    if not row.notes:
        return row
    parts = [*str(row.fields.get("note", "")).split(BETWEEN), *row.notes]
    note = BETWEEN.join(dict.fromkeys(filter(None, (part.strip() for part in parts))))
    return replace(row, fields={**row.fields, "note": note}, notes=())


def plan(source: Source, draft: Draft) -> Plan:
    """Return what taking the list in would do. Reads the store with a number of queries that does not grow."""
    rows = [with_notes(row) for row in draft.rows]
    previous = previous_list(source, rows)
    before = {str(row.pk): row for row in SourceRow.objects.filter(source=previous)} if previous else {}
    partners = matched([_listed(row.key, row) for row in rows], [_listed(key, row) for key, row in before.items()])
    by_tag = _pieces_by_tag(source.ministry, rows)
    wanted = {before[key].piece_id for key in partners.values()} | set(by_tag.values())
    pieces = _pieces(key for key in wanted if key is not None)
    planned = tuple(_planned(row, before.get(partners.get(row.key, "")), by_tag, pieces) for row in rows)
    still = set(partners.values())
    missing = sum(row.piece_id is not None and key not in still for key, row in before.items())
    return Plan(planned, previous, missing, pieces)


def _pieces(ids: Iterable[int]) -> dict[int, Piece]:
    wanted = set(ids)
    return {piece.pk: piece for piece in Piece.objects.filter(pk__in=wanted)} if wanted else {}


def _listed(key: str, row: RowDraft | SourceRow) -> ListedRow:
    return ListedRow(key, row.sheet, row.row, row.part, row.fingerprint, row.fields)


def _planned(
    row: RowDraft, before: SourceRow | None, by_tag: Mapping[str, int], pieces: Mapping[int, Piece]
) -> PlannedRow:
    known = before.piece_id if before else by_tag.get(row.key)
    if row.verdict == LEFT_OUT or known is None or known not in pieces:
        return PlannedRow(row, row.verdict, row.reason)
    piece = pieces[known]
    if before is None:
        return PlannedRow(row, CHANGES, _("It carries our tag %(tag)s.") % {"tag": piece.tag}, known)
    names = changed_fields(before.fields, row.fields)
    if not names:
        reason = _("Says the same as before: %(tag)s stays as it is.") % {"tag": piece.tag}
        return PlannedRow(row, LEFT_OUT, reason, known, before)
    return PlannedRow(row, CHANGES, _change_words(piece, names), known, before)


def _change_words(piece: Piece, names: Mapping[str, Any]) -> str:
    words = [str(said) for name, said in NAMED.items() if name in names]
    if not words:
        return _("Changes details of %(tag)s.") % {"tag": piece.tag}
    return _("Changes %(names)s of %(tag)s.") % {"names": ", ".join(words), "tag": piece.tag}


def previous_list(source: Source, rows: Iterable[RowDraft]) -> Source | None:
    """Return the list this one is a newer version of: the same file, the same name, or mostly the same rows."""
    taken = Source.objects.filter(ministry=source.ministry, taken_in__isnull=False).exclude(pk=source.pk)
    candidates = list(taken.order_by("-id").defer("draft"))
    same_file = [one for one in candidates if one.sha256 == source.sha256]
    same_name = [
        one for one in candidates if folded(one.name) == folded(source.name) and one.site_id in (None, source.site_id)
    ]
    if same_file or same_name or not candidates:
        return next(iter(same_file or same_name), None)
    here = [one for one in candidates if None in (one.site_id, source.site_id) or one.site_id == source.site_id]
    return _mostly_the_same(here, [row.fingerprint for row in rows])


def _mostly_the_same(candidates: list[Source], now: list[str]) -> Source | None:
    before: dict[int, list[str]] = {one.pk: [] for one in candidates}
    pairs = SourceRow.objects.filter(source__in=candidates, piece__isnull=False).values_list("source_id", "fingerprint")
    for source_id, fingerprint in pairs.iterator():
        before[source_id].append(fingerprint)
    return next((one for one in candidates if same_list(now, before[one.pk])), None)


def _pieces_by_tag(ministry: Ministry, rows: Iterable[RowDraft]) -> dict[str, int]:
    """Return {row key: piece} for rows that carry one of our own whole tags and agree with that piece."""
    tags = {row.key: tag for row in rows if (tag := _own_tag(row.fields.get("tag")))}
    if not tags:
        return {}
    known = {piece.tag: piece for piece in Piece.objects.filter(ministry=ministry, tag__in=set(tags.values()))}
    named = {row.key: row for row in rows}
    return {key: known[tag].pk for key, tag in tags.items() if tag in known and _agrees(named[key].fields, known[tag])}


def _own_tag(text: object) -> str:
    try:
        reading = read_tag(str(text or ""))
    except TagError:
        return ""
    return reading.tag if reading.has_check else ""


def _agrees(fields: Mapping[str, Any], piece: Piece) -> bool:
    pairs = (
        (fields.get("serial_key"), piece.serial_key),
        (folded(fields.get("what")), folded(piece.what)),
        (folded(fields.get("model")), folded(piece.model)),
    )
    return any(here and here == there for here, there in pairs)


def needs_words(rows: Iterable[PlannedRow]) -> int:
    """Return how many rows wait for a word."""
    return sum(row.verdict == ASK for row in rows)
