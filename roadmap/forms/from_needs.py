"""The small form that makes a step of what is missing."""

from django import forms
from django.utils.translation import gettext_lazy as _

from people.forms.base import MinistryForm
from roadmap.models import Phase, Step


class NeedStepForm(MinistryForm):
    title = forms.CharField(label=_("The step"), max_length=200)
    phase = forms.ModelChoiceField(label=_("In which phase"), queryset=Phase.objects.all())
    kind = forms.ChoiceField(label=_("kind"), choices=Step._meta.get_field("kind").choices)
    days = forms.IntegerField(label=_("days of work"), min_value=1, max_value=365, initial=1)
