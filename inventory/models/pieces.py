"""Pieces and lots, and what is known and recorded of them."""

from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from inventory.models.places import Place, Site
from inventory.querysets import PieceQuerySet
from inventory.words import Area, Bond, Condition, Fate, Strength, YearPrecision
from people.models import Person, Tracked


class Piece(Tracked):
    """One thing, or a lot of alike things with one condition, place and fate."""

    tag = models.CharField(_("tag"), max_length=16)
    tag_number = models.PositiveIntegerField(editable=False)
    area = models.CharField(_("kind"), max_length=12, choices=Area, default=Area.MISC)
    what = models.CharField(_("what it is"), max_length=200)
    maker = models.CharField(_("maker"), max_length=80, blank=True)
    model = models.CharField(_("model"), max_length=80, blank=True)
    serial = models.CharField(_("serial as written"), max_length=120, blank=True)
    serial_key = models.CharField(max_length=120, blank=True, editable=False)
    quantity = models.PositiveIntegerField(_("how many"), default=1, validators=[MinValueValidator(1)])
    is_lot = models.BooleanField(_("a lot"), default=False)
    condition = models.CharField(_("condition"), max_length=16, choices=Condition, default=Condition.UNTESTED)
    fate = models.CharField(_("fate"), max_length=24, choices=Fate, default=Fate.UNDECIDED)
    fate_until = models.CharField(_("until"), max_length=120, blank=True)
    fate_until_on = models.DateField(_("until (date)"), null=True, blank=True)
    next_fate = models.CharField(_("then"), max_length=24, choices=Fate, blank=True)
    fate_why = models.CharField(_("why"), max_length=300, blank=True)
    place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="pieces")
    place_words = models.CharField(_("place as written"), max_length=120, blank=True)
    goes_to = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="pieces_to_come")
    found_at = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="pieces_found")
    busy_until = models.DateField(_("serves where it is until"), null=True, blank=True)
    bond = models.CharField(_("whose"), max_length=16, choices=Bond, default=Bond.OURS)
    bond_words = models.CharField(_("what binds it"), max_length=200, blank=True)
    bond_until = models.DateField(_("bound until"), null=True, blank=True)
    owner = models.ForeignKey(Person, models.SET_NULL, null=True, blank=True, related_name="+")
    never_sell = models.BooleanField(_("never sell"), default=False)
    year = models.PositiveSmallIntegerField(_("year"), null=True, blank=True)
    year_precision = models.CharField(max_length=8, choices=YearPrecision, blank=True)
    bought_on = models.DateField(_("bought on"), null=True, blank=True)
    paid_minor = models.BigIntegerField(_("paid"), null=True, blank=True)
    resale_minor = models.BigIntegerField(_("resale guess"), null=True, blank=True)
    price_currency = models.CharField(_("currency of its prices"), max_length=3, blank=True)
    watts = models.DecimalField(_("watts"), max_digits=8, decimal_places=1, null=True, blank=True)
    rack_units = models.DecimalField(_("rack units"), max_digits=4, decimal_places=1, null=True, blank=True)
    mass_g = models.PositiveIntegerField(_("mass"), null=True, blank=True)
    radio_low_khz = models.PositiveIntegerField(_("radio from"), null=True, blank=True)
    radio_high_khz = models.PositiveIntegerField(_("radio to"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=1000, blank=True)
    doubts = models.JSONField(default=dict, blank=True, editable=False)
    merged_into = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="merged_from")
    search_key = models.CharField(max_length=600, blank=True, editable=False)
    sort_key = models.CharField(max_length=200, blank=True, editable=False)

    objects = PieceQuerySet.as_manager()  # type: ignore[misc]

    money_fields = frozenset({"paid_minor", "resale_minor", "price_currency"})

    class Meta:
        verbose_name = _("piece")
        verbose_name_plural = _("pieces")
        constraints = [
            models.UniqueConstraint(fields=["ministry", "tag"], name="piece_tag_once"),
            models.CheckConstraint(condition=models.Q(quantity__gte=1), name="piece_at_least_one"),
            models.CheckConstraint(
                condition=models.Q(radio_low_khz__isnull=True)
                | models.Q(radio_high_khz__isnull=True)
                | models.Q(radio_low_khz__lte=models.F("radio_high_khz")),
                name="piece_radio_low_to_high",
            ),
        ]
        indexes = [
            models.Index(fields=["ministry", "sort_key", "id"], name="piece_by_name"),
            models.Index(fields=["ministry", "fate", "id"], name="piece_by_fate"),
            models.Index(fields=["ministry", "serial_key"], name="piece_by_serial"),
            models.Index(fields=["ministry", "tag_number", "id"], name="piece_by_tag"),
        ]

    def __str__(self) -> str:
        return f"{self.tag} {self.what}"

    def get_absolute_url(self) -> str:
        return reverse("piece", kwargs={"ministry": self.ministry.slug, "uid": self.uid})

    @property
    def maker_model(self) -> str:
        return " ".join(filter(None, (self.maker, self.model)))


class PieceFact(Tracked):
    """Something measurable a piece can do: inputs 32, lumens 6000. Room needs ask for these."""

    piece = models.ForeignKey(Piece, models.CASCADE, related_name="facts")
    key = models.CharField(_("what is counted"), max_length=40)
    value = models.CharField(_("value"), max_length=60)
    number = models.DecimalField(max_digits=14, decimal_places=3, null=True, blank=True)
    unit = models.CharField(_("unit"), max_length=20, blank=True)
    from_words = models.BooleanField(_("read from its name"), default=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["piece", "key"], name="fact_once_a_piece")]
        verbose_name = _("fact")
        verbose_name_plural = _("facts")

    def __str__(self) -> str:
        return f"{self.key} {self.value} {self.unit}".strip()


class NeedsLink(Tracked):
    """`piece` needs `needs` (or a thing of that kind) to be of use."""

    piece = models.ForeignKey(Piece, models.CASCADE, related_name="needs_links")
    needs = models.ForeignKey(Piece, models.CASCADE, null=True, blank=True, related_name="needed_by_links")
    needs_kind = models.CharField(_("or any of this kind"), max_length=120, blank=True)
    quantity = models.PositiveSmallIntegerField(_("how many"), default=1)
    strength = models.CharField(_("how badly"), max_length=8, choices=Strength, default=Strength.MUST)
    why = models.CharField(_("why"), max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["piece", "needs"], name="needs_link_once"),
            models.CheckConstraint(
                condition=models.Q(needs__isnull=False) | ~models.Q(needs_kind=""), name="needs_link_has_an_end"
            ),
        ]
        verbose_name = _("needs link")
        verbose_name_plural = _("needs links")

    def __str__(self) -> str:
        return f"{self.piece_id} needs {self.needs_id or self.needs_kind}"


class Check(Tracked):
    """A test that was done: when, how deep, what came out."""

    class Depth(models.TextChoices):
        SEEN = "seen", _("only seen")
        POWER = "power-on", _("powered on")
        SIGNAL = "signal", _("signal through it")
        LOAD = "under load", _("under load")

    piece = models.ForeignKey(Piece, models.CASCADE, related_name="checks")
    on = models.DateField(_("on"))
    depth = models.CharField(_("how deep"), max_length=12, choices=Depth, default=Depth.POWER)
    condition = models.CharField(_("condition"), max_length=16, choices=Condition)
    by = models.ForeignKey(Person, models.SET_NULL, null=True, blank=True, related_name="+")
    by_words = models.CharField(_("by"), max_length=120, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)

    class Meta:
        ordering = ["-on", "-id"]
        verbose_name = _("check")
        verbose_name_plural = _("checks")

    def __str__(self) -> str:
        return f"{self.on} {self.condition}"


class Move(Tracked):
    """A piece went from one place to another."""

    piece = models.ForeignKey(Piece, models.CASCADE, related_name="moves")
    on = models.DateField(_("on"))
    from_place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    to_place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    by_words = models.CharField(_("by"), max_length=120, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)

    class Meta:
        ordering = ["-on", "-id"]
        verbose_name = _("move")
        verbose_name_plural = _("moves")

    def __str__(self) -> str:
        return f"{self.on} {self.piece_id}"


class Photo(Tracked):
    """A photograph of a piece, re-encoded and without its location."""

    class Shows(models.TextChoices):
        FRONT = "front", _("front")
        BACK = "back before unplugging", _("back, before unplugging")
        PLATE = "serial plate", _("serial plate")
        OTHER = "other", _("something else")

    piece = models.ForeignKey(Piece, models.CASCADE, related_name="photos")
    shows = models.CharField(_("what it shows"), max_length=24, choices=Shows, default=Shows.FRONT)
    file = models.FileField(upload_to="photos/")
    small = models.FileField(upload_to="photos/")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = models.CharField(_("caption"), max_length=200, blank=True)
    taken_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        verbose_name = _("photograph")
        verbose_name_plural = _("photographs")

    def __str__(self) -> str:
        return self.caption or self.shows
