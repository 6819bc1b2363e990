"""The gear list against the admin's list of the same rows, its growth with rows, and its queries."""

import random
from collections.abc import Callable, Iterator

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from inventory.models import Piece, Place, Site
from inventory.words import Condition, Fate
from people.models import Member, Ministry, User
from people.services import record
from tests.bench.measure import Figure, ratio

FEW, MANY = 10_000, 200_000
SORTED_FILTERED_SEARCHED = "?q=loud&fate=use+here&sort=what"


def church(slug: str, rows: int) -> Ministry:
    """Return a new church with so many pieces in twenty rooms."""
    ministry = Ministry.objects.create(slug=slug, name=slug, country="US", zone="America/New_York", currency="USD")
    user = User.objects.filter(email="lead@bench.example.org").first()
    user = user or User.objects.create_user("lead@bench.example.org", "a long pass phrase")
    Member.objects.create(ministry=ministry, user=user, roles=["lead"])
    with record.act(ministry=ministry, by=None, kind="bench", says="Filled."):
        site = record.add(Site(ministry=ministry, code="LN", name="The Lanes", receives=True))
        rooms = record.add_many(
            [Place(ministry=ministry, site=site, code=f"P{n}", name=f"Room {n}") for n in range(20)]
        )
    Piece.objects.bulk_create(pieces(ministry, rooms, rows), batch_size=2000)
    return ministry


def pieces(ministry: Ministry, rooms: list[Place], rows: int) -> list[Piece]:
    """Return unsaved pieces, half of them found by the search of the bench."""
    rng = random.Random(rows)
    conditions, fates = Condition.values, Fate.values
    made = []
    for n in range(rows):
        what = f"{rng.choice(('Loudspeaker', 'Microphone', 'Loud hailer', 'Cable'))} {rng.randint(0, 10**6)}"
        made.append(
            Piece(
                ministry=ministry,
                tag=f"G{n:06}",
                tag_number=n,
                what=what,
                maker="Brindlow",
                model=f"BN-{n % 97}",
                place=rooms[n % len(rooms)],
                goes_to=rooms[(n * 7) % len(rooms)],
                condition=conditions[n % len(conditions)],
                fate=fates[n % len(fates)],
                mass_g=n % 20000,
                sort_key=what.casefold(),
                search_key=f"g{n:06} {what.casefold()} brindlow bn-{n % 97}",
            )
        )
    return made


def ours(ministry: Ministry, query: str) -> Callable[[], object]:
    client = signed_in()
    url = f"/{ministry.slug}/gear/{query}"

    def get() -> object:
        answer = client.get(url)
        assert answer.status_code == 200, answer.status_code
        return answer.content

    return get


def admins(ministry: Ministry) -> Callable[[], object]:
    """Return the admin's list of the same rows through the same client: a filter, a search and its sorting."""
    User.has_module_perms = User.has_perm = lambda self, *args, **kwargs: True
    User.is_staff = True
    client = signed_in()
    url = f"/admin/inventory/piece/?ministry__id__exact={ministry.pk}&q=loud&fate__exact=use+here&o=2"

    def get() -> object:
        answer = client.get(url)
        assert answer.status_code == 200, answer.status_code
        return answer.content

    assert get().count(b"Loud") >= 50
    return get


def signed_in() -> Client:
    client = Client()
    lead = User.objects.get(email="lead@bench.example.org")
    client.force_login(lead, backend="django.contrib.auth.backends.ModelBackend")
    return client


def figures() -> Iterator[Figure]:
    small = church("few", FEW)
    page, base = ours(small, SORTED_FILTERED_SEARCHED), admins(small)
    yield ratio("list page, 50 of 10,000, sort + filter + search : the admin's list", 0.6, page, base, 9)
    with CaptureQueriesContext(connection) as few:
        page()
    yield Figure("queries of the list page", len(few), 8, 0, 0, slack=1)
    big = church("many", MANY)
    for leaf, few_leaf, many_leaf in (("first", "", ""), ("last", f"?page={FEW // 50}", f"?page={MANY // 50}")):
        figure = ratio(f"the {leaf} leaf of 200,000 : of 10,000", 1.3, ours(big, many_leaf), ours(small, few_leaf), 5)
        yield figure
