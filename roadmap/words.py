"""The words for steps, orders, promises and money. Stored as they are said."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class StepState(models.TextChoices):
    WISHED = "wished for", _("wished for")
    COSTED = "costed", _("costed")
    APPROVED = "approved", _("approved")
    WAITING = "waiting on", _("waiting on")
    READY = "ready", _("ready")
    ON_IT = "on it", _("on it")
    IN = "in, not proven", _("in, not proven")
    PROVEN = "proven on a Sunday", _("proven on a Sunday")
    SIGNED = "signed over", _("signed over")
    ASIDE = "set aside until", _("set aside until")
    DROPPED = "dropped", _("dropped")


DONE_STATES = frozenset({StepState.IN, StepState.PROVEN, StepState.SIGNED})


class StepKind(models.TextChoices):
    WORK = "work", _("work")
    BUY = "buy", _("buy and receive")
    MOVE = "move", _("move and empty")
    PROVE = "prove", _("prove on Sundays")
    TEACH = "teach", _("teach and rehearse")
    PERMIT = "permit", _("permission or certificate")
    DECIDE = "decide", _("decide and design")


class LinkKind(models.TextChoices):
    FINISH_START = "FS", _("starts after it ends")
    START_START = "SS", _("starts after it starts")
    FINISH_FINISH = "FF", _("ends after it ends")
    START_FINISH = "SF", _("ends after it starts")


class CostKind(models.TextChoices):
    GOODS = "goods", _("goods")
    LABOR = "labor", _("labor")
    SHIPPING = "shipping", _("shipping")


class DayRule(models.TextChoices):
    WEEKDAYS = "weekdays", _("weekdays")
    ANY = "any day", _("any day")
    MONDAY = "monday", _("Mondays")
    TUESDAY = "tuesday", _("Tuesdays")
    WEDNESDAY = "wednesday", _("Wednesdays")
    THURSDAY = "thursday", _("Thursdays")
    FRIDAY = "friday", _("Fridays")
    SATURDAY = "saturday", _("Saturdays")
    SUNDAY = "sunday", _("Sundays")


class OrderState(models.TextChoices):
    ASKED = "asked for price", _("asked for price")
    PRICED = "priced", _("priced")
    ORDERED = "ordered", _("ordered")
    CONFIRMED = "date confirmed", _("date confirmed")
    LATE = "running late", _("running late")
    PART = "part arrived", _("part arrived")
    ARRIVED = "all arrived", _("all arrived")
    CHECKED = "checked and working", _("checked and working")
    BACK = "going back", _("going back")
    CANCELED = "canceled", _("canceled")


class Standing(models.TextChoices):
    """How a Sunday promise stands."""

    KEPT = "kept", _("kept")
    FALLBACK = "kept by fall-back", _("kept by fall-back")
    RISK = "at risk", _("at risk")
    BROKEN = "broken", _("broken")
    NOT_YET = "not yet promised", _("not yet promised")


class FundNature(models.TextChoices):
    RESTRICTED = "restricted", _("restricted by the giver")
    DESIGNATED = "designated", _("set aside by the leaders")
    FREE = "free", _("free")
    PLEDGED = "pledged", _("pledged")
    RESALE = "resale", _("resale")


class Certainty(models.TextChoices):
    HOPED = "hoped for", _("hoped for")
    PLEDGED = "pledged", _("pledged")
    BANKED = "in the bank", _("in the bank")


class Covers(models.TextChoices):
    SUNDAY_PATHS = "sunday paths", _("steps that touch a Sunday path")
    EVERYTHING = "everything", _("everything")


class GateState(models.TextChoices):
    AHEAD = "ahead", _("ahead")
    PASSED = "passed", _("passed")
    REFUSED = "refused", _("refused")
