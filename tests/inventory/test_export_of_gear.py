"""The list as a spreadsheet: what is filtered, formulas made harmless, no price for who sees none."""

import csv
import io

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from inventory.models import Account
from inventory.words import Fate
from people.compute.sheet_safety import is_risky, neutral
from people.roles import Role

PRICELESS = [Role.CREW, Role.READER]
PRICES = {"paid_minor": 7_654_321, "resale_minor": 4_321_987}
WRITTEN = ("76543", "76,543", "43219", "43,219", "7654321", "4321987", "98765", "Resale", "resale")


def sheet(client, name, **query):
    answer = client.get(reverse(name, args=["first"]), query)
    assert answer.status_code == 200
    return b"".join(answer.streaming_content)


def rows_of(data):
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))


@pytest.mark.parametrize(
    "text",  # OWASP Foundation, "CSV Injection": the characters that begin a formula
    ["=1+1", "+1", "-1+2", "@SUM(A1)", "\t=1", "\r=1", " =1", "＝1", '=HYPERLINK("http://x")'],
)
def test_text_that_a_spreadsheet_would_run_is_made_text(text):
    assert is_risky(text)
    assert neutral(text) == "'" + text


@pytest.mark.parametrize("value", ["", "mic", "12-inch", "a=b", 5, -5, None])
def test_everything_else_stays_as_it_is(value):
    assert neutral(value) == value


def test_csv_holds_every_filtered_piece_and_no_formula(cast, make):
    make.piece(what="=cmd|' /C calc'!A0", note="+49", place=make.place(name="@loft"), fate=Fate.SELL)
    make.piece(what='Said "loud", 2 lines')
    rows = rows_of(sheet(cast.client(), "gear-csv"))
    assert rows[0][:3] == ["tag", "what it is", "how many"]
    assert len(rows) == 3
    assert rows[2][1] == 'Said "loud", 2 lines'
    assert not [cell for row in rows for cell in row if cell[:1] in set("=+-@")]
    assert len(rows_of(sheet(cast.client(), "gear-csv", fate="sell"))) == 2


def test_xlsx_keeps_text_as_text_and_marks_what_could_be_a_formula(cast, make):
    make.piece(what="=1+1", quantity=3, mass_g=907, serial="00427", **PRICES)
    book = load_workbook(io.BytesIO(sheet(cast.client(), "gear-xlsx")))
    head, row = list(book.active.iter_rows())
    by_name = {each.value: cell for each, cell in zip(head, row, strict=True)}
    assert (by_name["what it is"].value, by_name["what it is"].data_type) == ("=1+1", "s")
    assert by_name["what it is"].quotePrefix
    assert by_name["serial"].value == "00427"
    assert by_name["how many"].value == 3
    assert by_name["mass (lb)"].value == 2  # 907 g are 1.9996 lb
    assert by_name["paid"].value == 76_543.21


@pytest.mark.parametrize("role", PRICELESS)
def test_no_price_reaches_who_may_not_see_it(cast, make, role):
    piece = make.piece(what="Dear desk", quantity=2, goes_to=make.place(), **PRICES)
    account = make.add(Account, key="A01", kind="software", what="Words", yearly_cost_minor=9_876_500, runs_on=piece)
    client, slug = cast.client(role), cast.ministry.slug
    pages = [
        reverse("gear", args=[slug]),
        piece.get_absolute_url(),
        reverse("place", args=[slug, piece.goes_to.uid]),
        reverse("accounts", args=[slug]),
        reverse("account-page", args=[slug, account.uid]),
    ]
    if role == Role.CREW:
        pages += [reverse("piece-edit", args=[slug, piece.uid]), reverse("piece-add", args=[slug])]
    for page in pages:
        html = client.get(page).content.decode()
        assert not [price for price in WRITTEN if price in html], page
    searched = client.get(reverse("gear", args=[slug]), {"sort": "-resale", "q": "76543"}).content.decode()
    assert "Dear desk" not in searched and "43219" not in searched and "76,543" not in searched
    assert not [price for price in WRITTEN if price in sheet(client, "gear-csv").decode()]
    book = load_workbook(io.BytesIO(sheet(client, "gear-xlsx")))
    written = " ".join(str(cell.value) for row in book.active.iter_rows() for cell in row)
    assert not [price for price in WRITTEN if price in written]


def test_sorting_by_price_tells_nothing_to_who_sees_none(cast, make):
    make.piece(what="Cheap", resale_minor=1)
    make.piece(what="Dear", resale_minor=9)
    url = reverse("gear", args=[cast.ministry.slug])
    crew = cast.client(Role.CREW)
    plain = crew.get(url).content.decode().index("Dear") > crew.get(url).content.decode().index("Cheap")
    asked = crew.get(url, {"sort": "-resale"}).content.decode()
    assert plain and asked.index("Dear") > asked.index("Cheap")
    seen = cast.client().get(url, {"sort": "-resale"}).content.decode()
    assert seen.index("Dear") < seen.index("Cheap")


def test_crew_cannot_write_prices_through_the_form(cast, make):
    piece = make.piece(**PRICES)
    url = reverse("piece-edit", args=[cast.ministry.slug, piece.uid])
    given = {"what": "New", "area": "misc", "quantity": 1, "bond": "ours", "resale_minor": "1", "base_version": 1}
    assert cast.client(Role.CREW).post(url, given).status_code == 302
    piece.refresh_from_db()
    assert (piece.what, piece.resale_minor) == ("New", PRICES["resale_minor"])


def test_the_export_costs_the_same_for_few_and_many(cast, make, same_queries):
    make.piece(place=make.place())
    same_queries(
        cast.client(),
        reverse("gear-csv", args=[cast.ministry.slug]),
        lambda: [make.piece(place=make.place()) for _n in range(20)],
    )
