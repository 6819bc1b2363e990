"""Columns of the lists: names, order and accessibility. inventory.views.gear_rows prepares the rows."""

from typing import Any

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from people.access import Viewer

# What each column sorts by; the number of the piece settles what is equal.
ORDER = {
    "tag": ("tag_number",),
    "what": ("sort_key",),
    "where": ("place__site__order", "place__order", "place_words"),
    "condition": ("condition",),
    "fate": ("fate",),
    "goes": ("goes_to__order", "next_fate"),
    "resale": ("resale_minor",),
}


class GearTable(tables.Table):
    tag = tables.Column(verbose_name=_("Tag"))
    what = tables.Column(verbose_name=_("What"))
    where = tables.Column(verbose_name=_("Where"))
    condition = tables.Column(verbose_name=_("Condition"))
    fate = tables.Column(verbose_name=_("Fate"))
    goes = tables.Column(verbose_name=_("Goes to"))
    resale = tables.Column(verbose_name=_("Resale"), attrs={"th": {"class": "num"}})

    class Meta:
        order_by_field = "sort"


def gear_table(viewer: Viewer, sort: str) -> GearTable:
    """Return the list's columns as the viewer may see them, sorted by `sort` if that is one of them."""
    left_out = () if viewer.sees_money else ("resale",)
    return GearTable([], exclude=left_out, order_by=[name for name in sort.split(",") if name])


def order_of(table: GearTable) -> tuple[str, ...]:
    """Return what the database sorts by, () for the list's own order."""
    chosen: list[str] = []
    for alias in table.order_by:
        minus = "-" if alias.startswith("-") else ""
        chosen += [minus + column for column in ORDER[alias.lstrip("-")]]
    return (*chosen, "tag_number", "id") if chosen else ()


def heads(table: GearTable) -> list[dict[str, Any]]:
    """Return the headings: name, label, class, what `sort` becomes by a click, and aria-sort where it is sorted by."""
    found = []
    for column in table.columns:
        alias = column.order_by_alias
        sorted_by = ("descending" if alias.is_descending else "ascending") if column.is_ordered else ""
        css = "num" if column.name == "resale" else ""
        found.append(
            {"name": column.name, "label": column.header, "class": css, "next": str(alias.next), "sorted": sorted_by}
        )
    return found
