"""Pieces made from the rows of a list, and changed by them where nobody has changed them since."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import models

from inventory.compute.intake.draft import RowDraft
from inventory.compute.piece_columns import doubts, piece_columns, shortened
from inventory.compute.tags import make_tag
from inventory.models import Piece, PieceFact, Site, Source, SourceRow
from inventory.services.intake_places import PlaceBook
from people.compute.cleaning import sort_key
from people.models import Ministry
from people.services import record

TAG_LETTER = "G"


def _id(row: models.Model | None) -> int | None:
    return row.pk if row else None


def site_of(source: Source, book: PlaceBook, sheet: str) -> Site | None:
    """Return the site the sheet is named for, else the source's."""
    return (book.site_named(sheet) if sheet else None) or source.site


def source_row(source: Source, row: RowDraft, verdict: str, reason: str, piece_id: int | None) -> SourceRow:
    """Return the unsaved record of one row."""
    return SourceRow(
        ministry_id=source.ministry_id,
        source=source,
        sheet=row.sheet[:120],
        row=row.row,
        part=row.part,
        verdict=verdict,
        reason=shortened(reason, 300),
        raw=row.raw,
        fields=row.fields,
        flags=list(row.flags),
        fingerprint=row.fingerprint[:64],
        piece_id=piece_id,
    )


def new_pieces(source: Source, book: PlaceBook, codes: Mapping[str, str], rows: list[RowDraft]) -> list[Piece]:
    """Store and return a piece for each row, with the next free tags. Inside an act."""
    Ministry.objects.select_for_update().get(pk=source.ministry_id)  # two at once must not take the same numbers
    last = Piece.objects.filter(ministry=source.ministry).aggregate(last=models.Max("tag_number"))["last"] or 0
    pieces = []
    for number, row in enumerate(rows, last + 1):
        site = site_of(source, book, row.sheet)
        columns = piece_columns(row, source.ministry.currency)
        piece = Piece(
            ministry_id=source.ministry_id,
            tag=make_tag(TAG_LETTER, number),
            tag_number=number,
            found_at=site,
            place=book.find(site, columns["place_words"]),
            doubts=doubts(row, codes),
            **columns,
        )
        for name, value in keys_of(piece).items():
            setattr(piece, name, value)
        pieces.append(piece)
    stored = record.add_many(pieces)
    record.add_many([fact for piece, row in zip(stored, rows, strict=True) if (fact := _length_fact(piece, row))])
    return stored


def _length_fact(piece: Piece, row: RowDraft) -> PieceFact | None:
    length = row.fields.get("length_mm")
    if not isinstance(length, int | float) or not 0 < length < 10**8:
        return None
    return PieceFact(
        ministry_id=piece.ministry_id,
        piece=piece,
        key="length_mm",
        value=f"{length:g}",
        number=Decimal(str(length)),
        unit="mm",
        from_words=True,
    )


def keys_of(piece: Piece) -> dict[str, str]:
    """Return what a piece is searched and sorted by."""
    words = " ".join(filter(None, (piece.tag, piece.what, piece.maker, piece.model, piece.serial, piece.place_words)))
    return {"search_key": sort_key(words)[:600], "sort_key": sort_key(piece.what)[:200]}


@dataclass
class Changing:
    """Carries what a list says differently now over to its pieces: only where nobody has changed them since."""

    source: Source
    book: PlaceBook
    codes: Mapping[str, str]

    def apply(
        self, triples: Sequence[tuple[Piece, SourceRow | None, RowDraft]], pieces: Mapping[int, Piece]
    ) -> list[Piece]:
        """Change each piece (and the one it was merged into) from what a row said before to what it says now."""
        keepers = self._keepers([piece for piece, _before, _now in triples], pieces)
        pairs: dict[int, tuple[Piece, dict[str, Any]]] = {}
        for piece, before, now in triples:
            for target in (piece, keepers.get(piece.merged_into_id or 0)):
                if target is not None:
                    values = self.values(target, before, now)
                    pairs.setdefault(target.pk, (target, {}))[1].update(values)
        return record.change_each(pairs.values())

    @staticmethod
    def _keepers(changed: list[Piece], known: Mapping[int, Piece]) -> dict[int, Piece]:
        wanted = {piece.merged_into_id for piece in changed if piece.merged_into_id}
        missing = wanted - set(known)
        found = {piece.pk: piece for piece in Piece.objects.filter(pk__in=missing)} if missing else {}
        return {key: found.get(key) or known[key] for key in wanted}

    def values(self, piece: Piece, before: SourceRow | None, now: RowDraft) -> dict[str, Any]:
        """Return the columns of the piece that follow the list: changed there and untouched here."""
        own = self.source.ministry.currency
        wanted = piece_columns(now, own)
        was = piece_columns(as_draft(before), own) if before else _as_it_stands(piece, wanted, now)
        values = {
            name: value for name, value in wanted.items() if value != was[name] and getattr(piece, name) == was[name]
        }
        if "quantity" in values:
            values["is_lot"] = wanted["is_lot"]
        if "place_words" in values:
            values |= self._place(piece, was["place_words"], wanted["place_words"], now.sheet)
        values["doubts"] = self._doubts(piece, before, now)
        if not values.keys().isdisjoint({"what", "maker", "model", "serial", "place_words"}):
            values |= _keys_after(piece, values)
        return values

    def _place(self, piece: Piece, was: str, words: str, sheet: str) -> dict[str, Any]:
        site = site_of(self.source, self.book, sheet)
        before = self.book.find(site, was)
        return {"place": self.book.find(site, words)} if piece.place_id == _id(before) else {}

    def _doubts(self, piece: Piece, before: SourceRow | None, now: RowDraft) -> dict[str, list[str]]:
        was = doubts(as_draft(before), self.codes) if before else {}
        wanted, kept = doubts(now, self.codes), dict(piece.doubts)
        for column in was.keys() | wanted.keys():
            if was.get(column) != wanted.get(column) and kept.get(column) == was.get(column):
                kept[column] = wanted.get(column, [])
        return {column: codes for column, codes in kept.items() if codes}


def _as_it_stands(piece: Piece, wanted: Mapping[str, Any], now: RowDraft) -> dict[str, Any]:
    """Return the piece's columns where the row says something, and the row's own where it is silent."""
    silent = {name for name, value in wanted.items() if value in (None, "", False)}
    silent |= {"area"} | {column for column in ("condition", "quantity", "is_lot") if _said(column) not in now.fields}
    return {name: value if name in silent else getattr(piece, name) for name, value in wanted.items()}


def _said(column: str) -> str:
    return "quantity" if column == "is_lot" else column


def _keys_after(piece: Piece, values: Mapping[str, Any]) -> dict[str, str]:
    names = ("tag", "what", "maker", "model", "serial", "place_words")
    return keys_of(Piece(**{name: values.get(name, getattr(piece, name)) for name in names}))


def as_draft(row: SourceRow) -> RowDraft:
    """Return the stored row as the reader gave it."""
    return RowDraft(
        row.sheet,
        row.row,
        row.part,
        row.verdict,
        row.reason,
        row.fields,
        tuple(row.flags),
        row.raw,
        (),
        row.fingerprint,
    )
