"""The plan of a ministry, and what a new promised date would move."""

import json
from argparse import ArgumentParser
from dataclasses import asdict
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from people.models import Ministry
from roadmap.compute.changes import changes
from roadmap.compute.ordering import RequirementLoop, UnknownRequirement
from roadmap.compute.plan import plan
from roadmap.compute.plan_result import Plan
from roadmap.services.loading import plan_input, with_promises


class Command(BaseCommand):
    help = "Print the order, dates and totals of a ministry's plan; with --promise only what differs."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--ministry", metavar="SLUG", help="which church; the first one when left out")
        parser.add_argument("--as-of", type=date.fromisoformat, metavar="DATE", help="as if today were this date")
        parser.add_argument("--promise", action="append", default=[], metavar="ORDER=DATE", help="a new promised date")
        parser.add_argument("--json", action="store_true", help="as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        ministry = the_ministry(options["ministry"])
        given = plan_input(ministry, as_of=options["as_of"])
        try:
            before = plan(given)
            answer = as_json(before)
            promised = dict(read_promise(text) for text in options["promise"])
            if promised:
                changed = with_promises(given, promised)
                after = plan(changed)
                answer = as_json(after) | {"changes": plain(asdict(changes(before, after, changed)))}
        except (RequirementLoop, UnknownRequirement) as error:
            raise CommandError(str(error)) from error
        except KeyError as error:
            raise CommandError(f"There is no order {error.args[0]} in {ministry.name}.") from error
        if options["json"]:
            self.stdout.write(json.dumps(answer, indent=1))
        else:
            self.tell(ministry, answer, bool(promised))

    def tell(self, ministry: Ministry, answer: dict[str, Any], only_changes: bool) -> None:
        if only_changes:
            self.stdout.write(json.dumps(answer["changes"], indent=1))
            return
        self.stdout.write(ministry.name)
        for key in answer["order"]:
            step = answer["steps"].get(key)
            mark = " *" if step and step["critical"] else ""
            self.stdout.write(f"{key}  {step['start']} to {step['finish']}{mark}" if step else f"{key}  no date")


def the_ministry(slug: str | None) -> Ministry:
    """Return the ministry with this slug, the first one without; CommandError with a sentence where there is none."""
    found = Ministry.objects.filter(slug=slug).first() if slug else Ministry.objects.order_by("id").first()
    if found is None:
        known = ", ".join(Ministry.objects.values_list("slug", flat=True)) or "none yet: run manage.py demo"
        raise CommandError(f"There is no ministry called {slug!r}. There are: {known}.")
    return found


def read_promise(text: str) -> tuple[str, date]:
    """Return (order, date) from ORDER=DATE; CommandError with an example otherwise."""
    key, __, day = text.partition("=")
    try:
        return key.strip(), date.fromisoformat(day.strip())
    except ValueError:
        raise CommandError(f"{text!r} is not ORDER=DATE. Write for instance --promise O-05=2026-11-20.") from None


def as_json(made: Plan) -> dict[str, Any]:
    """Return the plan as plain values: dates as ISO text, money in minor units."""
    steps = {
        key: {
            name: plain(getattr(dates, name))
            for name in ("start", "finish", "early", "late", "float_days", "critical", "done")
        }
        for key, dates in made.steps.items()
    }
    phases = {key: plain(asdict(totals)) for key, totals in made.phases.items()}
    return {
        "order": list(made.order),
        "steps": steps,
        "phases": phases,
        "critical": list(made.critical),
        "unplaced": dict(made.unplaced),
    }


def plain(value: Any) -> Any:
    """Return dates as ISO text, also inside lists and mappings."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple, set, frozenset)):
        return [plain(one) for one in value]
    return value
