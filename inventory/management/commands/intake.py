"""Take gear lists in from the command line, or look at what they would become."""

import json
from argparse import ArgumentParser
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from inventory.compute.intake.draft import ASK, CHANGES, LEFT_OUT, NEW, Draft, Unreadable
from inventory.compute.intake.grid import MAX_BYTES
from inventory.compute.intake.score import as_score_json, twin_rows
from inventory.compute.twins import suggest
from inventory.services.intake_child import Reading, read_list
from people.compute.packs import CountryPack
from people.packs import pack

COUNTRY = "US"  # whose habits are guessed at where no church is named and the list does not say
SECONDS = 60


class Command(BaseCommand):
    help = "Take gear lists (CSV, XLSX) into a church's list; with --dry-run only say what each row would become."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
        parser.add_argument("--ministry", metavar="SLUG", help="the church; may be left out with --dry-run")
        parser.add_argument("--site", metavar="CODE", help="where the things on these lists are")
        parser.add_argument("--dry-run", action="store_true", help="read and compare only; nothing is written")
        parser.add_argument("--json", action="store_true", help="print pieces and questions as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        files = [(path.name, _bytes_of(path)) for path in options["files"]]
        ministry = _ministry(options["ministry"]) if options["ministry"] else None
        if options["dry_run"]:
            drafts = [self._draft(name, data, ministry) for name, data in files]
        else:
            drafts = self._take_in(files, ministry or _only_ministry(), options["site"])
        if options["json"]:
            self._print_json(drafts)
        elif options["dry_run"]:
            self._print_drafts(drafts)

    def _draft(self, name: str, data: bytes, ministry: Any) -> Draft:
        try:
            return read_list(data, reading_for(name, ministry), seconds=SECONDS)
        except Unreadable as told:
            raise CommandError(told.sentence) from told

    def _take_in(self, files: list[tuple[str, bytes]], ministry: Any, site_code: str | None) -> list[Draft]:
        """Take every list in, all or none."""
        from django.db import transaction

        from inventory.services.intake import count_sentence, take_in
        from inventory.services.intake_reading import draft_of

        site, drafts = _site(ministry, site_code), []
        try:
            with transaction.atomic():
                for name, data in files:
                    source = take_in(ministry=ministry, by=None, name=name, data=data, site=site)
                    counts = {
                        NEW: source.rows_new,
                        CHANGES: source.rows_changed,
                        ASK: source.rows_asked,
                        LEFT_OUT: source.rows_left_out,
                    }
                    self.stderr.write(f"{name}: {count_sentence(counts)}", ending="\n")
                    drafts.append(draft_of(source))
        except Unreadable as told:
            raise CommandError(told.sentence) from told
        return drafts

    def _print_json(self, drafts: list[Draft]) -> None:
        found = as_score_json(drafts, suggest(twin_rows(drafts)))
        self.stdout.write(json.dumps(found, ensure_ascii=False, indent=1))

    def _print_drafts(self, drafts: list[Draft]) -> None:
        from inventory.services.intake import count_sentence

        for each in drafts:
            counts = {verdict: each.totals.get(verdict, 0) for verdict in (NEW, CHANGES, ASK, LEFT_OUT)}
            self.stdout.write(f"{each.file}: {count_sentence(counts)}")
            for row in each.rows:
                self.stdout.write(f"  {row.key}  {row.verdict}: {row.fields.get('what', '')}  {row.reason}")
            for question in each.questions:
                self.stdout.write(f"  ? {question.text} ({question.count})")
        for twin in suggest(twin_rows(drafts)):
            self.stdout.write(f"  ~ {twin.key_a} and {twin.key_b}: {' '.join(twin.evidence)}")


def reading_for(name: str, ministry: Any) -> Reading:
    """Return how a list is read: with the church's habits, else with those of the first country pack."""
    country: CountryPack = pack(ministry.country if ministry else COUNTRY)
    if ministry is None:
        return Reading(name, country.day_first, country.currency, date.today(), country.exponent)
    from people.clock import today

    return Reading(name, country.day_first, ministry.currency, today(ministry), country.exponent)


def _bytes_of(path: Path) -> bytes:
    try:
        if path.stat().st_size > MAX_BYTES:
            raise CommandError(
                f"{path.name} has {path.stat().st_size // 1_000_000} MB; a list may have {MAX_BYTES // 1_000_000} MB. "
                "Take pasted photographs out, or save the sheet as CSV."
            )
        return path.read_bytes()
    except OSError as error:
        raise CommandError(f"{path} cannot be read: {error.strerror}.") from error


def _ministry(slug: str) -> Any:
    from people.models import Ministry

    found = Ministry.objects.filter(slug=slug).first()
    if found is None:
        raise CommandError(f"There is no church {slug!r}. Known: {', '.join(_slugs()) or 'none'}.")
    return found


def _only_ministry() -> Any:
    slugs = _slugs()
    if len(slugs) != 1:
        raise CommandError(f"Say which church with --ministry. Known: {', '.join(slugs) or 'none'}.")
    return _ministry(slugs[0])


def _slugs() -> list[str]:
    from people.models import Ministry

    return list(Ministry.objects.order_by("slug").values_list("slug", flat=True))


def _site(ministry: Any, code: str | None) -> Any:
    if not code:
        return None
    from inventory.models import Site

    found = Site.objects.filter(ministry=ministry, code__iexact=code).first()
    if found is None:
        known = ", ".join(Site.objects.filter(ministry=ministry).values_list("code", flat=True))
        raise CommandError(f"There is no site {code!r}. Known: {known or 'none'}.")
    return found
