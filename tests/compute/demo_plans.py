"""The invented churches of the demo as plan tables, with the rules their books state in words.

Dates are what was agreed; money is in whole dollars or pounds before tax. The calendar rules, part arrivals and tax
rules stand beside the step or order they belong to.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from roadmap.compute.plan_input import (
    ClosedIn,
    CostIn,
    FreezeIn,
    LinkIn,
    OrderIn,
    PhaseIn,
    PlanInput,
    PromiseIn,
    ServiceIn,
    StepIn,
)

US_STEPS = """
key,phase,requires,orders,start,finish,goods,labor,shipping,hours,fund,touches,state
S01,1,,,2026-07-06,2026-07-21,90,0,0,56,GEN,0,signed over
S02,1,,O-01,2026-07-27,2026-07-29,310,1150,0,3,BLD,0,signed over
S03,1,S01,,2026-08-24,2026-08-26,0,220,0,30,BLD,0,signed over
S04,1,S02 S03,O-02,2026-09-07,2026-09-10,420,0,28,36,BLD,1,proven on a Sunday
S05,1,S01,,2026-08-03,2026-08-05,85,0,0,5,GEN,0,signed over
S06,1,S04 S05,,2026-09-12,2026-09-12,60,0,0,34,GEN,1,signed over
S07,1,S06,,2026-09-15,2026-09-17,260,0,12,18,BLD,1,proven on a Sunday
S08,1,S07 S03,,2026-09-22,2026-09-28,0,1450,0,42,BLD,0,signed over
S09,2,S06,O-03,2026-10-12,2026-10-13,5500,400,260,8,BLD,0,in; not proven
S10,2,S09 S02,O-05,2026-10-19,2026-10-20,2220,0,85,8,MEM,1,waiting on
S11,2,S06,,2026-09-20,2026-10-04,55,0,0,18,GEN,1,signed over
S12,2,S10 S11,,2026-10-21,2026-11-01,40,0,0,12,GEN,1,waiting on
S13,2,S05 S06,O-06,2026-10-26,2026-11-04,2800,0,30,12,BLD,1,on it
S14,2,S13,,2026-11-06,2026-11-06,45,500,0,30,GEN,1,waiting on
S15,2,S14,,2026-11-16,2026-11-18,0,0,0,5,GEN,1,waiting on
S16,2,S12 S08,,2026-11-02,2026-11-13,0,90,0,8,GEN,0,approved
S17,2,S02 S08,O-04,2026-09-29,2026-10-02,900,0,18,14,BLD,0,proven on a Sunday
S18,3,S07,,2026-11-02,2026-11-13,0,300,0,10,BLD,0,on it
S19,3,S17 S18,O-10 O-11,2027-01-11,2027-01-15,1130,1400,42,28,PLG,0,costed
S20,3,S19 S17,O-09,2027-01-25,2027-01-26,4120,0,60,10,PLG,1,costed
S21,3,S20 S22,,2027-01-28,2027-01-29,620,0,0,10,PLG,1,costed
S22,3,S01,,2026-12-07,2026-12-15,0,380,0,46,BLD,0,approved
S23,3,S20 S19,,2027-02-02,2027-02-04,540,0,18,14,PLG,1,costed
S24,3,S19 S03 S22,,2027-02-15,2027-02-16,260,0,0,12,GEN,0,costed
S25,4,S12,O-07,2027-03-15,2027-03-17,1100,2600,45,8,MEM,1,costed
S26,4,S10 S17,O-12,2027-04-13,2027-04-14,1350,350,0,4,GRT,1,costed
S27,4,S04 S21,O-11,2027-05-04,2027-05-06,660,480,14,16,GEN,1,wished for
S28,4,S12 S14 S15 S17 S21 S23 S24 S25 S26 S27,,2027-05-10,2027-06-26,380,520,0,88,GEN,0,wished for
"""

UK_STEPS = """
key,phase,requires,orders,start,finish,goods,labor,shipping,hours,fund,touches,state
S01,1,,,2026-07-01,2026-07-14,60,0,0,46,GEN,0,signed over
S02,1,S01,,2026-07-15,2026-07-21,0,0,0,9,GEN,0,signed over
S03,1,,O-01,2026-07-20,2026-07-22,240,780,0,3,BLD,0,signed over
S04,1,S02,,2026-08-27,2026-08-29,0,140,0,28,GEN,0,signed over
S05,1,S03 S04,O-02,2026-08-31,2026-09-03,315,0,15,34,BLD,1,proven on a Sunday
S06,1,S02,,2026-07-22,2026-07-24,75,0,0,4,GEN,0,signed over
S07,1,S05 S06,,2026-09-05,2026-09-05,40,0,0,36,GEN,1,signed over
S08,1,S07,,2026-09-08,2026-09-11,210,0,10,18,BLD,1,proven on a Sunday
S09,1,S08,,2026-09-21,2026-09-28,0,1130,0,40,BLD,0,signed over
S10,2,S07,,2026-09-14,2026-09-18,0,350,0,8,BLD,0,signed over
S11,2,S10,O-03,2026-10-12,2026-10-13,5380,0,120,8,BLD,1,proven on a Sunday
S12,2,S11,,2026-10-17,2026-11-15,45,0,0,20,GEN,1,on it
S13,2,S03 S09,O-04,2026-09-29,2026-10-02,830,0,12,14,BLD,0,proven on a Sunday
S14,2,S13,O-05,2026-10-19,2026-10-20,2530,0,35,8,BLD,1,waiting on
S15,2,S07,,2026-10-05,2026-10-16,0,180,0,10,GEN,0,in; not proven
S16,2,S14 S15,,2026-10-24,2026-10-24,0,0,0,10,GEN,1,waiting on
S17,2,S14,O-06,2026-10-26,2026-10-27,1303,0,18,8,GFT,1,waiting on
S18,2,S06 S16,O-07,2026-11-02,2026-11-04,4115,0,20,12,GFT,1,waiting on
S19,2,S17 S18,,2026-11-06,2026-11-06,40,460,0,33,GEN,1,waiting on
S20,2,S19,,2026-11-16,2026-11-20,0,0,0,5,GEN,1,waiting on
S21,2,S09 S12,,2026-11-16,2026-11-27,0,80,0,8,GEN,0,approved
S22,2,S05,,2026-10-21,2026-10-22,0,280,0,2,ACC,0,signed over
S23,3,S08,,2026-11-02,2026-11-13,0,270,0,10,BLD,0,on it
S24,3,S03 S23,O-10 O-11,2027-01-11,2027-01-19,1000,900,25,30,SAL,0,costed
S25,3,S24,O-09,2027-01-25,2027-01-26,2950,0,45,10,SAL,1,costed
S26,3,S25 S30,,2027-01-28,2027-01-29,540,0,0,10,SAL,1,costed
S27,3,S24 S25,,2027-02-01,2027-02-02,420,0,15,12,SAL,1,costed
S28,3,S16 S25 S27,,2027-02-04,2027-02-05,260,0,0,10,SAL,1,costed
S29,3,S04 S24 S30,,2027-02-15,2027-02-16,175,0,0,12,KID,0,costed
S30,3,S02,,2026-12-07,2026-12-16,0,440,0,44,BLD,0,approved
S31,4,S12,O-08,2027-02-22,2027-02-26,0,520,0,2,SAL,0,costed
S32,4,S31,O-08 O-13,2027-04-06,2027-04-07,640,990,30,6,SAL,1,costed
S33,4,S22,O-12,2027-04-12,2027-04-15,1650,900,0,4,ACC,0,costed
S34,4,S03 S26,O-11,2027-05-04,2027-05-07,580,360,12,16,GEN,1,wished for
S35,4,S13 S16 S17 S19 S20 S25 S26 S27 S28 S29 S30 S32 S33 S34,O-14,2027-05-10,2027-06-26,310,460,0,90,GEN,0,wished for
"""


def rows(table):
    """Return the rows of a table as dicts."""
    head, *lines = table.strip().splitlines()
    names = head.split(",")
    return [dict(zip(names, line.split(","), strict=True)) for line in lines]


def span(row):
    return date.fromisoformat(row["start"]), date.fromisoformat(row["finish"])


def days_of(first, last, rule):
    """Count the days of the rule from first to last."""
    allowed = {"weekdays": range(5), "any day": range(7), "friday": (4,), "saturday": (5,)}[rule]
    return sum(date.fromordinal(day).weekday() in allowed for day in range(first.toordinal(), last.toordinal() + 1))


def step(row, costs, rule="weekdays", lags=(), **more):
    """Return one step of a table; money becomes minor units, a finished step ended as agreed."""
    start, finish = span(row)
    state = row["state"].replace(";", ",")
    done = state in ("in, not proven", "proven on a Sunday", "signed over")
    return StepIn(
        key=row["key"],
        phase=row["phase"],
        touches_sunday=row["touches"] == "1",
        days=days_of(start, finish, rule),
        day_rule=rule,
        links=tuple(LinkIn(key, lag_services=dict(lags).get(key, 0)) for key in row["requires"].split()),
        orders=tuple(row["orders"].split()),
        agreed_start=start,
        agreed_finish=finish,
        actual_start=start if done or state == "on it" else None,
        actual_finish=finish if done else None,
        state=state,
        costs=costs,
        volunteer_hours=int(row["hours"]),
        fund=row["fund"],
        **more,
    )


def untaxed(row):
    return tuple(CostIn(kind, int(row[kind]) * 100) for kind in ("goods", "labor", "shipping") if int(row[kind]))


# --- the American church -------------------------------------------------------------------------------------------

US_ELECTRICIAN_BP = 725  # the electrician alone charges tax: 7.25 % on labor and materials
US_TAXED = {
    "S02": (CostIn("goods", 310_00, 725, "O-01/1"), CostIn("labor", 1150_00, 725, "O-01/2")),
    "S19": (CostIn("goods", 1130_00), CostIn("labor", 1400_00, 725, "O-11/1"), CostIn("shipping", 42_00)),
    "S27": (CostIn("goods", 660_00), CostIn("labor", 480_00, 725, "O-11/2"), CostIn("shipping", 14_00)),
}
US_RULES = {
    "S06": {"rule": "saturday"},
    "S10": {"in_one_piece": True},
    "S11": {"rule": "any day"},
    "S12": {"rule": "any day", "ends_on_services": 2},
    "S14": {"rule": "friday"},
    "S15": {"lags": (("S14", 2),)},
    "S25": {"in_one_piece": True},
}


def us_plan(today=date(2026, 11, 3), amplifier=date(2026, 11, 13)):
    """Return the American church on its as-of date; `amplifier` is the latest promise for O-05."""
    steps = tuple(
        step(row, US_TAXED.get(row["key"], untaxed(row)), **US_RULES.get(row["key"], {})) for row in rows(US_STEPS)
    )
    return PlanInput(
        today,
        steps,
        phases=(
            PhaseIn("1", "Open the doors", 1000, None, date(2026, 6, 8), True),
            PhaseIn("2", "Hear", 1000, None, date(2026, 9, 14), True),
            PhaseIn("3", "See and send", 1200, None, date(2026, 11, 9)),
            PhaseIn("4", "Finish and hand over", 1200, None, date(2027, 3, 8)),
        ),
        orders=(
            OrderIn("O-01", arrived=date(2026, 7, 27)),
            OrderIn("O-02", arrived=date(2026, 8, 31)),
            OrderIn("O-03", promised=date(2026, 10, 9), arrived=date(2026, 10, 8)),
            OrderIn("O-04", promised=date(2026, 9, 25), arrived=date(2026, 9, 24)),
            OrderIn(
                "O-05",
                promised=amplifier,
                promises=(
                    (date(2026, 9, 15), date(2026, 10, 16)),
                    (date(2026, 10, 13), date(2026, 10, 30)),
                    (date(2026, 11, 2), amplifier),
                ),
            ),
            OrderIn("O-06", promised=date(2026, 11, 20), must_have_arrived=True),  # six receivers for six singers
            OrderIn("O-07", placed=False),
            OrderIn("O-09", placed=False, lead_days=56),
            OrderIn("O-10", placed=False, lead_days=5),
            OrderIn("O-11", placed=False),
            OrderIn("O-12", placed=False, lead_days=21),
        ),
        freezes=(
            FreezeIn(date(2026, 11, 25), date(2027, 1, 3), name="Thanksgiving to New Year"),
            FreezeIn(date(2027, 3, 20), date(2027, 3, 29), name="Holy Week and Easter Monday"),
            FreezeIn(date(2027, 6, 13), date(2027, 6, 18), name="Vacation Bible School"),
        ),
        closed=(
            ClosedIn(date(2026, 11, 13), date(2026, 11, 14), "Wedding"),
            ClosedIn(date(2026, 12, 19), date(2026, 12, 19), "Carol rehearsal"),
            ClosedIn(date(2027, 2, 20), date(2027, 2, 20), "Wedding"),
            ClosedIn(date(2027, 5, 22), date(2027, 5, 22), "Wedding"),
            ClosedIn(date(2027, 6, 13), date(2027, 6, 18), "Vacation Bible School"),
        ),
        services=(
            ServiceIn("Sunday services", weekday=6, since=date(2026, 9, 13), times=("09:00", "10:45")),
            ServiceIn("Thanksgiving Eve", on=date(2026, 11, 25), times=("19:00",)),
            ServiceIn("Carols", on=date(2026, 12, 20), times=("18:00",)),
            ServiceIn("Christmas Eve", on=date(2026, 12, 24), times=("17:00", "23:00")),
        ),
        promises=(
            PromiseIn("SP-01", "Pastor to auditorium", standing="kept", brought_by="S12", fallback="wired mic"),
            PromiseIn("SP-04", "Singers hear themselves", standing="kept", brought_by="S14", fallback="wedges"),
            PromiseIn("SP-07", "Words to the stage", must=False, standing="not yet promised", brought_by="S21"),
            PromiseIn("SP-11", "Hearing help", standing="kept by fall-back", brought_by="S26", fallback="front seats"),
        ),
    )


# --- the English church --------------------------------------------------------------------------------------------

UK_VAT_BP = 2000
UK_UNTAXED = {"S01", "S04", "S06", "S07"}
UK_RULES = {
    "S07": {"rule": "saturday"},
    "S12": {"rule": "any day", "ends_on_services": 5},
    "S16": {"rule": "saturday"},
    "S19": {"rule": "friday"},
    "S20": {"lags": (("S19", 2),)},
}


def uk_plan(today=date(2026, 11, 3), stage_box=date(2026, 12, 11)):
    """Return the English church on its as-of date; `stage_box` is the latest promise for O-05."""
    steps = []
    for row in rows(UK_STEPS):
        rate = 0 if row["key"] in UK_UNTAXED else UK_VAT_BP
        costs = tuple(replace(cost, tax_bp=rate) for cost in untaxed(row))
        steps.append(step(row, costs, **UK_RULES.get(row["key"], {})))
    arrived = ("O-01", "O-02", "O-03", "O-04", "O-07", "O-14")
    ahead = ("O-08", "O-09", "O-10", "O-11", "O-12", "O-13")
    return PlanInput(
        today,
        tuple(steps),
        phases=(
            PhaseIn("1", "Sunday-safe", 1000, None, date(2026, 6, 23), True),
            PhaseIn("2", "Hear", 1000, None, date(2026, 9, 22), True),
            PhaseIn("3", "See and send", 1200, None, date(2026, 11, 24)),
            PhaseIn("4", "Finish and hand over", 1200, None, date(2027, 3, 23)),
        ),
        orders=(
            *(OrderIn(key, must_have_arrived=True) for key in arrived),
            OrderIn("O-05", promised=stage_box),
            OrderIn("O-06", promised=date(2026, 11, 12)),  # "2-3 weeks" told on 22 October
            *(OrderIn(key, placed=False) for key in ahead),
        ),
        freezes=(
            FreezeIn(date(2026, 11, 28), date(2027, 1, 6), name="Advent to Epiphany"),
            FreezeIn(date(2027, 3, 20), date(2027, 3, 29), name="Holy Week and Easter Monday"),
        ),
        closed=(ClosedIn(date(2026, 11, 14), date(2026, 11, 14), "Wedding"),),
        services=(ServiceIn("Sunday services", weekday=6, since=date(2026, 9, 6), times=("09:30", "11:15")),),
        currency="GBP",
    )
