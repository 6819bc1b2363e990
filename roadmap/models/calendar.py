"""Services that must run, days on which nothing may be touched, and rooms that are taken."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from inventory.models import Place
from people.models import Tracked
from roadmap.words import Covers


class Service(Tracked):
    """A service on one date, or on a weekday from a date until a date. Times are wall time."""

    key = models.CharField(max_length=12)
    name = models.CharField(_("service"), max_length=120)
    on = models.DateField(_("on"), null=True, blank=True)
    weekday = models.PositiveSmallIntegerField(_("every (0 is Monday)"), null=True, blank=True)
    from_on = models.DateField(_("from"), null=True, blank=True)
    until_on = models.DateField(_("until"), null=True, blank=True)
    times = models.JSONField(_("at"), default=list)
    remark = models.CharField(_("remark"), max_length=300, blank=True)
    promise_keys = models.JSONField(_("promises in force"), default=list, blank=True)

    class Meta:
        ordering = ["on", "id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(on__isnull=False) | models.Q(weekday__isnull=False), name="service_has_a_day"
            )
        ]
        verbose_name = _("service")
        verbose_name_plural = _("services")

    def __str__(self) -> str:
        return self.name


class Freeze(Tracked):
    """Days, both ends counted, on which nothing it covers may be touched."""

    name = models.CharField(_("name"), max_length=120)
    first_on = models.DateField(_("from"))
    last_on = models.DateField(_("to"))
    covers = models.CharField(_("covers"), max_length=16, choices=Covers, default=Covers.SUNDAY_PATHS)

    class Meta:
        ordering = ["first_on", "id"]
        constraints = [
            models.CheckConstraint(condition=models.Q(first_on__lte=models.F("last_on")), name="freeze_first_to_last")
        ]
        verbose_name = _("freeze")
        verbose_name_plural = _("freezes")

    def __str__(self) -> str:
        return self.name


class Booking(Tracked):
    """A room is taken for something else."""

    place = models.ForeignKey(Place, models.CASCADE, related_name="bookings")
    starts_at = models.DateTimeField(_("from"))
    ends_at = models.DateTimeField(_("to"))
    what = models.CharField(_("what for"), max_length=200)
    closes_room = models.BooleanField(_("no work in the room"), default=False)

    class Meta:
        ordering = ["starts_at", "id"]
        verbose_name = _("booking")
        verbose_name_plural = _("bookings")

    def __str__(self) -> str:
        return self.what
