"""Two people changed the same field: both values on the form, and the choice that came back."""

from dataclasses import dataclass
from typing import Any

from django.db import models
from django.http import HttpRequest

from people.access import Viewer
from people.packs import pack
from people.services.history import Names
from people.services.merging import MINE, THEIRS, Clashed
from people.views.history_words import value_words

PREFIX = "keep-"


@dataclass(frozen=True)
class ShownClash:
    name: str
    label: str
    was: str
    theirs: str
    mine: str


def chosen_in(request: HttpRequest) -> dict[str, Any]:
    """Return what the person chose where two had changed the same field, for a service: chosen and chosen_at."""
    chosen = {
        name.removeprefix(PREFIX): value
        for name, value in request.POST.items()
        if name.startswith(PREFIX) and value in (MINE, THEIRS)
    }
    at = request.POST.get("kept_at", "")
    return {"chosen": chosen, "chosen_at": int(at) if at.isdecimal() and len(at) < 10 else None}


def shown(clashed: Clashed, form: Any, viewer: Viewer) -> dict[str, Any]:
    """Return what `_clashes.html` takes: the clashes in words and the version they were found at."""
    columns = {clash.name: form._meta.model._meta.get_field(clash.name) for clash in clashed.clashes}
    names = Names()
    for clash in clashed.clashes:
        if columns[clash.name].related_model:
            for value in (clash.was, clash.theirs, _key(clash.mine)):
                names.want(columns[clash.name].related_model, value)
    names.fetch()
    its_pack = pack(viewer.ministry.country)

    def words(name: str, value: Any) -> str:
        return value_words(columns[name], _key(value), names, its_pack)

    return {
        "clashes": [
            ShownClash(
                clash.name,
                str(form.fields[clash.name].label if clash.name in form.fields else columns[clash.name].verbose_name),
                *(words(clash.name, value) for value in (clash.was, clash.theirs, clash.mine)),
            )
            for clash in clashed.clashes
        ],
        "kept_at": clashed.version,
    }


def _key(value: Any) -> Any:
    return value.pk if isinstance(value, models.Model) else value
