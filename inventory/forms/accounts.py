"""One account: software, a subscription or a permission. There is no box for a password on purpose."""

from django.utils.translation import gettext_lazy as _

from inventory.models import Account, Piece
from people.access import Viewer
from people.forms.base import MinistryModelForm
from people.forms.days import DayInput


class AccountForm(MinistryModelForm):
    class Meta:
        model = Account
        fields = [
            "what", "kind", "holder", "holder_words", "second_holder", "second_words", "renews_on", "renews_words",
            "yearly_cost_minor", "runs_on", "needed_by", "note",
        ]  # fmt: skip
        widgets = {"renews_on": DayInput()}
        labels = {"what": _("What it is"), "runs_on": _("Runs on")}
        help_texts = {
            "holder_words": _("If it is not a person, for instance the church office."),
            "note": _("Never write a password here."),
        }

    def __init__(self, *args: object, viewer: Viewer, **kwargs: object) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        self.fields["runs_on"].queryset = Piece.objects.visible_to(viewer).listed().order_by("sort_key", "id")
        self.fields["runs_on"].empty_label = "–"
