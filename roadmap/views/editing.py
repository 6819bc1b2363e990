"""What every form that changes a row does: show it, keep it, or put two people's values side by side."""

from collections.abc import Callable
from copy import copy
from datetime import date
from typing import Any, NamedTuple

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from people.access import Viewer
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.forms.amounts import MoneyField, PercentField
from people.forms.base import MinistryModelForm
from people.models import Act, Tracked
from people.packs import pack
from people.services.merging import Clashed
from people.views.told import tell

Change = Callable[..., Act | None]
CHOICE = "choose_"


class ClashShown(NamedTuple):
    """One field two people changed: its label, the name of its choice, and the three values in words."""

    label: str
    choice: str
    was: str
    theirs: str
    mine: str


def write(
    request: HttpRequest,
    viewer: Viewer,
    *,
    form_class: type[MinistryModelForm],
    add: Callable[..., tuple[Any, Act]],
    template: str,
    back: str,
    then: Callable[[Any], str] | None = None,
    initial: dict[str, Any] | None = None,
    **context: Any,
) -> HttpResponse:
    """Answer a page that writes a new row: `add(by=, **values)` stores it and returns it with its act.

    then: where to go for the new row; `back`, which also leads out of the page, when not given.
    """
    form = form_class(request.POST if request.method == "POST" else None, viewer=viewer, initial=initial)
    if request.method == "POST" and form.is_valid():
        made, act = add(by=viewer.member, **form.changed_values())
        tell(request, act)
        return redirect(then(made) if then else back)
    status = 422 if request.method == "POST" else 200
    return render(request, template, {"form": form, "back": back, **context}, status=status)


def edit(
    request: HttpRequest,
    viewer: Viewer,
    *,
    row: Tracked,
    form_class: type[MinistryModelForm],
    change: Change,
    template: str,
    then: str,
    **context: Any,
) -> HttpResponse:
    """Answer a page that changes one row: `change(by=, base_version=, chosen=, chosen_at=, **values)` writes it.

    then: where to go when it is kept. A clash comes back as 409 with both values to choose from.
    """
    form = form_class(request.POST if request.method == "POST" else None, instance=copy(row), viewer=viewer)
    clashed: Clashed | None = None
    if request.method == "POST" and form.is_valid():
        try:
            act = change(by=viewer.member, **form.changed_values(), **basis(request, form))
        except Clashed as found:
            clashed = found
        else:
            if act:
                tell(request, act)
            return redirect(then)
    status = 409 if clashed else 422 if request.method == "POST" else 200
    return render(
        request, template, {"form": form, "back": then, **context, **asked(viewer, form, clashed)}, status=status
    )


def basis(request: HttpRequest, form: MinistryModelForm) -> dict[str, Any]:
    """Return what the writer saw and chose: the version their form began at, and their word on each clash."""
    chosen = {key.removeprefix(CHOICE): value for key, value in request.POST.items() if key.startswith(CHOICE)}
    at = request.POST.get("chosen_at", "")
    return {
        "base_version": form.cleaned_data.get("base_version"),
        "chosen": chosen,
        "chosen_at": int(at) if at.isdecimal() else None,
    }


def asked(viewer: Viewer, form: MinistryModelForm, clashed: Clashed | None) -> dict[str, Any]:
    """Return what templates/roadmap/_edit_form.html shows of a clash; nothing where there is none."""
    if clashed is None:
        return {}
    country = pack(viewer.ministry.country)
    shown = [
        ClashShown(
            str(form.fields[one.name].label or one.name),
            CHOICE + one.name,
            *(in_words(form, one.name, value, country) for value in (one.was, one.theirs, one.mine)),
        )
        for one in clashed.clashes
    ]
    return {"clashes": shown, "clashed_at": clashed.version}


def in_words(form: MinistryModelForm, name: str, value: Any, country: CountryPack) -> str:
    """Return a value as its form shows it: the word of a choice, an amount, a date, yes or no."""
    field = form.fields[name]
    value = getattr(value, "pk", value)
    if value in (None, ""):
        return _("nothing")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(field, MoneyField):
        return phrasing.money(value, country)
    if isinstance(field, PercentField):
        return f"{field.prepare_value(value)} %"
    if hasattr(field, "choices"):
        return next((str(label) for key, label in field.choices if str(key) == str(value)), str(value))
    if isinstance(value, list):
        return ", ".join(value)
    return phrasing.day(value, country, "long") if isinstance(value, date) else str(value)
