"""A called-off order is stored in one spelling; rows kept under the other are respelled with their history."""

from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection
from django.utils.translation import override

from people.services import record
from roadmap.models import Order
from roadmap.words import OrderState

respell = import_module("roadmap.migrations.0002_orders_are_canceled_in_one_spelling").respell


@pytest.mark.parametrize(("was", "becomes"), [("cancelled", "canceled"), ("canceled", "cancelled")])
def test_orders_and_their_history_are_respelled_both_ways(cast, make, was, becomes):
    order, other = make.order(), make.order()
    with record.act(ministry=cast.ministry, by=cast.lead, kind="test", says="Called off."):
        record.change(order, state=was)
    respell(was, becomes)(apps, SimpleNamespace(connection=connection))
    assert Order.objects.get(pk=order.pk).state == becomes
    assert order.history.latest("history_id").state == becomes
    assert Order.objects.get(pk=other.pk).state == OrderState.ASKED


def test_the_word_is_american_in_store_and_british_for_britons():
    assert OrderState.CANCELED.value == "canceled"
    with override("en-gb"):
        assert str(OrderState.CANCELED.label) == "cancelled"
