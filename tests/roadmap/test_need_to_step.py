"""What no stock fills becomes a step in a phase, and the need names it."""

from inventory.models import RoomNeed
from people.models import Act
from people.services.undo import undo
from roadmap.models import Step


def test_the_missing_becomes_a_step_and_the_need_shows_it(cast, make):
    need, phase = make.need(what="Video router", quantity=2), make.phase()
    url = f"/first/steps/from-need/{need.uid}/"
    assert "2 of 2 are missing and become a step." in cast.client().get(url).content.decode()
    before = Act.objects.count()
    data = {"title": "Buy and fit a video router", "phase": phase.pk, "kind": "buy", "days": 2}
    done = cast.client().post(url, data)
    step = Step.objects.get()
    assert done.url == f"/first/steps/{step.key}/"
    assert (step.phase, step.kind, step.days) == (phase, "buy", 2)
    assert step.key in RoomNeed.objects.get().gap_words
    assert f'href="/first/steps/{step.key}/"' in cast.client().get(f"/first/needs/{need.uid}/").content.decode()
    assert "There is a step already" in cast.client().get(url).content.decode()
    assert Act.objects.count() == before + 1
    undo(act=Act.objects.latest("id"), by=cast.lead)
    assert not Step.objects.exists()
    assert RoomNeed.objects.get().gap_words == ""


def test_a_phase_of_another_church_and_a_step_without_days_are_refused(cast, make):
    need, theirs = make.need(), make.phase(ministry=cast.elsewhere)
    url = f"/first/steps/from-need/{need.uid}/"
    data = {"title": "Buy", "phase": theirs.pk, "kind": "buy", "days": 1}
    assert cast.client().post(url, data).status_code == 422
    assert cast.client().post(url, data | {"phase": make.phase().pk, "days": 0}).status_code == 422
    assert cast.client("crew").post(url, data).status_code == 403
    assert not Step.objects.exists()
