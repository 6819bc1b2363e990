"""Fill an empty database with the demo."""

import time
from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from people.packs import countries
from roadmap.services.demo.church import PASS_PHRASE
from roadmap.services.demo.loading import DemoRefused, load_demo, load_empty, logins
from roadmap.services.demo.tables import STORY_DAY


class Command(BaseCommand):
    help = "Fill an empty database with the demo churches and print one login a role."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--start",
            type=date.fromisoformat,
            default=STORY_DAY,
            metavar="DATE",
            help=f"the day on which the story's {STORY_DAY} falls; whole weeks from it, for instance 2027-01-05",
        )
        parser.add_argument("--empty", action="store_true", help="one church with members, sites and places only")
        parser.add_argument("--country", choices=countries(), default="US", help="with --empty: its country")
        parser.add_argument("--who", action="store_true", help="only print the logins of the demo that is loaded")

    def handle(self, *args: Any, **options: Any) -> None:
        if not options["who"]:
            self.load(options)
        self.tell_logins()

    def load(self, options: dict[str, Any]) -> None:
        began = time.monotonic()
        try:
            with transaction.atomic():
                if options["empty"]:
                    load_empty(options["start"], options["country"])
                else:
                    for church in load_demo(options["start"]):
                        self.stdout.write(f"{church.ministry.name} stands.")
        except DemoRefused as refused:
            raise CommandError(str(refused)) from refused
        self.stdout.write(f"Loaded in {time.monotonic() - began:.0f} s.")

    def tell_logins(self) -> None:
        church = ""
        for login in logins():
            if login.church != church:
                church = login.church
                self.stdout.write(f"\n{church}  /{login.slug}/")
            self.stdout.write(f"  {login.role:<16} {login.email:<36} {login.name}")
        self.stdout.write(f"\nThe pass phrase of all of them: {PASS_PHRASE}")
