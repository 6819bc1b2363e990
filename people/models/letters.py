"""How often letters for a new password were asked for lately, so that nobody's mailbox is flooded from here."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class LetterCount(models.Model):
    """Letters asked for within the hour for one mail address, or from one network address; only a digest is kept.

    A row whose hour is over is taken for the next one who asks, so the table stays as small as its busiest hour.
    """

    key = models.CharField(max_length=64, unique=True)
    asked_at = models.JSONField(default=list)  # seconds since 1970
    counts_until = models.DateTimeField(db_index=True)

    class Meta:
        verbose_name = _("count of letters")
        verbose_name_plural = _("counts of letters")

    def __str__(self) -> str:
        return self.key
