"""What happened, as far as a viewer may know: acts, the kinds of things they touched, and each field before and after.

Reads only. A kind of row that is not for the viewer (`seen_with`) is left out with its acts; an act that also touched
such rows keeps its place but not its sentence; money and contacts are left out field by field.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import models
from django.db.models import Count, Exists, OuterRef, Q, Value

from people.access import Viewer
from people.compute.unpriced import unpriced
from people.models import Act, Tracked
from people.services.undo import tracked_models

ROWS_SHOWN = 100  # on one page; an import has thousands
SAID_TO_MEMBERS_ONLY = "member-"  # kinds of acts about members, which may name an address


@dataclass(frozen=True)
class FieldChange:
    """One column: what it was and what it became; None is nothing."""

    column: models.Field[Any, Any]
    was: Any
    becomes: Any


@dataclass(frozen=True)
class RowChange:
    """One row in one act. how: '+' added, '~' changed, '-' taken away."""

    model: type[Tracked]
    kept: Any  # the history row: the row as the act left it
    how: str
    fields: tuple[FieldChange, ...]


@dataclass
class Names:
    """Names of rows that columns point at, by model and id; asked for first, then fetched with a query a model."""

    wanted: dict[type[models.Model], set[int]] = field(default_factory=lambda: defaultdict(set))
    found: dict[tuple[type[models.Model], int], str] = field(default_factory=dict)

    def want(self, model: type[models.Model], key: int | None) -> None:
        if key is not None:
            self.wanted[model].add(key)

    def fetch(self) -> None:
        """Read every wanted row, and the last state of those that are gone."""
        for model, keys in self.wanted.items():
            rows = model._default_manager.filter(pk__in=keys)
            if model.__name__ == "Member":
                rows = rows.select_related("user")
            self.found.update({(model, row.pk): str(row) for row in rows})
            gone = [key for key in keys if (model, key) not in self.found]
            if gone and issubclass(model, Tracked):
                last = model.history.model.objects.filter(id__in=gone).order_by("history_id")
                self.found.update({(model, kept.id): str(kept.instance) for kept in last})

    def of(self, model: type[models.Model], key: int) -> str:
        return self.found.get((model, key), "")


def sees(viewer: Viewer, model: type[Tracked]) -> bool:
    return viewer.may(model.seen_with)


def kinds_seen(viewer: Viewer) -> list[type[Tracked]]:
    return [model for model in tracked_models() if sees(viewer, model)]


def _touches(model: type[Tracked]) -> Exists:
    return Exists(model.history.model.objects.filter(act=OuterRef("pk")))


def acts_for(viewer: Viewer, *, model: type[Tracked] | None = None, by: int | None = None) -> models.QuerySet[Act]:
    """Return the acts the viewer may know of, newest first; only those that touched `model`, or were done `by`."""
    acts = (
        Act.objects.filter(ministry=viewer.ministry).select_related("by__user", "undone_by", "undoes").order_by("-id")
    )
    hidden = [one for one in tracked_models() if not sees(viewer, one)]
    if hidden:
        touches_hidden, touches_seen = Q(), Q()
        for one in hidden:
            touches_hidden |= Q(_touches(one))
        for one in kinds_seen(viewer):
            touches_seen |= Q(_touches(one))
        acts = acts.exclude(touches_hidden & ~touches_seen)
    if not viewer.may("see_contacts"):
        acts = acts.exclude(kind__startswith=SAID_TO_MEMBERS_ONLY)
    if model is not None:
        acts = acts.filter(_touches(model))
    return acts.filter(by=by) if by else acts


def touched(acts: Iterable[Act]) -> dict[int, dict[type[Tracked], int]]:
    """Return {act id: {model: how many of its rows were written}}, also of kinds not for every viewer; one query."""
    keys = [act.pk for act in acts]
    known = tracked_models()
    each = [
        model.history.model.objects.filter(act__in=keys)
        .order_by()
        .values("act_id")
        .annotate(which=Value(position, output_field=models.IntegerField()), rows=Count("id", distinct=True))
        .values_list("act_id", "which", "rows")
        for position, model in enumerate(known)
    ]
    found: dict[int, dict[type[Tracked], int]] = defaultdict(dict)
    if keys:
        for act_id, which, rows in each[0].union(*each[1:], all=True):
            found[act_id][known[which]] = rows
    return found


def may_tell(viewer: Viewer, act: Act, kinds: Mapping[type[Tracked], int]) -> bool:
    """Tell whether the viewer may read the act's own sentence."""
    return all(sees(viewer, model) for model in kinds) and (viewer.sees_money or not act.holds_money)


def may_undo(viewer: Viewer, act: Act, kinds: Mapping[type[Tracked], int]) -> bool:
    """Tell whether the viewer may take the act back: their own, or anyone's for those who plan, if they see all of it.

    Acts without tracked rows (members, invitations) leave nothing to bring back.
    """
    mine = act.by_id is not None and viewer.member is not None and act.by_id == viewer.member.pk
    if not kinds or not viewer.may("undo") or not (mine or viewer.may("plan")):
        return False
    return may_tell(viewer, act, kinds)


def parts_of(model: type[Tracked]) -> list[tuple[type[Tracked], str]]:
    """Return (model, column) of the kinds of rows that live and die with a row of this model."""
    return [
        (relation.related_model, relation.field.attname)
        for relation in model._meta.related_objects
        if relation.on_delete is models.CASCADE and issubclass(relation.related_model, Tracked)
    ]


def _own_and_parts(viewer: Viewer, model: type[Tracked], row_id: int) -> list[tuple[type[Tracked], Any]]:
    """Return (model, its history rows that tell of the thing) for the thing and its parts, as far as seen."""
    found = [(model, model.history.model.objects.filter(id=row_id))]
    columns: dict[type[Tracked], Q] = {}
    for part, column in parts_of(model):
        if sees(viewer, part):
            columns[part] = columns.get(part, Q()) | Q(**{column: row_id})
    return found + [(part, part.history.model.objects.filter(names)) for part, names in columns.items()]


def acts_of_thing(viewer: Viewer, model: type[Tracked], row_id: int) -> models.QuerySet[Act]:
    """Return the acts that touched a thing or its parts, newest first."""
    touching = Q()
    for __, kept in _own_and_parts(viewer, model, row_id):
        touching |= Q(Exists(kept.filter(act=OuterRef("pk"))))
    return acts_for(viewer).filter(touching)


def changes_of_thing(
    viewer: Viewer, model: type[Tracked], row_id: int, acts: Sequence[Act]
) -> tuple[dict[int, list[RowChange]], Names]:
    """Return {act id: what it changed on the thing and its parts} with the names needed to say it."""
    keys = [act.pk for act in acts]
    sources = [
        (one, kept.filter(act__in=keys).order_by("history_id")[:ROWS_SHOWN])
        for one, kept in _own_and_parts(viewer, model, row_id)
    ]
    return _changes(viewer, sources)


def rows_of_act(viewer: Viewer, act: Act, kinds: Iterable[type[Tracked]]) -> dict[type[Tracked], int]:
    """Return {kind: rows its history has of the act} of the kinds the viewer may see; a query a kind."""
    return {model: model.history.model.objects.filter(act=act).count() for model in kinds if sees(viewer, model)}


def changes_of_act(
    viewer: Viewer, act: Act, rows: Mapping[type[Tracked], int], first: int = 0
) -> tuple[list[RowChange], Names]:
    """Return what an act changed, ROWS_SHOWN rows from `first` on over all kinds, and the names needed to say it.

    rows: as rows_of_act counts them.
    """
    sources, last = [], first + ROWS_SHOWN
    for model, count in rows.items():
        if first < count and last > 0:
            kept = model.history.model.objects.filter(act=act).order_by("history_id")
            sources.append((model, kept[max(0, first) : last]))
        first, last = first - count, last - count
    found, names = _changes(viewer, sources)
    return found.get(act.pk, []), names


def _changes(viewer: Viewer, sources: Iterable[tuple[type[Tracked], Any]]) -> tuple[dict[int, list[RowChange]], Names]:
    found: dict[int, list[RowChange]] = defaultdict(list)
    names = Names()
    for model, kept_rows in sources:
        for change in _changes_of_kind(viewer, model, list(kept_rows)):
            found[change.kept.act_id].append(change)
            for column in _columns_that_name(model):
                names.want(column.related_model, getattr(change.kept, column.attname))
            for one in change.fields:
                if one.column.related_model:
                    names.want(one.column.related_model, one.was)
                    names.want(one.column.related_model, one.becomes)
    names.fetch()
    return found, names


def _changes_of_kind(viewer: Viewer, model: type[Tracked], kept_rows: list[Any]) -> Iterator[RowChange]:
    """Yield a change a row and act: from before the act to after it; queries once for the states before."""
    if not kept_rows:
        return
    columns = shown_columns(viewer, model)
    wanted = {kept.history_id for kept in kept_rows}
    ids = {kept.id for kept in kept_rows}
    before: dict[int, Any] = {}
    trail = model.history.model.objects.filter(id__in=ids, history_id__lte=max(wanted)).order_by("history_id")
    for kept in trail:
        if kept.history_id in wanted:
            yield RowChange(model, kept, kept.history_type, _compare(viewer, columns, before.get(kept.id), kept))
        before[kept.id] = kept


def _compare(
    viewer: Viewer, columns: Sequence[models.Field[Any, Any]], before: Any, kept: Any
) -> tuple[FieldChange, ...]:
    if kept.history_type == "-":
        return ()
    if kept.history_type == "+":
        before = None
    private = private_columns(viewer, kept, before)
    found = []
    for column in columns:
        was = _readable(viewer, getattr(before, column.attname)) if before is not None else None
        becomes = _readable(viewer, getattr(kept, column.attname))
        if column.name in private or was == becomes:
            continue
        if before is not None or _says_something(column, becomes):
            found.append(FieldChange(column, was, becomes))
    return tuple(found)


def _readable(viewer: Viewer, value: Any) -> Any:
    """Return a stored value; from words what they say of money is left out for a viewer who may not see any."""
    return unpriced(value) if isinstance(value, str) and not viewer.sees_money else value


def _says_something(column: models.Field[Any, Any], value: Any) -> bool:
    """Tell whether a new row's value is worth a line: not empty, not usual, not its name already."""
    if column in _columns_that_name(column.model) or value in (None, "", [], {}):
        return False
    return not (column.has_default() and value == column.get_default())


def private_columns(viewer: Viewer, *states: Any) -> frozenset[str]:
    """Return the contact columns of a person under 18 in any of these states: hidden from everyone's history."""
    minor = any(getattr(state, "is_minor", False) for state in states if state is not None)
    return frozenset({"email", "phone"}) if minor else frozenset()


def shown_columns(viewer: Viewer, model: type[Tracked]) -> list[models.Field[Any, Any]]:
    """Return the columns of a kind of row that its history may show to the viewer, in the model's order."""
    hidden = {"id", "ministry", "uid", "version"}
    if not viewer.sees_money:
        hidden |= model.money_fields
    if not viewer.may("see_contacts"):
        hidden |= getattr(model, "contact_fields", frozenset())
    return [
        column
        for column in model._meta.concrete_fields
        if column.editable and column.name not in hidden and _may_name(viewer, column.related_model)
    ]


def _may_name(viewer: Viewer, target: Any) -> bool:
    if target is None:
        return True
    if issubclass(target, Act):
        return False
    return not issubclass(target, Tracked) or sees(viewer, target)


def _columns_that_name(model: type[models.Model]) -> list[models.ForeignKey[Any, Any]]:
    """Return the columns by which a part is called after what it belongs to: a requires link after its two steps."""
    return [
        column
        for column in model._meta.concrete_fields
        if isinstance(column, models.ForeignKey)
        and column.remote_field.on_delete is models.CASCADE
        and column.name != "ministry"
    ]


def name_of_row(change: RowChange, names: Names) -> str:
    """Return what a changed row is called: itself, or for a part the things it belongs to."""
    above = [
        names.of(column.related_model, getattr(change.kept, column.attname))
        for column in _columns_that_name(change.model)
        if getattr(change.kept, column.attname) is not None
    ]
    return " · ".join(name for name in above if name) if above else str(change.kept.instance)
