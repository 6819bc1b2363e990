"""The filter of the gear list, read as one sentence, and the change of many pieces at once."""

from collections.abc import Sequence
from contextlib import suppress
from typing import Any

import django_filters as filters
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.compute.serials import serial_key
from inventory.compute.tags import TagError, read_tag
from inventory.forms.plain_select import PlainHidden, PlainInput, PlainSelect, said
from inventory.models import Piece, Place, Site
from inventory.services.places import place_called
from inventory.words import LEAVING_FATES, Area, Condition, Fate
from people.access import Viewer
from people.compute.cleaning import sort_key
from people.forms.base import MinistryForm

NO_PLACE = "-"
LEAVING = "leaving"
LEAST_OF_SERIAL = 3  # characters


def called(text: str) -> Q:
    """Return the pieces called so: every word is in the name, tag, maker, model, serial or place; or a whole serial."""
    found = Q()
    for word in sort_key(text).split():
        found &= Q(search_key__contains=word)
    key = serial_key(text)
    if len(key) >= LEAST_OF_SERIAL and any(mark.isdigit() for mark in key):
        found |= Q(serial_key__contains=key)
    with suppress(TagError):
        found |= Q(tag=read_tag(text).tag)
    return found


class GearFilter(filters.FilterSet):
    """Takes `sites` (read once by the page). Every choice that is not one of these counts as none."""

    area = filters.ChoiceFilter(widget=PlainSelect, label="", empty_label=gettext_lazy("all gear"))
    site = filters.ChoiceFilter(
        widget=PlainSelect, label=gettext_lazy("from"), method="from_site", empty_label=gettext_lazy("every site")
    )
    condition = filters.ChoiceFilter(widget=PlainSelect, label="", empty_label=gettext_lazy("in any condition"))
    fate = filters.ChoiceFilter(
        widget=PlainSelect, label="", method="with_fate", empty_label=gettext_lazy("with any fate")
    )
    q = filters.CharFilter(label=gettext_lazy("called"), method="by_words")
    sort = filters.CharFilter(method="as_it_is", widget=PlainHidden)

    class Meta:
        model = Piece
        fields: Sequence[str] = ()

    def __init__(self, data: Any, queryset: Any, *, sites: Sequence[Site]) -> None:
        super().__init__(data, queryset=queryset)
        self.site_ids = {site.code: site.pk for site in sites}
        for name, words in (("area", Area), ("condition", Condition)):
            self.filters[name].extra["choices"] = said(words)
        self.filters["site"].extra["choices"] = [
            *((site.code, site.name) for site in sites),
            (NO_PLACE, _("no place yet")),
        ]
        self.filters["fate"].extra["choices"] = [*said(Fate), (LEAVING, _("leaving us"))]
        self.form.fields["area"].widget.attrs["aria-label"] = _("kind")
        self.form.fields["condition"].widget.attrs["aria-label"] = _("condition")
        self.form.fields["fate"].widget.attrs["aria-label"] = _("fate")
        self.form.fields["q"].widget = PlainInput(attrs={"placeholder": _("a word or a tag"), "type": "search"})

    def chosen(self) -> dict[str, Any]:
        """Return the choices that hold, without the sorting."""
        if not self.is_bound:
            return {}
        self.form.is_valid()
        return {name: value for name, value in self.form.cleaned_data.items() if value and name != "sort"}

    def found(self) -> QuerySet[Piece]:
        """Return the pieces of the choices that hold; a choice that is none of the list changes nothing."""
        rows = self.queryset
        for name, value in self.chosen().items():
            rows = self.filters[name].filter(rows, value)
        return rows

    def from_site(self, rows: QuerySet[Piece], name: str, value: str) -> QuerySet[Piece]:
        if value == NO_PLACE:
            return rows.filter(place__isnull=True)
        site = self.site_ids[value]
        return rows.filter(Q(place__in=Place.objects.filter(site=site)) | Q(place__isnull=True, found_at=site))

    def with_fate(self, rows: QuerySet[Piece], name: str, value: str) -> QuerySet[Piece]:
        return rows.filter(fate__in=LEAVING_FATES) if value == LEAVING else rows.filter(fate=value)

    def by_words(self, rows: QuerySet[Piece], name: str, value: str) -> QuerySet[Piece]:
        return rows.filter(called(value))

    def as_it_is(self, rows: QuerySet[Piece], name: str, value: str) -> QuerySet[Piece]:
        return rows


class PlaceWordsField(forms.CharField):
    """A place written in words, with suggestions; cleans to the words."""

    def __init__(self, **kwargs: Any) -> None:
        suggested = PlainInput(attrs={"list": "place-words", "autocomplete": "off"})
        super().__init__(max_length=120, required=False, widget=suggested, **kwargs)


class BulkForm(MinistryForm):
    """What the ticked pieces become; empty means as it is."""

    place = PlaceWordsField(label=gettext_lazy("stand in"))
    condition = forms.ChoiceField(widget=PlainSelect, required=False, label=gettext_lazy("are"))
    fate = forms.ChoiceField(widget=PlainSelect, required=False, label=gettext_lazy("have the fate"))
    area = forms.ChoiceField(widget=PlainSelect, required=False, label=gettext_lazy("are listed under"))

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        for name, words in (("condition", Condition), ("fate", Fate), ("area", Area)):
            self.fields[name].choices = [("", "–"), *said(words)]
        if not viewer.may("decide_fates"):
            del self.fields["fate"]

    def clean_place(self) -> Place | None:
        words = self.cleaned_data["place"]
        found = place_called(self.viewer.ministry, words) if words else None
        if words and found is None:
            raise ValidationError(
                _("No single place is called %(words)s: choose one from the list."), "place", {"words": words}
            )
        return found

    def values(self) -> dict[str, Any]:
        return {name: value for name, value in self.cleaned_data.items() if value}


class NextPieceForm(MinistryForm):
    """The first ruled line of the list: what, where, condition, fate. A place nobody knows yet is kept as written."""

    what = forms.CharField(max_length=200)
    where = PlaceWordsField()
    condition = forms.ChoiceField(choices=Condition, required=False)
    fate = forms.ChoiceField(choices=Fate, required=False)

    def values(self) -> dict[str, Any]:
        given = self.cleaned_data
        place = place_called(self.viewer.ministry, given["where"]) if given["where"] else None
        decides = self.viewer.may("decide_fates")
        return {
            "what": given["what"],
            "place": place,
            "place_words": "" if place else given["where"],
            "condition": given["condition"] or Condition.UNTESTED,
            "fate": (given["fate"] if decides else "") or Fate.UNDECIDED,
        }
