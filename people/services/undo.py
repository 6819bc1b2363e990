"""Taking an act back: every row it wrote returns to what it was, unless something later touched it."""

from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import models, transaction
from django.db.models.deletion import ProtectedError
from django.utils.translation import gettext as _

from people.models import Act, Member, Tracked
from people.services import record


@dataclass(frozen=True)
class CannotUndo(Exception):
    """The act stays: `sentence` says why and what to do; `later` are the sentences of the acts in the way."""

    sentence: str
    later: tuple[str, ...] = ()
    code: str = "later"

    def __str__(self) -> str:
        return self.sentence


def tracked_models() -> list[type[Tracked]]:
    """Return every tracked model, a model after the ones its foreign keys point at."""
    found = [model for model in apps.get_models() if issubclass(model, Tracked)]
    ordered: list[type[Tracked]] = []

    def place(model: type[Tracked], on_the_way: frozenset[type[Tracked]]) -> None:
        if model in ordered or model in on_the_way:
            return
        for field in model._meta.concrete_fields:
            target = field.related_model
            if isinstance(target, type) and issubclass(target, Tracked):
                place(target, on_the_way | {model})
        ordered.append(model)

    for model in found:
        place(model, frozenset())
    return ordered


def undo(*, act: Act, by: Member) -> Act:
    """Take the act back as one new act and return that; raises CannotUndo.

    Queries grow with the number of tracked models the act touched and with its rows in batches, not per row read.
    """
    if Act.objects.filter(undoes=act).exists():
        raise CannotUndo(_("This was already taken back."), code="twice")
    rows = {model: _rows_of(act, model) for model in tracked_models()}
    _refuse_when_touched_later(act, rows)
    says = _("Took back: %(what)s") % {"what": act.says}
    try:
        with (
            transaction.atomic(),
            record.act(
                ministry=act.ministry, by=by, kind="undo", says=says, holds_money=act.holds_money, undoes=act
            ) as made,
        ):
            for model in reversed(list(rows)):
                _remove_added(model, rows[model])
            for model in rows:
                _restore(model, rows[model])
            return made
    except (ProtectedError, models.RestrictedError) as error:
        raise CannotUndo(
            _("Something added later still points at this. Take that back first."), code="needed"
        ) from error


def why_not(*, act: Act) -> CannotUndo | None:
    """Return what stands in the way of taking the act back, None when nothing does; changes nothing."""
    if Act.objects.filter(undoes=act).exists():
        return CannotUndo(_("This was already taken back."), code="twice")
    try:
        _refuse_when_touched_later(act, {model: _rows_of(act, model) for model in tracked_models()})
    except CannotUndo as refused:
        return refused
    return None


def _rows_of(act: Act, model: type[Tracked]) -> dict[int, tuple[Any, Any]]:
    """Return {id: (first history row of this act, the history row before it or None)}."""
    history = model.history.model
    first: dict[int, Any] = {}
    for kept in history.objects.filter(act=act).order_by("history_id"):
        first.setdefault(kept.id, kept)
    before: dict[int, Any] = {}
    same_rows = history.objects.filter(act=act).values("id")
    earlier = history.objects.filter(id__in=same_rows, act_id__lt=act.pk).order_by("history_id")
    for kept in earlier.iterator():
        before[kept.id] = kept
    return {key: (kept, before.get(key)) for key, kept in first.items()}


def _refuse_when_touched_later(act: Act, rows: dict[type[Tracked], dict[int, tuple[Any, Any]]]) -> None:
    later: dict[int, Act] = {}
    for model, kept in rows.items():
        if kept:
            history = model.history.model.objects
            same_rows = history.filter(act=act).values("id")
            newer = history.filter(id__in=same_rows, act_id__gt=act.pk).select_related("act")
            later.update({row.act_id: row.act for row in newer})
    names = tuple(one.says for one in _standing(later))
    if names:
        sentence = _("Later changes touched the same things: %(names)s. Take those back first.")
        raise CannotUndo(sentence % {"names": "; ".join(name.rstrip(".") for name in names)}, names)


def _standing(acts: dict[int, Act]) -> list[Act]:
    """Return the acts, oldest first, without the pairs of an act and its taking back, which leave nothing."""
    left = dict(acts)
    for key in sorted(acts, reverse=True):
        undone = left[key].undoes_id if key in left else None
        if undone is not None and undone in left:
            del left[undone], left[key]
    return [left[key] for key in sorted(left)]


def _remove_added(model: type[Tracked], kept: dict[int, tuple[Any, Any]]) -> None:
    added = [key for key, (__, before) in kept.items() if before is None]
    if added:
        record.remove_many(list(model._default_manager.in_bulk(added).values()))


def _restore(model: type[Tracked], kept: dict[int, tuple[Any, Any]]) -> None:
    wanted = {key: before for key, (__, before) in kept.items() if before is not None}
    if not wanted:
        return
    names = [f.attname for f in model._meta.concrete_fields if f.attname not in {"id", "version"}]
    present = model._default_manager.in_bulk(list(wanted))
    record.change_each((row, {name: getattr(wanted[key], name) for name in names}) for key, row in present.items())
    gone = [key for key in wanted if key not in present]
    again = []
    for key in gone:
        row = model(version=wanted[key].version + 1, **{name: getattr(wanted[key], name) for name in names})
        row.pk = key
        again.append(row)
    record.add_many(again)
