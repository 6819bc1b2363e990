from roadmap.models.calendar import Booking, Freeze, Service
from roadmap.models.money import Fund, FundIncome, FundRule, Payment
from roadmap.models.orders import Arrival, Order, OrderLine, PromisedDate, Supplier
from roadmap.models.promises import Goal, Promise
from roadmap.models.steps import Phase, Step, StepCost, StepLink

__all__ = [
    "Arrival",
    "Booking",
    "Freeze",
    "Fund",
    "FundIncome",
    "FundRule",
    "Goal",
    "Order",
    "OrderLine",
    "Payment",
    "Phase",
    "Promise",
    "PromisedDate",
    "Service",
    "Step",
    "StepCost",
    "StepLink",
    "Supplier",
]
