"""Where every step falls on the church's calendar, what held it, and how much room it has.

The dates are a pure function of the `PlanInput`; nothing of them is stored. A step starts on the day after the last
step it requires, on a day of its rule, not before its agreed date nor before tomorrow, and keeps its length; a step
that touches a Sunday path never touches a freeze; what is done or under way stays where it is.
Source: forward and backward pass of the critical path method (Kelley and Walker 1959) with links and lags of precedence
diagramming (Fondahl 1961), on a calendar; the calendar rules are the church's own.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import NamedTuple

from roadmap.compute.calendar import WEEKDAYS, Calendar, Days, Work, days_of_rule, frozen_until
from roadmap.compute.ordering import in_order
from roadmap.compute.plan_input import DONE, LinkIn, OrderIn, PlanInput, StepIn
from roadmap.compute.plan_result import Hold, HoldKind, Plan, StepDates
from roadmap.compute.room import late_starts
from roadmap.compute.totals import by_phase

YEARS_BEYOND = timedelta(days=3 * 366)


def plan(given: PlanInput) -> Plan:
    """Return the plan of a church: order, dates by step, totals by phase, critical steps, what has no date and why.

    Dropped steps have no dates; what required them requires what they required. Raises RequirementLoop,
    UnknownRequirement.
    """
    links = effective_links(given)
    order = in_order({key: [link.step for link in listed] for key, listed in links.items()})
    forward = _Forward(given, links)
    for key in order:
        forward.put(key)
    late = late_starts(order, links, forward.placed, forward.calendar)
    steps = {key: _dates(put, late[key]) for key, put in forward.placed.items()}
    critical = tuple(key for key in order if key in steps and steps[key].critical)
    return Plan(tuple(order), steps, by_phase(given, steps), critical, forward.unplaced)


def effective_links(given: PlanInput) -> dict[str, tuple[LinkIn, ...]]:
    """Return the links of every step that is not dropped; a dropped step hands on its own links."""
    dropped = {step.key: step.links for step in given.steps if step.state == "dropped"}
    if not dropped:
        return {step.key: step.links for step in given.steps}
    in_order({step.key: [link.step for link in step.links] for step in given.steps})  # refuses loops through dropped

    def handed_on(links: tuple[LinkIn, ...]) -> Iterator[LinkIn]:
        for link in links:
            if link.step in dropped:
                yield from handed_on(dropped[link.step])
            else:
                yield link

    return {step.key: tuple(handed_on(step.links)) for step in given.steps if step.state != "dropped"}


class Placed(NamedTuple):
    """A step on the calendar, in ordinals. moves: it has not started, so its dates are computed."""

    work: Work
    start: int
    finish: int
    moves: bool
    done: bool
    holds: tuple[Hold, ...] = ()
    cautions: tuple[Hold, ...] = ()


class _Forward:
    """The forward pass: places one step after the other, each after what it requires."""

    def __init__(self, given: PlanInput, links: Mapping[str, tuple[LinkIn, ...]]) -> None:
        self.today = given.today.toordinal()
        self.links = links
        self.steps = {step.key: step for step in given.steps}
        self.orders = {order.key: order for order in given.orders}
        self.phases = {phase.key: phase for phase in given.phases}
        self.gates: dict[str, int | None] = {}
        self.calendar = calendar_of(given)
        self.placed: dict[str, Placed] = {}
        self.unplaced: dict[str, str] = {}

    def put(self, key: str) -> None:
        """Place one step, or say why it has no date."""
        step = self.steps[key]
        on = self.calendar.days(step.day_rule, step.touches_sunday)
        work = Work(max(1, step.days), step.in_one_piece, step.ends_on_services, on)
        if step.actual_finish or step.state in DONE:
            self.placed[key] = self._done(step, work)
        elif step.actual_start or (step.state == "on it" and step.agreed_start):
            self.placed[key] = self._under_way(step, work)
        elif why := self._why_not(step):
            self.unplaced[key] = why
        else:
            self._put_ahead(step, work)

    def _why_not(self, step: StepIn) -> str:
        """Return why a step cannot have a date before looking at the calendar, '' when it can."""
        if step.state == "set aside until" and step.not_before is None:
            return f"{step.key} is set aside without a date."
        if not self.unplaced:
            return ""
        waiting = [link.step for link in self.links[step.key] if link.step in self.unplaced]
        return f"{step.key} waits for {', '.join(waiting)}, which has no date." if waiting else ""

    def _done(self, step: StepIn, work: Work) -> Placed:
        """Return a finished step where it was; a day that nobody wrote down is the agreed one."""
        finish = step.actual_finish or step.agreed_finish or step.actual_start or step.agreed_start
        last = finish.toordinal() if finish else self.today
        start = step.actual_start or step.agreed_start
        first = min(start.toordinal(), last) if start else last
        return Placed(work, first, last, False, True, (Hold("done", date.fromordinal(last)),))

    def _under_way(self, step: StepIn, work: Work) -> Placed:
        """Return a started step: it keeps its start and its length, and is not over before today."""
        began = step.actual_start or step.agreed_start
        start = began.toordinal() if began else self.today
        finish = self._agreed_finish(step, work, start) or self._last_day(work, start)
        holds = [Hold("on it", date.fromordinal(start))]
        for link in self.links[step.key]:
            bound = self._finish_bound(link)
            if bound > finish:
                finish = bound
                holds.append(Hold("link", date.fromordinal(bound), link.step))
        if finish < self.today:
            finish = self.today
            holds.append(Hold("today", date.fromordinal(finish)))
        cautions = _freezes_under(work.on, start, finish)
        return Placed(work, start, finish, False, False, tuple(holds), cautions)

    def _last_day(self, work: Work, start: int) -> int:
        """Return the last day of work begun on a day, freezes left aside."""
        if work.services:
            return self.calendar.sunday_after(start - 1, work.services) or self.calendar.last
        days = work.on.work
        return max(start, days[min(bisect_left(days, start) + work.days, len(days)) - 1])

    def _agreed_finish(self, step: StepIn, work: Work, start: int) -> int | None:
        """Return the agreed finish when the step stands at its agreed start with its agreed length, else None."""
        if step.agreed_start is None or step.agreed_finish is None or start != step.agreed_start.toordinal():
            return None
        finish = step.agreed_finish.toordinal()
        if work.services:
            return None
        return finish if days_of_rule(step.day_rule, start, finish) == work.days else None

    def _put_ahead(self, step: StepIn, work: Work) -> None:
        """Place a step that has not started on the first days that fit."""
        bounds = self._bounds(step)
        earliest = max(bounds)[0]
        found = self._fit(work, earliest, self._least_finish(step.key))
        if found is None:
            until = date.fromordinal(self.calendar.last)
            self.unplaced[step.key] = f"{step.key} fits nowhere before {until.isoformat()}."
            return
        start, finish = found
        agreed = self._agreed_finish(step, work, start)
        if agreed is not None and agreed > finish and frozen_until(work.on, start, agreed) is None:
            finish = agreed
        day = date.fromordinal(earliest)
        holds = [Hold(bound[1], day, bound[2], "", bound[3]) for bound in bounds if bound[0] == earliest]
        if start != earliest:
            holds += self._what_moved(step, work, earliest, found)
        self.placed[step.key] = Placed(work, start, finish, True, False, tuple(holds), self._cautions(step, start))

    def _least_finish(self, key: str) -> int:
        """Return the first day on which the step may finish because of the steps its end is tied to; 0 for none."""
        bound = 0
        for link in self.links[key]:
            if link.kind not in ("FS", "SS"):
                bound = max(bound, self._finish_bound(link))
        return bound

    def _fit(self, work: Work, earliest: int, least_finish: int) -> tuple[int, int] | None:
        """Return the first start from `earliest` on whose finish is late enough, and that finish."""
        found = self.calendar.place(work, earliest)
        if found is None or found[1] >= least_finish:
            return found
        low, high = found[0] + 1, least_finish
        while low < high:
            middle = (low + high) // 2
            at = self.calendar.place(work, middle)
            if at is None or at[1] >= least_finish:
                high = middle
            else:
                low = at[0] + 1
        return self.calendar.place(work, low)

    def _bounds(self, step: StepIn) -> list[tuple[int, HoldKind, str, bool]]:
        """Return every first day the step may start on, as (day, kind, key, order is late)."""
        bounds: list[tuple[int, HoldKind, str, bool]] = [(self.today + 1, "today", "", False)]
        if step.agreed_start:
            bounds.append((step.agreed_start.toordinal(), "agreed", "", False))
        elif gate := self._gate(step.phase):
            bounds.append((gate, "gate", step.phase, False))
        if step.not_before:
            bounds.append((step.not_before.toordinal(), "not before", "", False))
        bounds += [(self._start_bound(link), "link", link.step, False) for link in self.links[step.key]]
        for key in step.orders:
            order = self.orders.get(key)
            if order is not None and (arrives := self._arrives(order)) is not None:
                bounds.append((arrives + 1, "order", key, arrives != _day(order.promised)))
        return bounds

    def _start_bound(self, link: LinkIn) -> int:
        """Return the first day on which the step behind this link may start; 0 when the link ties its finish."""
        other = self.placed[link.step]
        if link.kind == "FS":
            return (self._after(other.finish, link) if link.lag_services else other.finish + link.lag_days) + 1
        return self._after(other.start, link) + bool(link.lag_services) if link.kind == "SS" else 0

    def _finish_bound(self, link: LinkIn) -> int:
        """Return the first day on which the step behind this link may finish; 0 when the link ties its start."""
        other = self.placed.get(link.step)
        if other is None or link.kind in ("FS", "SS"):
            return 0
        return self._after(other.finish if link.kind == "FF" else other.start, link)

    def _after(self, day: int, link: LinkIn) -> int:
        """Return the day moved by the lag of a link: first its Sundays, then its days."""
        sunday = self.calendar.sunday_after(day, link.lag_services)
        return (self.calendar.last if sunday is None else sunday) + link.lag_days

    def _arrives(self, order: OrderIn) -> int | None:
        """Return the day an order counts as arriving, None when nothing has to be waited for or nothing is known."""
        if order.arrived or order.must_have_arrived or (order.promised is None and not order.placed):
            return None
        return max(_day(order.promised), self.today)

    def _gate(self, phase: str) -> int | None:
        """Return the first day after the gate of a phase, None when it is passed or unknown."""
        if phase not in self.gates:
            found = self.phases.get(phase)
            ahead = found is not None and not found.gate_passed and found.gate_on is not None
            self.gates[phase] = max(_day(found.gate_on), self.today) + 1 if found and ahead else None
        return self.gates[phase]

    def _what_moved(self, step: StepIn, work: Work, earliest: int, found: tuple[int, int]) -> Iterator[Hold]:
        """Yield what lies between the first day allowed and the start: weekday, bookings, freezes, ends to wait for."""
        on, (start, finish) = work.on, found
        if (earliest - 1) % 7 not in WEEKDAYS[on.rule]:
            first = next(d for d in range(earliest, earliest + 7) if (d - 1) % 7 in WEEKDAYS[on.rule])
            yield Hold("weekday", date.fromordinal(min(first, start)), "", on.rule)
        freezes = [span for span in on.freezes if earliest <= span.last < start]
        for span in on.closed:
            if earliest <= span.last < start and not any(f.first <= span.last <= f.last for f in freezes):
                yield Hold("closed", date.fromordinal(span.last + 1), "", span.name)
        for span in freezes:
            yield Hold("freeze", date.fromordinal(span.last + 1), "", span.name)
        for link in self.links[step.key]:
            if (bound := self._finish_bound(link)) == finish:
                yield Hold("link", date.fromordinal(bound), link.step)

    def _cautions(self, step: StepIn, start: int) -> tuple[Hold, ...]:
        """Return what does not move the step and should still be known: its gate, and orders not placed yet."""
        gate = self._gate(step.phase)
        if not step.orders and (gate is None or gate <= start):
            return ()
        cautions = [Hold("gate", date.fromordinal(gate), step.phase)] if gate and gate > start else []
        for key in step.orders:
            order = self.orders.get(key)
            if order and not order.placed and order.lead_days is not None and not order.promised:
                comes = max(gate or 0, self.today + 1) + order.lead_days
                if comes >= start:
                    cautions.append(Hold("order", date.fromordinal(comes + 1), key))
        return tuple(cautions)


def calendar_of(given: PlanInput) -> Calendar:
    """Return a calendar that begins before everything known and ends long after everything planned."""
    known = [given.today]
    for step in given.steps:
        dates = (step.agreed_start, step.agreed_finish, step.actual_start, step.actual_finish, step.not_before)
        known += [day for day in dates if day is not None]
    known += [order.promised for order in given.orders if order.promised]
    known += [freeze.last for freeze in given.freezes]
    return Calendar(
        given.freezes,
        given.closed,
        given.services,
        min(known) - timedelta(days=7),
        max(known) + YEARS_BEYOND + timedelta(days=sum(map(_most_days, given.steps))),
    )


def _most_days(step: StepIn) -> int:
    """Return generously how many calendar days a step takes with its lags."""
    lags = sum(abs(link.lag_days) + 7 * link.lag_services for link in step.links)
    weekly = 7 * (step.ends_on_services or 0)
    return lags + weekly + (2 if step.day_rule in ("weekdays", "any day") else 7) * step.days


def _freezes_under(on: Days, start: int, finish: int) -> tuple[Hold, ...]:
    """Return the freezes that a span runs into."""
    return tuple(
        Hold("freeze", date.fromordinal(span.last + 1), "", span.name)
        for span in on.freezes
        if span.first <= finish and span.last >= start
    )


def _day(day: date | None) -> int:
    return day.toordinal() if day else 0


def _dates(put: Placed, late: int) -> StepDates:
    """Return the dates of one placed step."""
    start = date.fromordinal(put.start)
    room = late - put.start
    return StepDates(
        start,
        date.fromordinal(put.finish),
        start,
        date.fromordinal(late) if room else start,
        room,
        not room and not put.done,
        put.done,
        put.holds,
        put.cautions,
    )
