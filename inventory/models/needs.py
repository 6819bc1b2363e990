"""What the rooms must do, what fills it, and which radio channels are free here."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from inventory.models.pieces import Piece
from inventory.models.places import Place
from inventory.words import Level
from people.models import Tracked


class RoomNeed(Tracked):
    """A thing a room needs, so many of it, with what it must be able to do."""

    key = models.CharField(_("number"), max_length=12)
    place = models.ForeignKey(Place, models.PROTECT, related_name="needs")
    what = models.CharField(_("what"), max_length=160)
    quantity = models.PositiveSmallIntegerField(_("how many"), default=1)
    level = models.CharField(_("how badly"), max_length=8, choices=Level, default=Level.MUST)
    must_words = models.CharField(_("must be able to"), max_length=300, blank=True)
    gap_words = models.CharField(_("what fills the gap"), max_length=200, blank=True)
    order_key = models.CharField(_("on order"), max_length=12, blank=True)
    order_quantity = models.PositiveSmallIntegerField(_("of these on order"), default=0)
    needed_on = models.DateField(_("needed from"), null=True, blank=True)

    class Meta:
        ordering = ["key", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "key"], name="need_key_once")]
        verbose_name = _("room need")
        verbose_name_plural = _("room needs")

    def __str__(self) -> str:
        return f"{self.key} {self.what}"


class Must(Tracked):
    """One must-have of a need as data: inputs at least 24."""

    class Op(models.TextChoices):
        AT_LEAST = "at least", _("at least")
        AT_MOST = "at most", _("at most")
        IS = "is", _("is")
        HAS = "has", _("has")

    need = models.ForeignKey(RoomNeed, models.CASCADE, related_name="musts")
    key = models.CharField(_("what is counted"), max_length=40)
    op = models.CharField(max_length=10, choices=Op)
    value = models.CharField(_("value"), max_length=60, blank=True)
    unit = models.CharField(_("unit"), max_length=20, blank=True)
    words = models.CharField(_("in words"), max_length=120, blank=True)

    class Meta:
        verbose_name = _("must-have")
        verbose_name_plural = _("must-haves")

    def __str__(self) -> str:
        return self.words or f"{self.key} {self.op} {self.value} {self.unit}".strip()


class Choice(Tracked):
    """A piece (or part of a lot) chosen for a need: accepted from the matching, or set by hand with a reason."""

    class How(models.TextChoices):
        ACCEPTED = "accepted", _("as proposed")
        OVERRIDDEN = "by hand", _("by hand")

    need = models.ForeignKey(RoomNeed, models.CASCADE, related_name="choices")
    piece = models.ForeignKey(Piece, models.CASCADE, related_name="choices")
    quantity = models.PositiveSmallIntegerField(default=1)
    how = models.CharField(max_length=10, choices=How, default=How.ACCEPTED)
    stands_in = models.BooleanField(_("only stands in"), default=False)
    free_from = models.DateField(_("from"), null=True, blank=True)
    reason = models.CharField(_("reason"), max_length=300, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["need", "piece"], name="choice_once")]
        verbose_name = _("choice")
        verbose_name_plural = _("choices")

    def __str__(self) -> str:
        return f"{self.need_id} {self.piece_id}"


class TvChannel(Tracked):
    """What the lead found out about a TV channel at this place."""

    class Found(models.TextChoices):
        VACANT = "vacant", _("vacant here")
        OCCUPIED = "occupied", _("occupied here")
        UNKNOWN = "unknown", _("not known")

    channel = models.PositiveSmallIntegerField(_("channel"))
    low_khz = models.PositiveIntegerField()
    high_khz = models.PositiveIntegerField()
    found = models.CharField(_("here"), max_length=10, choices=Found, default=Found.UNKNOWN)
    checked_on = models.DateField(_("looked up on"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        ordering = ["channel"]
        constraints = [models.UniqueConstraint(fields=["ministry", "channel"], name="tv_channel_once")]
        verbose_name = _("TV channel")
        verbose_name_plural = _("TV channels")

    def __str__(self) -> str:
        return str(self.channel)
