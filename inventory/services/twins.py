"""Two entries that may be one thing: suggested with evidence, ruled on by a person, and taken apart again."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.apps import apps
from django.db import IntegrityError, models, transaction
from django.utils.translation import gettext as _

from inventory.compute.twins import TwinRow, suggest
from inventory.models import Piece, SourceRow, Twin
from people.clock import today
from people.models import Member, Ministry, Tracked
from people.services import record

# What is filled from the second piece where the first says nothing, and may be chosen from where both do.
MERGED = (
    "what", "maker", "model", "serial", "quantity", "condition", "place", "year", "paid_minor", "resale_minor",
    "bond_words", "watts", "rack_units", "mass_g", "radio_low_khz", "note",
)  # fmt: skip
TOGETHER = {
    "serial": ("serial_key",),
    "quantity": ("is_lot",),
    "place": ("place_words", "found_at"),
    "year": ("year_precision", "bought_on"),
    "paid_minor": ("price_currency",),
    "resale_minor": ("price_currency",),
    "radio_low_khz": ("radio_high_khz",),
}
BLANK: dict[str, tuple[Any, ...]] = {"condition": ("not yet tested",)}
BETWEEN = " | "


class CannotRule(Exception):
    """The pair stays as it is; `sentence` says why and what to do."""

    def __init__(self, sentence: str, code: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.code = code


def suggest_twins(*, ministry: Ministry, pieces: Sequence[Piece]) -> list[Twin]:
    """Store and return open pairs of new pieces with each other and with what there is. Inside an act; merges nothing.

    A pair that was ever suggested is not suggested again.
    """
    if not pieces:
        return []
    new = {piece.pk for piece in pieces}
    rows = twin_rows(ministry)
    known = {frozenset(pair) for pair in Twin.objects.filter(ministry=ministry).values_list("first_id", "second_id")}
    made = []
    for found in suggest(rows):
        first, second = sorted((int(found.key_a), int(found.key_b)))
        if not new.isdisjoint({first, second}) and frozenset({first, second}) not in known:
            known.add(frozenset({first, second}))
            made.append(
                Twin(
                    ministry=ministry,
                    first_id=first,
                    second_id=second,
                    bits=found.bits,
                    hint=found.verdict_hint[:40],
                    evidence=list(found.evidence),
                )
            )
    return record.add_many(made)


def twin_rows(ministry: Ministry) -> list[TwinRow]:
    """Return every listed piece as comparing needs it, with the list and row it first stood on; two queries."""
    firsts: dict[int, _First] = {}
    rows = SourceRow.objects.filter(ministry=ministry, piece__isnull=False).order_by("-id")
    for piece, *first in rows.values_list("piece_id", "source__name", "sheet", "row", "fields__tag", "flags"):
        firsts[piece] = tuple(first)
    columns = ("pk", "found_at__code", "place__name", *_COMPARED)
    return [_twin_row(values, firsts) for values in Piece.objects.filter(ministry=ministry).listed().values(*columns)]


_COMPARED = (
    "what", "maker", "model", "serial", "serial_key", "quantity", "condition", "year", "place_words", "note", "tag",
    "radio_low_khz", "radio_high_khz",
)  # fmt: skip


_First = tuple[str, str, int, Any, list[str]]  # list, sheet, row, the list's own number, flags


def _twin_row(piece: Mapping[str, Any], firsts: Mapping[int, _First]) -> TwinRow:
    name, sheet, row, own_number, flags = firsts.get(piece["pk"], ("", "", 0, None, []))
    now = {
        "what": piece["what"],
        "maker": piece["maker"],
        "model": piece["model"],
        "serial": piece["serial"],
        "serial_key": piece["serial_key"],
        "quantity": piece["quantity"],
        "condition": piece["condition"],
        "year": piece["year"],
        "place": piece["place_words"] or piece["place__name"],
        "band_low_khz": piece["radio_low_khz"],
        "band_high_khz": piece["radio_high_khz"],
        "tag": own_number,
    }
    source = "/".join(filter(None, (name, sheet)))
    known = {field: value for field, value in now.items() if value not in (None, "")}
    site = piece["found_at__code"] or source
    return TwinRow(str(piece["pk"]), site, source, known, row, piece["note"], tuple(flags))


def differing(first: Piece, second: Piece) -> list[tuple[str, Any, Any]]:
    """Return (column, first's value, second's) where both say something and not the same."""
    pairs = ((name, getattr(first, name), getattr(second, name)) for name in MERGED if name != "note")
    return [(n, a, b) for n, a, b in pairs if a != b and not _blank(n, a) and not _blank(n, b)]


def _blank(name: str, value: Any) -> bool:
    return value in (None, "") or value in BLANK.get(name, ())


def rule_two_pieces(*, twin: Twin, by: Member | None) -> Twin:
    """Remember that the two are two; they will not be suggested again."""
    _refuse_ruled(twin)
    says = _("%(first)s and %(second)s are two pieces.") % _tags(twin)
    with record.act(ministry=twin.ministry, by=by, kind="twin-two", says=says):
        record.change(twin, ruling=Twin.Ruling.TWO, ruled_on=today(twin.ministry))
    return twin


def rule_one_piece(*, twin: Twin, by: Member | None, from_second: Iterable[str] = ()) -> Twin:
    """Make the two one: the first stays on the list, filled from the second where it says nothing.

    from_second: columns to take from the second although the first has a value. What pointed at the second (needs,
    checks, moves, choices, orders) points at the first; both keep the rows they came from. Raises CannotRule.
    """
    _refuse_ruled(twin)
    first, second = twin.first, twin.second
    _refuse_merged(first, second)
    values = merged_values(first, second, frozenset(from_second))
    says = _("%(first)s and %(second)s are one piece.") % _tags(twin)
    with record.act(ministry=twin.ministry, by=by, kind="twin-one", says=says):
        before = {name: _plain(first, name) for name in values}
        record.change(first, **values)
        kept = {
            "values": before,
            "made": {name: _plain(first, name) for name in values},
            "moved": _repoint(second, first),
        }
        record.change(second, merged_into=first)
        record.change(twin, ruling=Twin.Ruling.ONE, ruled_on=today(twin.ministry), kept_before=kept)
    return twin


def merged_values(first: Piece, second: Piece, from_second: frozenset[str]) -> dict[str, Any]:
    """Return the columns of the first that a merge would set."""
    values: dict[str, Any] = {}
    for name in MERGED:
        mine, other = getattr(first, name), getattr(second, name)
        takes = name in from_second or (_blank(name, mine) and not _blank(name, other))
        if name != "note" and takes and mine != other:
            values |= {each: getattr(second, each) for each in (name, *TOGETHER.get(name, ()))}
    notes = dict.fromkeys(part for piece in (first, second) for part in piece.note.split(BETWEEN) if part)
    values["note"] = BETWEEN.join(notes)[: Piece._meta.get_field("note").max_length]
    doubts = {column: codes for column, codes in first.doubts.items() if column not in values or column == "note"}
    doubts |= {column: codes for column, codes in second.doubts.items() if column in values and column != "note"}
    values["doubts"] = doubts
    values["never_sell"] = first.never_sell or second.never_sell
    return values | _keys(first, values)


def _keys(first: Piece, values: Mapping[str, Any]) -> dict[str, str]:
    from inventory.services.intake_pieces import keys_of

    names = ("tag", "what", "maker", "model", "serial", "place_words")
    return keys_of(Piece(**{name: values.get(name, getattr(first, name)) for name in names}))


def _plain(piece: Piece, name: str) -> Any:
    """Return a column's value as JSON can keep it."""
    value = piece.tracked_values().get(name, piece.tracked_values().get(f"{name}_id"))
    return value if isinstance(value, str | int | bool | dict | type(None)) else str(value)


def _repoint(second: Piece, first: Piece) -> list[list[Any]]:
    """Let what points at the second point at the first; return [[model, id, field]] of what was moved.

    What would then stand there twice (the same choice for the same need) stays with the second.
    """
    moved: list[list[Any]] = []
    for relation in Piece._meta.related_objects:
        model, name = relation.related_model, relation.field.name
        if not issubclass(model, Tracked) or model in (SourceRow, Twin):
            continue
        for row in model._default_manager.filter(**{name: second}):
            if _moved(row, name, first):
                moved.append([model._meta.label, row.pk, name])
    return moved


def _moved(row: Tracked, name: str, to: Piece) -> bool:
    try:
        with transaction.atomic():
            record.change(row, **{name: to})
    except IntegrityError:
        return False
    return True


def unmerge(*, twin: Twin, by: Member | None) -> Twin:
    """Make one piece two again as one act: the second is back on the list, the pair undecided.

    A value the merge set and nobody has changed since returns to what it was; later changes stay. Raises CannotRule.
    """
    if twin.ruling != Twin.Ruling.ONE:
        raise CannotRule(_("These two are not merged."), "not_merged")
    first, second = twin.first, twin.second
    kept = twin.kept_before
    says = _("%(first)s and %(second)s are two again.") % _tags(twin)
    with record.act(ministry=twin.ministry, by=by, kind="twin-unmerge", says=says):
        unchanged = [name for name, made in kept.get("made", {}).items() if _plain(first, name) == made]
        record.change(first, **{name: _restored(first, name, kept["values"][name]) for name in unchanged})
        for label, key, name in kept.get("moved", ()):
            _move_back(apps.get_model(label), key, name, first, second)
        record.change(second, merged_into=None)
        record.change(twin, ruling=Twin.Ruling.OPEN, ruled_on=None, kept_before={})
    return twin


def _restored(piece: Piece, name: str, value: Any) -> Any:
    field = next(field for field in piece._meta.concrete_fields if field.name == name)
    if isinstance(field, models.ForeignKey):
        return field.related_model._default_manager.filter(pk=value).first() if value else None
    return field.to_python(value) if value is not None else None


def _move_back(model: type[models.Model], key: int, name: str, first: Piece, second: Piece) -> None:
    row = model._default_manager.filter(pk=key, **{name: first}).first()
    if isinstance(row, Tracked):
        _moved(row, name, second)


def _refuse_ruled(twin: Twin) -> None:
    if twin.ruling != Twin.Ruling.OPEN:
        raise CannotRule(_("This pair is decided already."), "decided")


def _refuse_merged(first: Piece, second: Piece) -> None:
    for piece in (first, second):
        if piece.merged_into_id:
            raise CannotRule(
                _("%(tag)s was merged into another piece meanwhile: decide the pair with that one.")
                % {"tag": piece.tag},
                "merged",
            )


def _tags(twin: Twin) -> dict[str, str]:
    return {"first": twin.first.tag, "second": twin.second.tag}
