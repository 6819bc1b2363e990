"""Where facts came from: the lists that arrived, their rows, the questions they left, and possible twins."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from inventory.models.pieces import Piece
from inventory.models.places import Site
from inventory.words import Verdict
from people.models import Act, Tracked


class Source(Tracked):
    """A list that was taken in, with the file as it arrived."""

    name = models.CharField(_("file"), max_length=200)
    sha256 = models.CharField(max_length=64, editable=False)
    site = models.ForeignKey(Site, models.SET_NULL, null=True, blank=True, related_name="sources")
    from_words = models.CharField(_("who sent it"), max_length=120, blank=True)
    taken_in = models.ForeignKey(Act, models.SET_NULL, null=True, blank=True, related_name="+")
    draft = models.JSONField(default=dict, editable=False)
    mapping = models.JSONField(default=dict, blank=True)
    rows_new = models.PositiveIntegerField(default=0)
    rows_changed = models.PositiveIntegerField(default=0)
    rows_asked = models.PositiveIntegerField(default=0)
    rows_left_out = models.PositiveIntegerField(default=0)
    title = models.CharField(_("what stands above the list"), max_length=300, blank=True)

    seen_with = "decide_fates"  # its cells hold prices and names as somebody wrote them

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["ministry", "sha256"], name="source_by_content")]
        verbose_name = _("list that came in")
        verbose_name_plural = _("lists that came in")

    def __str__(self) -> str:
        return self.name


class SourceRow(Tracked):
    """One row of a list: the cells as written and the piece they became."""

    source = models.ForeignKey(Source, models.CASCADE, related_name="rows")
    sheet = models.CharField(max_length=120, blank=True)
    row = models.PositiveIntegerField()
    part = models.PositiveSmallIntegerField(default=1)
    verdict = models.CharField(max_length=24, choices=Verdict)
    reason = models.CharField(max_length=300, blank=True)
    raw = models.JSONField(default=dict)
    fields = models.JSONField(default=dict)
    flags = models.JSONField(default=list, blank=True)
    fingerprint = models.CharField(max_length=64, blank=True, editable=False)
    piece = models.ForeignKey(Piece, models.SET_NULL, null=True, blank=True, related_name="source_rows")

    seen_with = "decide_fates"  # its cells hold prices and names as somebody wrote them

    class Meta:
        ordering = ["source", "id"]
        indexes = [models.Index(fields=["source", "sheet", "row"], name="source_row_place")]
        verbose_name = _("row of a list")
        verbose_name_plural = _("rows of lists")

    def __str__(self) -> str:
        return f"{self.sheet}:{self.row}"


class AskedQuestion(Tracked):
    """A question a list left open, asked once a column or pattern, with the guess in force until it is answered."""

    source = models.ForeignKey(Source, models.CASCADE, related_name="questions")
    key = models.CharField(max_length=160)
    code = models.CharField(max_length=40)
    sheet = models.CharField(max_length=120, blank=True)
    field = models.CharField(max_length=40, blank=True)
    text = models.CharField(_("question"), max_length=500)
    choices = models.JSONField(default=list)
    guess = models.CharField(max_length=120, blank=True)
    rows = models.JSONField(default=list)
    answer = models.CharField(_("answer"), max_length=200, blank=True)
    answered_on = models.DateField(null=True, blank=True)
    order = models.PositiveIntegerField(default=0)

    seen_with = "decide_fates"  # its cells hold prices and names as somebody wrote them

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["source", "key"], name="question_once_a_source")]
        verbose_name = _("question")
        verbose_name_plural = _("questions")

    def __str__(self) -> str:
        return self.text


class ColumnMemory(Tracked):
    """How a heading was read before, so that the next list with it is read alike."""

    heading_key = models.CharField(max_length=120)
    field = models.CharField(max_length=40)
    from_words = models.CharField(max_length=120, blank=True)

    seen_with = "decide_fates"  # its cells hold prices and names as somebody wrote them

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["ministry", "heading_key", "from_words"], name="heading_once_a_sender")
        ]
        verbose_name = _("remembered heading")
        verbose_name_plural = _("remembered headings")

    def __str__(self) -> str:
        return self.heading_key


class Twin(Tracked):
    """Two pieces that may be one, with the evidence; a person decides."""

    class Ruling(models.TextChoices):
        OPEN = "open", _("not decided")
        ONE = "one piece", _("one piece")
        TWO = "two pieces", _("two pieces")

    first = models.ForeignKey(Piece, models.CASCADE, related_name="twins_first")
    second = models.ForeignKey(Piece, models.CASCADE, related_name="twins_second")
    bits = models.FloatField()
    hint = models.CharField(max_length=40, blank=True)
    evidence = models.JSONField(default=list)
    ruling = models.CharField(max_length=12, choices=Ruling, default=Ruling.OPEN)
    ruled_on = models.DateField(null=True, blank=True)
    kept_before = models.JSONField(default=dict, blank=True, editable=False)

    class Meta:
        ordering = ["-bits", "id"]
        constraints = [models.UniqueConstraint(fields=["first", "second"], name="twin_pair_once")]
        verbose_name = _("possible twin")
        verbose_name_plural = _("possible twins")

    def __str__(self) -> str:
        return f"{self.first_id} ~ {self.second_id}"
