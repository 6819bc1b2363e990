"""The words for what a piece is like and what becomes of it. Stored as they are said."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Condition(models.TextChoices):
    GOOD = "tested good", _("tested good")
    MARKED = "works, marked", _("works, marked")
    FAULTY = "faulty", _("faulty")
    DEAD = "dead", _("dead")
    UNSAFE = "unsafe", _("unsafe")
    UNTESTED = "not yet tested", _("not yet tested")
    NOT_FOUND = "not found", _("not found")


class Fate(models.TextChoices):
    UNDECIDED = "to decide", _("to decide")
    USE = "use here", _("use here")
    STAND_IN = "stand-in", _("stand-in")
    SPARE = "shelf spare", _("shelf spare")
    PARTS = "for parts", _("for parts")
    SELL = "sell", _("sell")
    GIVE = "give away", _("give away")
    OWNER = "back to owner", _("back to owner")
    STAYS = "stays with the building", _("stays with the building")
    RECYCLE = "recycle", _("recycle")


# A piece with one of these fates remains part of what the church runs or may run.
KEPT_FATES = frozenset({Fate.UNDECIDED, Fate.USE, Fate.STAND_IN, Fate.SPARE})
LEAVING_FATES = frozenset({Fate.SELL, Fate.GIVE, Fate.OWNER, Fate.STAYS, Fate.RECYCLE, Fate.PARTS})


class Area(models.TextChoices):
    AUDIO = "audio", _("sound")
    VIDEO = "video", _("picture")
    LIGHT = "light", _("light")
    NETWORK = "network", _("network")
    COMPUTER = "computer", _("computers")
    POWER = "power", _("power")
    CABLE = "cable", _("cable")
    STAND = "stand", _("stands")
    CASE = "case", _("racks and cases")
    MISC = "misc", _("other")


class Bond(models.TextChoices):
    """Whose a piece is, where that binds what may become of it."""

    OURS = "ours", _("ours")
    LENT = "lent", _("lent to us")
    LEASE = "lease-to-own", _("lease-to-own")
    LANDLORD = "landlord", _("the landlord's")
    DONOR = "donor bound", _("bound by its giver")
    MEMORY = "in memory", _("given in memory")


class YearPrecision(models.TextChoices):
    DAY = "day", _("to the day")
    MONTH = "month", _("to the month")
    YEAR = "year", _("to the year")
    ABOUT = "about", _("about")


class Level(models.TextChoices):
    MUST = "must", _("must")
    SHOULD = "should", _("should")


class Strength(models.TextChoices):
    MUST = "must", _("must")
    NICE = "nice", _("nice to have")


class Verdict(models.TextChoices):
    NEW = "new to us", _("new to us")
    CHANGES = "changes one we have", _("changes one we have")
    ASKS = "needs a word from you", _("needs a word from you")
    LEFT_OUT = "left out", _("left out")
