"""Where a church stands, and what it may change about itself."""

from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from people.access import Viewer
from people.forms.base import MinistryForm
from people.forms.days import DayInput
from people.packs import countries, country_choices, pack
from people.services.ministries import keeps_money

USUAL = "usual"  # the zone that follows from the state


def place_choices() -> list[tuple[str, Any]]:
    """Return ("", ask) and a group a country: the country itself, then its states or regions as "US:OH"."""
    groups: list[tuple[str, Any]] = [("", _("choose"))]
    for code, name in country_choices():
        regions = [(f"{code}:{region.code}", region.name) for region in pack(code).regions]
        groups.append((name, regions or [(f"{code}:", name)]))
    return groups


def zone_choices(codes: list[str]) -> list[tuple[str, Any]]:
    """Return the zone that follows from the state, then every zone of the countries."""
    zones = dict.fromkeys(zone for code in codes for zone in pack(code).zones())
    return [(USUAL, _("the usual one there")), *((zone, zone.replace("_", " ")) for zone in zones)]


class MinistryEditForm(MinistryForm):
    """A church's own settings. Country and currency stay as long as amounts are kept in that currency.

    Each field carries what it held when the page was opened, so that two people who change different things at once
    both have their way: only `changed_data` is handed on.
    """

    name = forms.CharField(label=_("What is the church called?"), max_length=120, show_hidden_initial=True)
    where = forms.ChoiceField(label=_("Where does it stand?"), show_hidden_initial=True)
    zone = forms.ChoiceField(
        label=_("Time zone"),
        show_hidden_initial=True,
        help_text=_("It decides when a day ends and at what hour services are."),
    )
    main_room = forms.CharField(
        label=_("What do you call the main room?"), max_length=80, required=False, show_hidden_initial=True
    )
    out_by = forms.DateField(
        label=_("By which date must everything be out of the old building?"),
        required=False,
        show_hidden_initial=True,
        widget=DayInput(),
    )

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        church = viewer.ministry
        usual = pack(church.country).zone_of(church.state)
        held = {name: getattr(church, name) for name in ("name", "main_room", "out_by")}
        held |= {"where": f"{church.country}:{church.state}", "zone": USUAL if church.zone == usual else church.zone}
        super().__init__(*args, viewer=viewer, initial=held, **kwargs)
        self._offer_places(held["where"])

    @cached_property
    def money_kept(self) -> bool:
        """Tell whether the country must stay; queries once."""
        return keeps_money(self.viewer.ministry)

    def _offer_places(self, here: str) -> None:
        """Offer every country while there is no money, else only the states of this one."""
        church = self.viewer.ministry
        where: Any = self.fields["where"]
        zone: Any = self.fields["zone"]
        own = pack(church.country)
        regions = [(f"{own.code}:{region.code}", region.name) for region in own.regions]
        where.choices = regions if self.money_kept else place_choices()
        if not church.state or not own.region(church.state):
            where.choices = [(here, church.state or own.name), *where.choices]
        zone.choices = zone_choices([own.code] if self.money_kept else list(countries()))
        if church.zone not in dict(zone.choices):
            zone.choices = [*zone.choices, (church.zone, church.zone)]
        where.help_text = self._why()

    def _why(self) -> str:
        own = pack(self.viewer.ministry.country)
        said = {"country": own.name, "currency": own.currency}
        if self.money_kept:
            return (
                gettext(
                    "Amounts are kept in %(currency)s, here or in what happened here. In another country they would "
                    "read as other money, so %(country)s and its currency stay."
                )
                % said
            )
        return gettext("No amount is kept yet, so the country may change; currency, units and rules go with it.")

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        country = values.get("where", "").partition(":")[0]
        zone = values.get("zone")
        if country and zone and zone != USUAL and zone not in pack(country).zones() and "zone" in self.changed_data:
            said = gettext("%(zone)s is no zone of %(country)s. Choose the usual one, or another.")
            wrong = said % {"zone": zone, "country": pack(country).name}
            self.add_error("zone", forms.ValidationError(wrong, code="zone"))
        return values

    def changed_values(self) -> dict[str, Any]:
        """Return what people.services.ministries.change_ministry takes: only what was changed on this page."""
        values, changed = self.cleaned_data, set(self.changed_data)
        kept: dict[str, Any] = {name: values[name] for name in ("name", "main_room", "out_by") if name in changed}
        if changed & {"where", "zone"}:
            country, __, state = values["where"].partition(":")
            stays = "zone" in changed or "where" not in changed
            zone = values["zone"] if stays and values["zone"] != USUAL else pack(country).zone_of(state)
            kept |= {"country": country, "state": state, "zone": zone}
        return kept
