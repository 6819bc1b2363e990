"""The leaders' packet: one question, a phase a page, figures that agree with the plan's."""

import io

import pytest
from pypdf import PdfReader

from roadmap.models import FundIncome, Promise, StepLink
from roadmap.services.loading import planned
from roadmap.services.packets.leaders import leaders_packet
from tests.conftest import TODAY


def read(viewer):
    out = io.BytesIO()
    leaders_packet(viewer=viewer, out=out)
    reader = PdfReader(io.BytesIO(out.getvalue()))
    return reader, [" ".join(page.extract_text().split()) for page in reader.pages]


@pytest.fixture
def plan(cast, make):
    fund = make.fund(name="Sound gift", nature="restricted", purpose_words="so that we can hear")
    make.add(FundIncome, fund=fund, on=TODAY, amount_minor=90000)
    first = make.phase(name="Hear", gives="Clear speech", gate_on=TODAY, gate_state="passed", contingency_bp=1000)
    second = make.phase(name="See", gives="Words on the wall", gate_on=TODAY.replace(day=9), contingency_bp=1200)
    amp = make.step(
        phase=first, title="Amplifier into the rack", fund=fund, agreed_start=TODAY, signs="the electrician"
    )
    wall = make.step(phase=second, title="Words on the wall", fund=fund, agreed_start=TODAY)
    make.add(StepLink, step=wall, requires=amp)
    make.order_line(step=amp, net_minor=100000, tax_bp=725, order=make.order(state="ordered"))
    make.order_line(
        step=wall, net_minor=33333, tax_bp=725, order=make.order(state="priced", quote_valid_to=TODAY.replace(day=20))
    )
    make.add(Promise, key="SP-01", text="Words reach the wall", standing="not yet promised", brought_by=wall)
    return first, second


def test_the_first_page_asks_one_question(cast, plan):
    __, pages = read(cast.viewer())
    assert "On November 9, 2026 the elders decide on phase" in pages[0]
    # 333.33 before tax, 7.25 % tax = 24.17 half up, contingency 12 % of 357.50 = 42.90: worked by hand
    assert "$400.40" in pages[0]
    assert "holds until November 20, 2026" in pages[0]
    assert "Sound gift is $530 short for its steps." in pages[0]  # 1,072.50 + 357.50 needed, 900.00 given


def test_each_phase_has_one_page(cast, plan):
    reader, pages = read(cast.viewer())
    assert len(pages) == 3
    assert "Clear speech" in pages[1] and "Amplifier into the rack" in pages[1]
    assert "signed by the electrician" in pages[1]
    assert "0 of 1 Sunday promises hold. Not yet: Words reach the wall." in pages[1]
    assert "1 of 1 Sunday promises hold." in pages[2]
    assert reader.metadata.title == "For the elders"


def test_a_phase_of_many_steps_still_fits_its_page(cast, make, plan):
    for n in range(60):
        make.step(phase=plan[0], title=f"Small step {n} with words enough to take two lines of the column it stands in")
    __, pages = read(cast.viewer())
    assert len(pages) == 3
    assert "Small step 59" in pages[1]


def test_the_totals_are_the_plan_s(cast, plan):
    made = planned(cast.ministry)
    __, pages = read(cast.viewer())
    for totals in made.plan.phases.values():
        for minor in (totals.before_tax, totals.tax, totals.total, totals.total_with_contingency):
            whole = f"${minor // 100:,}" + (f".{minor % 100:02d}" if minor % 100 else "")
            assert whole in pages[0]


def test_without_a_plan_it_says_so(cast):
    __, pages = read(cast.viewer())
    assert pages[0].startswith("Every phase is decided: nothing is asked tonight.")


def test_what_sales_may_bring_stands_in_no_sum(cast, make, plan):
    sales = make.fund(name="Resale of gear", nature="resale")
    make.add(FundIncome, fund=sales, on=TODAY, amount_minor=77700)
    __, pages = read(cast.viewer())
    assert "Sales are to bring $777; it is counted when it is in hand, not before." in pages[0]
    assert "Together $900 $900" in pages[0]  # the sound gift alone
