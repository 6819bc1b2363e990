"""Which pages there are: found by following every link from the first page, so that new pages come by themselves."""

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.urls import Resolver404, resolve

from tests.browser.visitor import Answer, Visitor

OF_A_KIND = 2  # pages opened of one name: two orders speak for all of them
WITH_CHOICES = 1  # and as many with a question mark in their address: a filter, a leaf, a sort


@dataclass
class Walk:
    """Everything one person came upon: answers by the address's name, links that lead nowhere, and where each stood."""

    found: dict[str, list[Answer]] = field(default_factory=dict)
    lost: list[str] = field(default_factory=list)
    stood_on: dict[str, str] = field(default_factory=dict)

    def answers(self) -> Iterator[tuple[str, Answer]]:
        for name, answers in self.found.items():
            for answer in answers:
                yield name, answer

    def plain(self, name: str) -> Answer | None:
        """Return the first page of a name, rather one without a question mark in its address."""
        pages = [one for one in self.found.get(name, []) if one.status == 200]
        return min(pages, key=lambda one: "?" in one.address, default=None)


def name_of(address: str) -> str:
    """Return the name of the address; raises Resolver404 for one that leads nowhere."""
    return resolve(address.partition("?")[0]).url_name or ""


def walk(visitor: Visitor, begin: list[str], church: str) -> Walk:
    """Follow links from these addresses, within this church and outside of churches, a few pages of each name."""
    seen, way, result = set(begin), deque(begin), Walk()
    counts: dict[tuple[str, bool], int] = {}
    while way:
        address = way.popleft()
        try:
            match = resolve(address.partition("?")[0])
        except Resolver404:
            if not address.startswith("/static/"):
                result.lost.append(address)
            continue
        name, asks = match.url_name or "", "?" in address
        counts[name, asks] = counts.get((name, asks), 0) + 1
        elsewhere = match.kwargs.get("ministry", church) != church
        one_is_enough = name in result.found and not result.found[name][0].is_page  # papers, lists of values
        if elsewhere or one_is_enough or counts[name, asks] > (WITH_CHOICES if asks else OF_A_KIND):
            continue
        answer = visitor.get(address)
        result.found.setdefault(name, []).append(answer)
        for link in [*([answer.to] if answer.to else []), *(answer.links() if answer.is_page else [])]:
            if link not in seen:
                seen.add(link)
                result.stood_on[link] = address
                way.append(link)
    return result
