"""Cells as people type them: prices, dates, counts, units, states, headings. Examples: common practice."""

from __future__ import annotations

import datetime
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.compute.gear_words import gear_words, looks_like_model, singular
from inventory.compute.intake.conditions import legend_of, read_condition
from inventory.compute.intake.dates import column_order, read_when
from inventory.compute.intake.draft import CONDITIONS
from inventory.compute.intake.grid import as_text, cleaned, letter
from inventory.compute.intake.headings import meaning, unit_of
from inventory.compute.intake.money import exponent_of, minor_units, read_money, read_number
from inventory.compute.intake.naming import Lexicon, binding_of, describe
from inventory.compute.intake.quantities import quantity_in_text, read_quantity
from inventory.compute.intake.questions import color_said
from inventory.compute.intake.units import read_band, read_length, read_weight, watts_in
from inventory.compute.intake.xlsx_file import place_of
from inventory.compute.intake.xlsx_styles import currency_of, date_parts

TODAY = date(2026, 7, 9)


@pytest.mark.parametrize(
    ("text", "minor", "currency", "per", "tax", "doubt"),
    [
        ("$1,250.00", 125000, "USD", "", "", ""),
        ("1.250,00 €", 125000, "EUR", "", "", ""),
        ("£1.400,00", 140000, "GBP", "", "", ""),
        ("1 250,00 €", 125000, "EUR", "", "", ""),
        ("1'250.00", 125000, "", "", "", ""),
        ("350,-", 35000, "", "", "", ""),
        ("40 each", 4000, "", "each", "", ""),
        ("25 ea.", 2500, "", "each", "", ""),
        ("@ $12", 1200, "USD", "each", "", ""),
        ("$300/pr", 30000, "USD", "all", "", ""),
        ("90 the pair", 9000, "", "all", "", ""),
        ("60 for the 4", 6000, "", "all", "", ""),
        ("15 the lot, 5 each", 1500, "", "all", "", "PRICE_TWO"),
        ("250+vat", 25000, "", "", "out", "PRICE_TAX"),
        ("2,400 + tax", 240000, "", "", "out", "PRICE_TAX"),
        ("120 inc. VAT", 12000, "", "", "in", ""),
        ("$900 (online)", 90000, "USD", "", "", ""),
        ("120 each, 90 the tatty one", 12000, "", "each", "", "PRICE_TWO"),
        ("100-150", 10000, "", "", "", "PRICE_TWO"),
        ("320 260", 32000, "", "", "", "PRICE_TWO"),
        ("(50.00)", 5000, "", "", "", "PRICE_NEG"),
        ("-20", 2000, "", "", "", "PRICE_NEG"),
        ("~100", 10000, "", "", "", "PRICE_ODD"),
        ("100?", 10000, "", "", "", "PRICE_ODD"),
        ("1.400", 140000, "", "", "", "PRICE_ODD"),
        ("12.345.6", None, "", "", "", "PRICE_ODD"),
        ("free!", 0, "", "", "", "PRICE_ODD"),
        ("nil", 0, "", "", "", ""),
        ("2k", 200000, "", "", "", ""),
        ("50 bucks", 5000, "USD", "", "", ""),
        ("20 quid", 2000, "GBP", "", "", ""),
        ("CAD 80", 8000, "CAD", "", "", ""),
        ("us$ 80", 8000, "USD", "", "", ""),
        ("99999999999", None, "", "", "", "PRICE_ODD"),
        ("-", None, "", "", "", ""),
        ("n/a", None, "", "", "", ""),
        ("scrap", None, "", "", "", ""),
        ("donated", None, "", "", "", ""),
        ("a lot", None, "", "", "", ""),
        ("", None, "", "", "", ""),
    ],
)
def test_prices(text: str, minor: int | None, currency: str, per: str, tax: str, doubt: str) -> None:
    found = read_money(text, "USD")
    assert (found.minor, found.currency, found.per, found.tax, found.doubt) == (minor, currency, per, tax, doubt)


def test_a_point_before_three_figures_is_settled_by_the_habit_of_the_list() -> None:
    assert read_money("1.400", "EUR", decimal_comma=True).doubt == ""


def test_currencies_without_decimals() -> None:
    assert read_money("¥12,000", "USD").minor == 12000
    assert exponent_of("JPY", "USD", 2) == 0 and exponent_of("USD", "USD", 2) == 2 and exponent_of("", "BHD", 3) == 3
    assert read_money("$5", "CAD").currency == "CAD"


@given(st.integers(0, 9_999_999), st.sampled_from(["{:,.2f}", "${:,.2f}", "£ {:,.2f}", "{:.2f} USD", "{:,.2f} each"]))
def test_any_amount_written_with_two_decimals_is_read_to_the_cent(cents: int, form: str) -> None:
    found = read_money(form.format(Decimal(cents) / 100), "USD")
    assert found.minor == cents and found.doubt == ""


@given(st.integers(0, 9_999_999))
def test_any_amount_written_the_continental_way_is_read_to_the_cent(cents: int) -> None:
    text = f"{Decimal(cents) / 100:,.2f}".translate(str.maketrans(",.", ".,"))
    assert read_money(f"{text} €", "EUR").minor == cents


@given(st.text(max_size=40))
def test_no_text_breaks_the_price_reader(text: str) -> None:
    found = read_money(text, "USD")
    assert found.minor is None or found.minor >= 0
    assert found.minor is None or any(mark.isdigit() for mark in text) or found.minor == 0


@given(st.text("0123456789.,' ", max_size=14))
def test_numbers_are_read_or_doubted(text: str) -> None:
    value, doubtful = read_number(text)
    assert value is not None or doubtful


def test_rounding_is_half_up_and_said() -> None:
    assert minor_units(Decimal("0.125"), 2) == (13, True)
    assert minor_units(Decimal("12.3"), 2) == (1230, False)


@pytest.mark.parametrize(
    ("text", "year", "precision", "bought", "doubt"),
    [
        ("2019", 2019, "year", "2019", ""),
        ("'17", 2017, "year", "2017", ""),
        ("2019ish", 2019, "about", "2019", ""),
        ("2013?", 2013, "about", "2013", ""),
        ("c. 2009", 2009, "about", "2009", ""),
        ("mid 2014", 2014, "about", "2014", ""),
        ("Easter 2018", 2018, "about", "2018", ""),
        ("fall '15", 2015, "about", "2015", ""),
        ("Mar 2018", 2018, "month", "2018-03", ""),
        ("Sept '17", 2017, "month", "2017-09", ""),
        ("May-19", 2019, "month", "2019-05", ""),
        ("04/2018", 2018, "month", "2018-04", ""),
        ("2018-04", 2018, "month", "2018-04", ""),
        ("2019-03-14", 2019, "day", "2019-03-14", ""),
        ("14 March 2019", 2019, "day", "2019-03-14", ""),
        ("March 14th, 2019", 2019, "day", "2019-03-14", ""),
        ("6/14/2018", 2018, "day", "2018-06-14", ""),
        ("14/6/18", 2018, "day", "2018-06-14", ""),
        ("5/5/21", 2021, "day", "2021-05-05", ""),
        ("03/04/19", 2019, "day", "2019-03-04", "DATE_ORDER"),
        ("43558", 2019, "day", "2019-04-03", "DATE_SERIAL"),
        ("98", 1998, "year", "1998", "DATE_BAD"),
        ("2/30/2019", 2019, "year", "2019", "DATE_BAD"),
        ("31-2-2019", 2019, "year", "2019", "DATE_BAD"),
        ("2012-2014", 2012, "about", "2012", "DATE_BAD"),
        ("2031", 2031, "year", "2031", "DATE_BAD"),
        ("gift 2012", 2012, "year", "2012", ""),
        ("bought used, 2015", 2015, "year", "2015", ""),
        ("the old pair 2015", None, "", "", "DATE_BAD"),
        ("5/19", None, "", "", "DATE_BAD"),
        ("7.5", None, "", "", "DATE_BAD"),
        ("?", None, "", "", ""),
        ("no idea", None, "", "", ""),
        ("", None, "", "", ""),
    ],
)
def test_dates(text: str, year: int | None, precision: str, bought: str, doubt: str) -> None:
    found = read_when(text, TODAY)
    assert (found.year, found.precision, found.bought, found.doubt) == (year, precision, bought, doubt)


def test_the_order_of_day_and_month_is_proved_by_a_column() -> None:
    assert column_order(["03/04/19", "25/12/2017"]) == "day"
    assert column_order(["03/04/19", "12/25/2017"]) == "month"
    assert column_order(["25/12/17", "12/25/2017"]) == "mixed"
    assert column_order(["03/04/19", "2019"]) == ""
    assert read_when("03/04/19", TODAY, order="day").bought == "2019-04-03"
    assert read_when("03/04/19", TODAY, order="month", day_first=True).bought == "2019-03-04"
    assert read_when("03/04/19", TODAY, order="mixed", day_first=True).doubt == "DATE_ORDER"


def test_dates_of_a_workbook() -> None:
    day = datetime.datetime(2019, 5, 1)
    assert read_when(day, TODAY).bought == "2019-05-01"
    assert read_when(day, TODAY, parts="my").bought == "2019-05"
    assert read_when(day, TODAY, parts="y").precision == "year"
    assert read_when(day, TODAY, parts="dm").doubt == "DATE_BAD"
    assert read_when(42096, TODAY, from_1904=True).bought == "2019-04-03"  # 1904 counting: 1,462 days later
    assert read_when(2015.0, TODAY).year == 2015
    assert read_when(0.5, TODAY).doubt == "DATE_BAD"
    assert read_when(date(2030, 1, 1), TODAY).doubt == "DATE_BAD"


@given(st.dates(date(1930, 1, 1), TODAY), st.sampled_from(["%Y-%m-%d", "%d %B %Y", "%b %d, %Y"]))
def test_any_day_written_in_full_is_read_back(day: date, form: str) -> None:
    assert read_when(day.strftime(form), TODAY).bought == day.isoformat()


@given(st.dates(date(1990, 1, 1), TODAY), st.booleans())
def test_a_day_in_figures_is_right_or_asked(day: date, day_first: bool) -> None:
    text = f"{day.day}/{day.month}/{day.year}" if day_first else f"{day.month}/{day.day}/{day.year}"
    order = "day" if day_first else "month"
    assert read_when(text, TODAY, order=order).bought == day.isoformat()
    alone = read_when(text, TODAY, day_first=not day_first)
    assert alone.doubt in ("DATE_ORDER", "DATE_BAD") or alone.bought == day.isoformat()


@given(st.text(max_size=30))
def test_no_text_breaks_the_date_reader(text: str) -> None:
    found = read_when(text, TODAY)
    assert found.year is None or 1700 <= found.year <= 2027 or found.doubt


@pytest.mark.parametrize(
    ("text", "number", "doubt"),
    [
        ("6", 6, ""),
        ("x6", 6, ""),
        ("6 off", 6, ""),
        ("6 pcs", 6, ""),
        ("three", 3, ""),
        ("pair", 2, ""),
        ("1 pr.", 2, ""),
        ("2 pairs", 4, "QTY"),
        ("a couple", 2, "QTY"),
        ("½ doz", 6, ""),
        ("a dozen", 12, ""),
        ("2 dozen", 24, ""),
        ("about 40", 40, "QTY"),
        ("8ish", 8, "QTY"),
        ("30+", 30, "QTY"),
        ("1 box", 1, ""),
        ("box of 12", 12, "QTY"),
        ("3 boxes", 3, "QTY"),
        ("lot", 1, "QTY"),
        ("a few", None, "QTY"),
        ("some", None, "QTY"),
        ("?", None, "QTY"),
        ("0", None, "QTY"),
        ("3 + 2", 5, "QTY"),
        ("6 (2 broken)", 6, ""),
        ("6 (in the loft)", 6, ""),
        ("100 ft", None, "QTY"),
        ("-", None, ""),
        ("", None, ""),
    ],
)
def test_counts(text: str, number: int | None, doubt: str) -> None:
    found = read_quantity(text)
    assert (found.number, found.doubt) == (number, doubt)


def test_counts_that_tell_of_broken_ones() -> None:
    assert (read_quantity("4/5 working").number, read_quantity("4/5 working").faulty) == (5, 1)
    assert read_quantity("6 (2 broken)").faulty == 2
    assert read_quantity("9 of 4").number is None


@pytest.mark.parametrize("value", [0, -3, 2.5, 10_000_000, float("nan"), float("inf")])
def test_numbers_that_are_no_count_are_asked(value: float) -> None:
    assert read_quantity(value).doubt == "QTY"


@given(st.integers(1, 99_999))
def test_every_whole_number_is_a_count(number: int) -> None:
    assert read_quantity(number).number == number == read_quantity(str(number)).number


@given(st.text(max_size=30))
def test_no_text_breaks_the_count_reader(text: str) -> None:
    found = read_quantity(text)
    assert found.number is None or found.number > 0


@pytest.mark.parametrize(
    ("text", "number", "rest"),
    [
        ("2x column speakers", 2, "column speakers"),
        ("V4 mics x 6 (box)", 6, "V4 mics (box)"),
        ("8 stage lights", 8, "stage lights"),
        ("Fresnels x8", 8, "Fresnels"),
        ("Boom stands, lot of 12", 12, "Boom stands"),
        ("XLR cables (4)", 4, "XLR cables"),
        ("a dozen mic cables", 12, "mic cables"),
        ("16 channel mixer", None, "16 channel mixer"),
        ("16 way multicore", None, "16 way multicore"),
        ("100 volt line amp", None, "100 volt line amp"),
        ("Snake 16x4 100 ft", None, "Snake 16x4 100 ft"),
        ("Power amp 2x1200W", None, "Power amp 2x1200W"),
        ("Subwoofer 2x18in", None, "Subwoofer 2x18in"),
        ("12 ft electric screens", None, "12 ft electric screens"),
    ],
)
def test_counts_inside_descriptions(text: str, number: int | None, rest: str) -> None:
    assert quantity_in_text(text) == (number, rest)


@pytest.mark.parametrize(
    ("text", "word", "doubt"),
    [
        ("tested ok", "tested good", ""),
        ("Tested", "tested good", ""),
        ("Good", "tested good", ""),
        ("works, button sticks", "works, marked", ""),
        ("works", "works, marked", ""),
        ("works great", "tested good", "COND_WORD"),
        ("working", "works, marked", "COND_WORD"),
        ("works sometimes, no sound", "works, marked", "COND_WORD"),
        ("fair", "works, marked", "COND_WORD"),
        ("sort of", "faulty", "COND_WORD"),
        ("poor", "faulty", "COND_WORD"),
        ("broken", "faulty", ""),
        ("horn dead, amp ok", "faulty", ""),
        ("fan fails", "faulty", "COND_WORD"),
        ("dead", "dead", ""),
        ("does not power on", "dead", ""),
        ("battery swollen", "unsafe", ""),
        ("frayed cord", "unsafe", "COND_WORD"),
        ("not tried", "not yet tested", ""),
        ("untested", "not yet tested", ""),
        ("?", "not yet tested", "COND_WORD"),
        ("missing", "not found", ""),
        ("dead battery", "faulty", ""),
        ("dead as a doornail", "dead", ""),
        ("no power supply", "", "COND_WORD"),
        ("50/50", "tested good", "COND_WORD"),
        ("Yes - tested 6/2", "tested good", "COND_WORD"),
        ("no - hums badly", "faulty", "COND_WORD"),
        ("powers up", "works, marked", "COND_WORD"),
        ("junk", "dead", "COND_WORD"),
        ("Y", "tested good", "COND_WORD"),
        ("N", "faulty", "COND_WORD"),
        ("purple", "", "COND_WORD"),
        ("good but hums", "tested good", "COND_WORD"),
        ("-", "", ""),
        ("", "", ""),
    ],
)
def test_states(text: str, word: str, doubt: str) -> None:
    found = read_condition(text)
    assert (found.word, found.doubt) == (word, doubt)
    assert found.sure == (not doubt)


@pytest.mark.parametrize(
    ("text", "quantity", "split"),
    [
        ("3 tested ok, 1 knocked about but works", 4, "tested good x3; works, marked x1"),
        ("5/6 working", 6, "tested good x5; faulty x1"),
        ("2 of 3", 3, "tested good x2; faulty x1"),
        ("6 ok, 1 not tried, 1 cracked lens", 8, "tested good x6; not yet tested x1; to be said x1"),
        ("one rattles, one dented", 6, "to be said x1; works, marked x1"),
    ],
)
def test_states_of_lots(text: str, quantity: int, split: str) -> None:
    found = read_condition(text, None, quantity)
    assert (found.word, found.doubt, found.split) == ("mixed", "COND_SPLIT", split)


def test_all_of_a_lot_working_is_one_state() -> None:
    assert read_condition("6/6 working", None, 6).word == "tested good"


def test_the_key_of_a_list_to_its_own_words() -> None:
    key = legend_of("Works? (Y = plugged in on 9 July, NT = not tested, X = dead)")
    assert key == {"y": "tested good", "nt": "not yet tested", "x": "dead"}
    assert read_condition("Y", key).sure and read_condition("X", key).word == "dead"
    assert read_condition("Y, a bit loose", key).remark == "Y, a bit loose"


@given(st.text(max_size=40), st.integers(1, 9))
def test_a_state_is_one_of_the_words_or_asked(text: str, quantity: int) -> None:
    found = read_condition(text, None, quantity)
    assert found.word in (*CONDITIONS, "mixed", "")
    assert found.sure or found.doubt == "COND_WORD"


@pytest.mark.parametrize(
    ("text", "unit", "kg", "doubt"),
    [
        ("46 lb", "", 20.865, ""),
        ("600 g", "", 0.6, ""),
        ("19kg", "", 19.0, ""),
        ("5 lb 4 oz", "", 2.381, ""),
        ("11 lbs (5 kg)", "", 4.99, ""),
        ("12 + 4", "kg", None, "UNIT"),
        ("0,6", "kg", 0.6, ""),
        ("29", "lb", 13.154, ""),
        ("29 kg", "lb", 29.0, ""),
        ("14", "", 14.0, "UNIT"),
        ("about 20 kg?", "", 20.0, "UNIT"),
        ("heavy", "", None, ""),
        ("", "", None, ""),
        ("½", "kg", 0.5, ""),
    ],
)
def test_weights(text: str, unit: str, kg: float | None, doubt: str) -> None:
    found = read_weight(text, unit)
    assert (found.value, found.doubt) == (kg, doubt)


@given(st.integers(1, 3000))
def test_pounds_and_kilograms_agree(tenths: int) -> None:
    pounds = read_weight(f"{tenths / 10} lb").value
    assert pounds == pytest.approx(tenths / 10 * 0.45359237, abs=0.001)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("6'", 1828.8),
        ("1.8m", 1800.0),
        ('12"', 304.8),
        ("100 ft", 30480.0),
        ("9'2\"", 2794.0),
        ("25 cm", 250.0),
        ("big", None),
    ],
)
def test_lengths(text: str, mm: float | None) -> None:
    assert read_length(text).value == mm


def test_watts_only_when_one_is_named() -> None:
    assert watts_in("line amp 60W") == 60
    assert watts_in("60 W or 100 W") is None


@pytest.mark.parametrize(
    ("text", "radio", "band"),
    [
        ("863-865", True, (863000, 865000)),
        ("863-865", False, None),
        ("606.5-613.5 MHz", False, (606500, 613500)),
        ("740 to 764", True, (740000, 764000)),
        ("854\u2013862 MHz", False, (854000, 862000)),
        ("902-928 MHz", False, (902000, 928000)),
        ("2.4 GHz", False, (2400000, 2483500)),
        ("1.92-1.93 GHz", False, (1920000, 1930000)),
        ("2012-2014", True, None),
        ("900-100", True, None),
        ("", True, None),
    ],
)
def test_radio_ranges(text: str, radio: bool, band: tuple[int, int] | None) -> None:
    assert read_band(text, radio=radio) == band


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Item", "what"),
        ("Descr.", "what"),
        ("Thing", "what"),
        ("Make/Model", "maker_model"),
        ("Brand & Model", "maker_model"),
        ("Mfr", "maker"),
        ("Model #", "model"),
        ("Ser#", "serial"),
        ("S/N", "serial"),
        ("How many?", "quantity"),
        ("No.", "number"),
        ("Works? (Y = yes)", "condition"),
        ("Cond.", "condition"),
        ("Date Purch.", "bought"),
        ("Yr", "bought"),
        ("Value ($)", "price"),
        ("P/X", "price"),
        ("What we'd get", "price"),
        ("Price paid", "price_paid"),
        ("Each", "price_each"),
        ("Total", "price_total"),
        ("Where?", "place"),
        ("Wt (lb)", "kg"),
        ("Home address", "personal"),
        ("Phone", "personal"),
        ("Donated by", "person"),
        ("Warranty date", "note"),
        ("Approx value of it", "price"),
        ("Zorp", None),
        ("", None),
        ("x" * 200, None),
    ],
)
def test_headings(heading: str, field: str | None) -> None:
    assert meaning(heading)[0] == field


def test_units_in_headings() -> None:
    assert (unit_of("Wt (lb)"), unit_of("kg"), unit_of("Weight"), unit_of("kg or lb")) == ("lb", "kg", "", "")


def lexicon() -> Lexicon:
    made = Lexicon()
    for maker in ("Brindlow", "Kettle Creek", "2nd", "speaker"):
        made.learn_maker(maker)
    for model in ("P12A", "V4", "BN-10W", "plain"):
        made.learn_model(model)
    made.learn_serial("Q5-38-3002")
    return made


@pytest.mark.parametrize(
    ("text", "what", "maker", "model", "serial", "place", "flags"),
    [
        ("Speaker Brindlow P12-A s/n P12A 017733", "Speaker", "Brindlow", "P12-A", "P12A 017733", "", []),
        ("Brindlow P12A P12A-017734", "Brindlow P12A P12A-017734", "Brindlow", "P12A", "P12A-017734", "", []),
        ("Kettle Creek BX-16 stage box", "stage box", "Kettle Creek", "BX-16", "", "", ["MODEL"]),
        ("Brindlow C4 columns, in vestry, Bob's?", "columns", "Brindlow", "C4", "", "vestry", ["OWNER"]),
        ("Q5-38-3001 / leader mic", "leader mic", "", "", "Q5-38-3001", "", []),
        ("P12A powered speaker, 017733", "powered speaker", "", "P12A", "017733", "", []),
        ("Loop amp LP-2", "Loop amp", "", "LP-2", "", "", ["MODEL"]),
        ("Hobsley RK-160 mixer", "mixer", "Hobsley", "RK-160", "", "", ["MODEL", "MAKER"]),
        ("V4 mics", "mics", "", "V4", "", "", []),
        ("XLR cable 25ft CAT6", "XLR cable 25ft CAT6", "", "", "", "", []),
        ("- folding screen 8'", "folding screen 8'", "", "", "", "", []),
    ],
)
def test_descriptions(text: str, what: str, maker: str, model: str, serial: str, place: str, flags: list[str]) -> None:
    found = describe(text, lexicon())
    assert (found.what, found.maker, found.model, found.serial, found.place, found.flags) == (
        what,
        maker,
        model,
        serial,
        place,
        flags,
    )


def test_makers_are_learned_from_descriptions_that_repeat() -> None:
    made = Lexicon()
    made.learn_descriptions(["Hobsley RK-160 mixer", "console Hobsley AN-24", "Fennick FV-31 mic"])
    assert made.makers == {"hobsley": "Hobsley"}


@given(st.text(max_size=60))
def test_a_description_never_loses_its_tail(text: str) -> None:
    found = describe(text, lexicon())
    kept = " ".join([found.what, found.maker, found.model, found.serial, found.place, *found.remarks]).lower()
    for word in text.lower().split():
        bare = word.strip(",;:()[]\"'-–—•*·▪‣./#?")
        if (
            len(bare) > 3
            and bare.isalpha()
            and bare
            not in (
                "serial",
                "kept",
                "stored",
                "lives",
                "currently",
                "under",
                "behind",
                "inside",
                "beside",
                "near",
                "above",
                "below",
                "over",
            )
        ):
            assert bare in kept


@pytest.mark.parametrize(
    ("text", "flags", "bound"),
    [
        ("do not sell", ("BOUND",), True),
        ("in memory of E. Teague - stays with the building", ("BOUND",), True),
        ("LTO til 3/31/2027", ("OWNER", "HP_MEANING"), True),
        ("stage piano HP", ("OWNER", "HP_MEANING"), True),
        ("HP-200 headphones", (), False),
        ("rental - due back 12/31", ("OWNER",), False),
        ("belongs to Dale Haverkamp", ("OWNER",), False),
        ("grille scuffed", (), False),
        ("", (), False),
    ],
)
def test_what_binds_a_piece(text: str, flags: tuple[str, ...], bound: bool) -> None:
    found = binding_of(text)
    assert found.do_not_sell == bound and set(found.flags) == set(flags)


def test_owners_are_named() -> None:
    assert binding_of("belongs to the Ainscarth Players! 2 packs dead").owner == "the Ainscarth Players"
    assert binding_of("Dilys M's own - must go back").owner == "Dilys M"


def test_small_helpers() -> None:
    assert [letter(0), letter(25), letter(26), letter(701), letter(702)] == ["A", "Z", "AA", "ZZ", "AAA"]
    assert place_of("B7") == (6, 1) and place_of("nonsense") is None
    assert as_text(True) == "yes" and as_text(8801.0) == "8801" and as_text(None) == "" and as_text(0.6) == "0.6"
    assert (
        as_text(datetime.datetime(2020, 1, 2)) == "2020-01-02"
        and as_text(datetime.datetime(2020, 1, 2, 3, 4)) == "2020-01-02 03:04"
    )
    assert as_text(datetime.time(3, 4)) == "03:04:00"
    assert cleaned("a\u00a0 b\r\nc\u200e") == "a b\nc"
    assert (
        currency_of("[$$-409]#,##0.00") == "USD"
        and currency_of('"£"#,##0') == "GBP"
        and currency_of("[$€-2] #,##0.00") == "EUR"
    )
    assert currency_of("0.00") == "" and currency_of('"$"#,##0') == "$"
    assert (
        date_parts("dd/mm/yyyy") == "dmy"
        and date_parts("mmm-yy") == "my"
        and date_parts("0.00") == ""
        and date_parts("hh:mm") == ""
    )
    assert singular("boxes") == "box" and singular("batteries") == "battery" and singular("bus") == "bus"
    assert gear_words("two old mics") == {"mic"}
    assert looks_like_model("BN-12A") and not looks_like_model("16x4") and not looks_like_model("Stage")
    assert color_said("fill FFFF00") == "a yellow background" and color_said("text FF0000") == "red text"
    assert color_said("fill D9D9D9") == "a gray background" and color_said("fill 804000") == "a brown background"
    assert color_said("fill FFA500") == "an orange background"
