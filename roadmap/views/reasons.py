"""Why a step falls where it falls, in the reader's words: one sentence for each thing that held it."""

from collections.abc import Callable
from datetime import date, timedelta

from django.utils.translation import gettext as _

from people.compute import phrasing
from people.compute.packs import CountryPack
from roadmap.compute.dangers import dangers
from roadmap.compute.plan_result import Hold, StepDates
from roadmap.models import Step
from roadmap.words import DayRule

Says = Callable[[Hold, str, str], str]  # the hold, its day in words, the day before in words


def reasons(dates: StepDates, country: CountryPack) -> list[str]:
    """Return what set the start of a step, the decisive reason last, and then what should be known besides."""
    begun = any(hold.kind == "on it" for hold in dates.holds)
    held = HELD | {"today": _not_over} if begun else HELD
    return [
        *(_in_words(held[hold.kind], hold, country) for hold in dates.holds),
        *(_in_words(KNOWN.get(hold.kind, _runs_into), hold, country) for hold in dates.cautions),
    ]


def cautions_of(step: Step, country: CountryPack) -> list[str]:
    """Return the usual cautions for the dangers a step speaks of; local codes and licensed people come first."""
    said = {
        "mains": _("Mains: switch off, lock off and test dead first; wiring is for %(who)s, by the local code.")
        % {"who": country.mains.who},
        "overhead": _(
            "Overhead: nobody stands below; points, brackets and second safeties are rated and checked by "
            "a competent rigger before anything hangs."
        ),
        "loud": _(
            "Hearing: first sound with every level down, nobody close to a loudspeaker, and in-ears come up slowly."
        ),
    }
    return [said[danger] for danger in dangers(step.title, step.note, step.signs)]


def _in_words(says: Says, hold: Hold, country: CountryPack) -> str:
    """Return the sentence with the day of the hold and the day before it, with the year."""
    return says(hold, *(phrasing.day(day, country, "long") for day in (hold.until, _before(hold.until))))


def _before(day: date) -> date:
    return day - timedelta(days=1)


def _order(hold: Hold, day: str, before: str) -> str:
    if hold.late:
        text = _("Order %(key)s should have come: as if it came today, work on it starts on %(day)s at the earliest.")
        return text % {"key": hold.by, "day": day}
    return _("Order %(key)s is promised for %(day)s.") % {"key": hold.by, "day": before}


def _link(hold: Hold, day: str, before: str) -> str:
    return _("It requires %(key)s, so not before %(day)s.") % {"key": hold.by, "day": day}


def _freeze(hold: Hold, day: str, before: str) -> str:
    return _("%(freeze)s lasts until %(day)s.") % {"freeze": hold.name or _("A freeze"), "day": before}


def _closed(hold: Hold, day: str, before: str) -> str:
    return _("The room is taken until %(day)s: %(what)s.") % {"day": before, "what": hold.name or _("booked")}


def _weekday(hold: Hold, day: str, before: str) -> str:
    rule = str(DayRule(hold.name).label) if hold.name in DayRule.values else hold.name
    return _("It is done on %(days)s; the next is %(day)s.") % {"days": rule, "day": day}


def _gate(hold: Hold, day: str, before: str) -> str:
    return _("Phase %(key)s is decided on %(day)s.") % {"key": hold.by, "day": before}


def _not_before(hold: Hold, day: str, before: str) -> str:
    return _("Not before %(day)s, as written down.") % {"day": day}


def _agreed(hold: Hold, day: str, before: str) -> str:
    return _("It was agreed for %(day)s.") % {"day": day}


def _today(hold: Hold, day: str, before: str) -> str:
    return _("What has not begun starts tomorrow at the earliest.")


def _not_over(hold: Hold, day: str, before: str) -> str:
    return _("It is not over yet.")


def _done(hold: Hold, day: str, before: str) -> str:
    return _("It was done on %(day)s.") % {"day": day}


def _on_it(hold: Hold, day: str, before: str) -> str:
    return _("It is under way since %(day)s.") % {"day": day}


def _before_its_gate(hold: Hold, day: str, before: str) -> str:
    text = _("It starts before phase %(key)s is decided on %(day)s; nothing of it may be ordered before.")
    return text % {"key": hold.by, "day": before}


def _not_placed(hold: Hold, day: str, before: str) -> str:
    text = _("Order %(key)s is not placed yet: ordered as soon as it may be, it is here for work on %(day)s.")
    return text % {"key": hold.by, "day": day}


def _runs_into(hold: Hold, day: str, before: str) -> str:
    return _("It runs into %(freeze)s, until %(day)s.") % {"freeze": hold.name or _("a freeze"), "day": before}


HELD: dict[str, Says] = {
    "order": _order,
    "link": _link,
    "freeze": _freeze,
    "closed": _closed,
    "weekday": _weekday,
    "gate": _gate,
    "not before": _not_before,
    "agreed": _agreed,
    "today": _today,
    "done": _done,
    "on it": _on_it,
}
KNOWN: dict[str, Says] = {"gate": _before_its_gate, "order": _not_placed}
