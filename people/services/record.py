"""The one door through which tracked rows are written.

A service opens an act, adds, changes and removes rows in it, and leaves. The act carries the sentence people read
later, and is what *undo* takes back as a whole. Nothing else in the project may call `.update(`, `bulk_*` or
`.delete()`.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar

from django.core.exceptions import FieldDoesNotExist
from django.db import connections, models, router, transaction
from django.utils import timezone

from people.models.acts import Act
from people.models.base import NotInAnAct, Tracked, current_act
from people.models.ministries import Member, Ministry

T = TypeVar("T", bound=Tracked)
BATCH = 500


@contextmanager
def act(
    *,
    ministry: Ministry,
    by: Member | None,
    kind: str,
    says: str,
    holds_money: bool = False,
    undoes: Act | None = None,
) -> Iterator[Act]:
    """Open an act in one transaction; an act inside an act joins the outer one (its sentence stands).

    kind: a slug for tests and filters ("piece-move"); says: one sentence for people, at most 300 characters.
    holds_money: the sentence names a price, so it is hidden from members who see none.
    """
    running = current_act.get()
    if running is not None:
        yield running
        return
    with transaction.atomic():
        made = Act.objects.create(
            ministry=ministry,
            by=by,
            by_words=str(by) if by else "",
            kind=kind,
            says=says[:300],
            holds_money=holds_money,
            at=timezone.now(),
            undoes=undoes,
        )
        token = current_act.set(made)
        try:
            yield made
        finally:
            current_act.reset(token)


def _the_act() -> Act:
    running = current_act.get()
    if running is None:
        raise NotInAnAct("Open people.services.record.act() around the writes.")
    return running


def retell(says: str) -> None:
    """Replace the sentence of the act in progress, when it can only be told after the work (counts)."""
    running = _the_act()
    running.says = says[:300]
    running.save(update_fields=["says"])


def add(row: T) -> T:
    """Store a new row and its first history row; return it."""
    _the_act()
    row.version = 1
    row.save(force_insert=True)
    return row


def add_many(rows: Sequence[T]) -> list[T]:
    """Store many new rows of one model with their history in bulk; return them with their ids."""
    if not rows:
        return []
    running, model = _the_act(), type(rows[0])
    stored: list[T] = list(model._default_manager.bulk_create(rows, batch_size=BATCH))  # type: ignore[arg-type]
    _keep_history(running, stored, "+")
    return stored


def change(row: Tracked, **values: Any) -> list[str]:
    """Set the values that differ, write only those columns, count the version up; return the changed names.

    Names are field names (`place=`, `fate=`); an unknown name is a mistake: FieldDoesNotExist.
    """
    _the_act()
    changed = _set(row, values)
    if changed:
        row.version += 1
        row.save(update_fields=[*changed, "version"])
    return changed


def change_many(rows: Sequence[T], **values: Any) -> list[T]:
    """Set the same values on many rows of one model; write and keep only the rows that differ; return those."""
    return change_each([(row, values) for row in rows])


def change_each(pairs: Iterable[tuple[T, dict[str, Any]]]) -> list[T]:
    """Set each row's own values, in bulk; write and keep only the rows that differ; return those."""
    running = _the_act()
    touched: list[T] = []
    names: set[str] = {"version"}
    for row, values in pairs:
        changed = _set(row, values)
        if changed:
            row.version += 1
            touched.append(row)
            names.update(changed)
    if touched:
        type(touched[0])._default_manager.bulk_update(touched, sorted(names), batch_size=BATCH)
        _keep_history(running, touched, "~")
    return touched


def remove(row: Tracked) -> None:
    """Delete a row; its history stays and brings it back on undo."""
    _the_act()
    row.delete()


def remove_many(rows: Sequence[Tracked]) -> None:
    """Delete rows of one model in bulk; their history stays."""
    if not rows:
        return
    running, model = _the_act(), type(rows[0])
    _keep_history(running, rows, "-")
    for start in range(0, len(rows), BATCH):
        queryset = model._default_manager.filter(pk__in=[row.pk for row in rows[start : start + BATCH]])
        queryset._raw_delete(queryset.db)


def column(model: type[models.Model], name: str) -> "models.Field[Any, Any]":
    """Return a model's own column by field name or attribute name; FieldDoesNotExist for another."""
    field = model._meta.get_field(name)
    if not isinstance(field, models.Field):
        raise FieldDoesNotExist(f"{name} is not a column of {model.__name__}.")
    return field


def differing(row: models.Model, values: Mapping[str, Any]) -> list[str]:
    """Return the names whose value is another than the row's; a row of another model counts by its id."""
    return [
        name
        for name, value in values.items()
        if getattr(row, column(type(row), name).attname) != (value.pk if isinstance(value, models.Model) else value)
    ]


def _set(row: models.Model, values: Mapping[str, Any]) -> list[str]:
    changed = differing(row, values)
    for name in changed:
        setattr(row, name, values[name])
    return changed


def _keep_history(running: Act, rows: Sequence[Tracked], history_type: str) -> None:
    """Copy the rows, as they stand in their table, into their history.

    The database copies them itself: for thousands of rows that takes a tenth of the time of writing them once more
    from here, and an import would otherwise cost twice its rows.
    """
    model, history = type(rows[0]), type(rows[0]).history.model
    connection = connections[router.db_for_write(history)]
    quote = connection.ops.quote_name
    columns = ", ".join(quote(field.column) for field in history.tracked_fields)
    own = ", ".join(quote(name) for name in ("history_date", "history_type", "act_id"))
    tables = (history._meta.db_table, model._meta.db_table, str(model._meta.pk.column))
    into, source, key = (quote(name) for name in tables)
    values = [connection.ops.adapt_datetimefield_value(running.at), history_type, running.pk]
    with connection.cursor() as cursor:
        for start in range(0, len(rows), BATCH):
            ids = [row.pk for row in rows[start : start + BATCH]]
            marks = ", ".join(["%s"] * len(ids))
            cursor.execute(
                f"INSERT INTO {into} ({columns}, {own}) SELECT {columns}, %s, %s, %s FROM {source} "
                f"WHERE {key} IN ({marks}) ORDER BY {key}",
                [*values, *ids],
            )
