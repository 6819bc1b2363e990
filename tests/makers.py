"""Makers of single tracked rows for tests: `make.piece(what="Console")` gives only what matters."""

from itertools import count
from typing import Any

from inventory.models import Piece, Place, RoomNeed, Site
from people.models import Person
from people.services import record
from roadmap.models import Fund, Order, OrderLine, Phase, Step, Supplier
from tests.conftest import Cast


class Maker:
    def __init__(self, cast: Cast) -> None:
        self.cast = cast
        self.numbers = count(1)

    def add(self, model: type[Any], **values: Any) -> Any:
        values.setdefault("ministry", self.cast.ministry)
        by = self.cast.lead if values["ministry"] == self.cast.ministry else None
        with record.act(ministry=values["ministry"], by=by, kind="made", says="Made for a test."):
            return record.add(model(**values))

    def site(self, **values: Any) -> Site:
        n = next(self.numbers)
        return self.add(Site, **({"code": f"S{n}", "name": f"Site {n}"} | values))

    def place(self, **values: Any) -> Place:
        n = next(self.numbers)
        if "site" not in values:
            values["site"] = self.site(**({"ministry": values["ministry"]} if "ministry" in values else {}))
        return self.add(Place, **({"code": f"P{n}", "name": f"Place {n}"} | values))

    def piece(self, **values: Any) -> Piece:
        n = next(self.numbers)
        what = values.get("what", f"Thing {n}")
        keys = {"sort_key": what.casefold(), "search_key": f"g{n} {what.casefold()}"}
        return self.add(Piece, **({"tag": f"G{n:03}", "tag_number": n, "what": what} | keys | values))

    def person(self, **values: Any) -> Person:
        return self.add(Person, **({"name": f"Person {next(self.numbers)}"} | values))

    def need(self, **values: Any) -> RoomNeed:
        n = next(self.numbers)
        if "place" not in values:
            values["place"] = self.place()
        return self.add(RoomNeed, **({"key": f"N{n:02}", "what": f"Need {n}"} | values))

    def phase(self, **values: Any) -> Phase:
        n = next(self.numbers)
        return self.add(Phase, **({"key": str(n), "name": f"Phase {n}", "order": n} | values))

    def fund(self, **values: Any) -> Fund:
        n = next(self.numbers)
        return self.add(Fund, **({"code": f"F{n}", "name": f"Fund {n}"} | values))

    def step(self, **values: Any) -> Step:
        n = next(self.numbers)
        if "phase" not in values:
            values["phase"] = self.phase()
        return self.add(Step, **({"key": f"S{n:02}", "title": f"Step {n}", "order": n} | values))

    def supplier(self, **values: Any) -> Supplier:
        return self.add(Supplier, **({"name": f"Supplier {next(self.numbers)}"} | values))

    def order(self, **values: Any) -> Order:
        if "supplier" not in values:
            values["supplier"] = self.supplier()
        return self.add(Order, **({"key": f"O-{next(self.numbers):02}"} | values))

    def order_line(self, **values: Any) -> OrderLine:
        if "order" not in values:
            values["order"] = self.order()
        return self.add(OrderLine, **({"what": f"Line {next(self.numbers)}", "net_minor": 1000} | values))
