"""Sites and the tree of places in them."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from people.models import Person, Tracked


class Site(Tracked):
    """A building: the one that receives, or one that is being left by a date."""

    code = models.CharField(_("code"), max_length=12)
    name = models.CharField(_("name"), max_length=120)
    kind = models.CharField(_("what kind of building"), max_length=200, blank=True)
    receives = models.BooleanField(_("the building everyone moves into"), default=False)
    last_service_on = models.DateField(_("last service"), null=True, blank=True)
    last_service_at = models.TimeField(_("last service at"), null=True, blank=True)
    exit_on = models.DateField(_("must be empty by"), null=True, blank=True)
    exit_at = models.TimeField(_("at"), null=True, blank=True)
    own_target_on = models.DateField(_("our own target"), null=True, blank=True)
    emptied_on = models.DateField(_("empty since"), null=True, blank=True)
    handed_back_on = models.DateField(_("keys handed back"), null=True, blank=True)
    duties = models.CharField(_("what must be put right or left"), max_length=300, blank=True)
    access = models.CharField(_("keys and access"), max_length=300, blank=True)
    keyholder = models.ForeignKey(Person, models.SET_NULL, null=True, blank=True, related_name="+")
    state = models.CharField(_("how it stands"), max_length=200, blank=True)
    order = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "code"], name="site_code_once")]
        verbose_name = _("site")
        verbose_name_plural = _("sites")

    def __str__(self) -> str:
        return self.name

    @property
    def is_closed(self) -> bool:
        return self.handed_back_on is not None


class Place(Tracked):
    """A room, or a spot in one: the smallest place a thing can be."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="places")
    within = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="spots")
    code = models.CharField(_("code"), max_length=24)
    name = models.CharField(_("name"), max_length=120)
    people = models.CharField(_("how many people"), max_length=60, blank=True)
    size = models.CharField(_("size"), max_length=80, blank=True)
    height_mm = models.PositiveIntegerField(_("height"), null=True, blank=True)
    polygon = models.JSONField(_("floor points (meters)"), null=True, blank=True)
    remarks = models.CharField(_("remarks"), max_length=500, blank=True)
    rack_units = models.PositiveSmallIntegerField(_("rack units"), null=True, blank=True)
    is_room = models.BooleanField(_("a room"), default=True)
    order = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "code"], name="place_code_once")]
        verbose_name = _("place")
        verbose_name_plural = _("places")

    def __str__(self) -> str:
        return self.name
