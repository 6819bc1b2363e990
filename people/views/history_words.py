"""A field before and after, in the words of the ministry's country."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from people.compute import phrasing
from people.compute.packs import CountryPack
from people.models import Tracked
from people.services.history import FieldChange, Names, RowChange, name_of_row

LONGEST = 160


@dataclass(frozen=True)
class ToldField:
    label: str
    was: str
    becomes: str


@dataclass(frozen=True)
class ToldRow:
    """What one act did to one thing: "piece G012", "added", and its fields."""

    kind: str
    slug: str  # of the kind, for the address of its own history
    uid: str
    name: str
    how: str
    back: str  # what taking the act back does to it
    is_new: bool
    fields: tuple[ToldField, ...]


def told_rows(changes: Iterable[RowChange], names: Names, pack: CountryPack) -> list[ToldRow]:
    return [
        ToldRow(
            kind=kind_words(change.model),
            slug=kind_slug(change.model),
            uid=str(change.kept.uid),
            name=name_of_row(change, names),
            how=how_words(change.how),
            back=back_words(change.how),
            is_new=change.how == "+",
            fields=tuple(told_field(one, names, pack) for one in change.fields),
        )
        for change in changes
    ]


def told_field(change: FieldChange, names: Names, pack: CountryPack) -> ToldField:
    label = str(change.column.verbose_name)
    if change.column.name.endswith("_bp"):
        label = label.partition(" (")[0]  # shown as percent, not in hundredths of one
    return ToldField(
        label,
        value_words(change.column, change.was, names, pack),
        value_words(change.column, change.becomes, names, pack),
    )


def kind_slug(model: type[Tracked]) -> str:
    return model._meta.model_name or ""


def kind_words(model: type[Tracked]) -> str:
    return str(model._meta.verbose_name)


def how_words(how: str) -> str:
    return {"+": _("added"), "~": _("changed"), "-": _("taken away")}[how]


def back_words(how: str) -> str:
    return {"+": _("goes again"), "~": _("is as before"), "-": _("comes back")}[how]


def counted_kinds(kinds: dict[type[Tracked], int], pack: CountryPack) -> str:
    """Return "3 pieces and 1 place"."""
    said = [
        phrasing.counted(rows, str(model._meta.verbose_name), str(model._meta.verbose_name_plural), pack)
        for model, rows in kinds.items()
    ]
    return phrasing.join_words(said, pack)


def neutral_sentence(kinds: dict[type[Tracked], int], pack: CountryPack) -> str:
    """Return what may be said of an act whose own sentence is not for this viewer."""
    rows = sum(kinds.values())
    says = ngettext("Something changed: %(what)s.", "Some things changed: %(what)s.", rows)
    return says % {"what": counted_kinds(kinds, pack)} if kinds else _("Something changed.")


def value_words(column: models.Field[Any, Any], value: Any, names: Names, pack: CountryPack) -> str:
    """Return a stored value as a person reads it: names for ids, words for choices, money, days and measures."""
    if value is None or value == "" or value in ([], {}):
        return _("nothing")
    if column.related_model:
        return names.of(column.related_model, value) or _("something no longer there")
    if column.choices:
        return str(dict(column.flatchoices).get(value, value))
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    return _measured(column.name, value, pack) or _plain(value, pack)


def _measured(name: str, value: Any, pack: CountryPack) -> str:
    """Return an amount whose unit is the end of its column's name, '' for others."""
    if not isinstance(value, (int, float, Decimal)):
        return ""
    if name.endswith("_minor"):
        return phrasing.money(int(value), pack)
    if name.endswith("_bp"):
        return phrasing.percent(Decimal(value) / 10000, pack, digits=2)
    if name.endswith("_mm"):
        return phrasing.length(value, pack)
    if name.endswith("_g"):
        return phrasing.mass(value, pack)
    if name.endswith("_khz"):
        return f"{phrasing.number(Decimal(value) / 1000, pack)} MHz"
    return ""


def _plain(value: Any, pack: CountryPack) -> str:
    if isinstance(value, datetime):
        return f"{phrasing.day(value.date(), pack, 'long')} {phrasing.clock(value, pack)}"
    if isinstance(value, date):
        return phrasing.day(value, pack, "long")
    if isinstance(value, time):
        return phrasing.clock(value, pack)
    if isinstance(value, (int, float, Decimal)):
        return phrasing.number(value, pack)
    if isinstance(value, list):
        return _short(", ".join(str(one) for one in value if not isinstance(one, (dict, list))) or _("several"))
    if isinstance(value, dict):
        return _("several")
    return _short(str(value))


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else text[: LONGEST - 1].rstrip() + "…"
