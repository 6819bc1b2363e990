"""Print a packet."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import translation

from inventory.models import Place
from people.access import Viewer
from people.middleware import LANGUAGE_OF_COUNTRY
from people.roles import Role
from roadmap.management.commands.plan import the_ministry


class Command(BaseCommand):
    help = "Write the leaders' packet or the handover packet of a ministry as a PDF."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("kind", choices=["leaders", "handover"])
        parser.add_argument("--ministry", metavar="SLUG")
        parser.add_argument("--place", metavar="CODE", help="handover of this room only")
        parser.add_argument("--out", required=True, metavar="FILE.pdf")

    def handle(self, *args: Any, **options: Any) -> None:
        ministry = the_ministry(options["ministry"])
        viewer = Viewer(ministry, None, frozenset({Role.LEAD}))
        place = None
        if options["place"]:
            place = Place.objects.filter(ministry=ministry, code=options["place"]).first()
            if place is None:
                raise CommandError(f"{ministry.name} has no place with the code {options['place']}.")
        with (
            translation.override(LANGUAGE_OF_COUNTRY.get(ministry.country, "en")),
            Path(options["out"]).open("wb") as out,
        ):
            version = write(options["kind"], viewer, place, out)
        self.stdout.write(f"Wrote {options['out']}, version {version}.")


def write(kind: str, viewer: Viewer, place: Place | None, out: Any) -> str:
    """Write the packet of this kind and return its version."""
    if kind == "leaders":
        from roadmap.services.packets.leaders import leaders_packet

        return leaders_packet(viewer=viewer, out=out)
    from roadmap.services.packets.handover import handover_packet

    return handover_packet(viewer=viewer, out=out, place=place)
