"""What every tracked row has: its ministry, a public id, a version, and its history."""

import uuid
from contextvars import ContextVar
from typing import Any

from django.db import models
from simple_history.models import HistoricalRecords

from people.models.acts import Act, InAct
from people.querysets import MinistryQuerySet

current_act: ContextVar[Act | None] = ContextVar("current_act", default=None)


class NotInAnAct(RuntimeError):
    """A tracked row was written outside `people.services.record.act`; write it through a service."""


class KeptHistory(HistoricalRecords):
    """History rows that carry the act in progress; a write outside an act is refused."""

    def create_historical_record(self, instance: models.Model, history_type: str, using: str | None = None) -> None:
        act = current_act.get()
        if act is None:
            raise NotInAnAct(f"{type(instance).__name__} was written outside an act: use a service.")
        manager = getattr(instance, self.manager_name)
        values = {field.attname: getattr(instance, field.attname) for field in self.fields_included(instance)}
        manager.model(history_date=act.at, history_type=history_type, act=act, **values).save(using=using)


class Tracked(models.Model):
    """Abstract: a row that belongs to one ministry and whose every state is kept.

    `seen_with` names the ability (people.access) a viewer needs to see rows of this kind.
    `money_fields` are hidden from viewers who may not see money, in pages, history and exports.
    """

    ministry = models.ForeignKey("people.Ministry", models.CASCADE, related_name="+")
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)

    history = KeptHistory(
        bases=[InAct], inherit=True, history_user_id_field=models.IntegerField(null=True, editable=False)
    )

    objects = MinistryQuerySet.as_manager()

    seen_with = "see"
    money_fields: frozenset[str] = frozenset()

    class Meta:
        abstract = True

    def tracked_values(self) -> dict[str, Any]:
        """Return this row's columns by attribute name, without id, uid and version."""
        skip = {"id", "uid", "version"}
        return {f.attname: getattr(self, f.attname) for f in self._meta.concrete_fields if f.attname not in skip}
