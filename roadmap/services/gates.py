"""What the leaders decide on a gate night."""

from django.utils.translation import gettext as _

from people.models import Act, Member
from people.services import record
from roadmap.models import Phase
from roadmap.words import GateState


def decide_gate(*, phase: Phase, by: Member | None, gate_state: str, gate_words: str = "") -> Act:
    """Keep what was decided about a phase, in the leaders' words."""
    says = _("Phase %(key)s, %(name)s: %(decision)s.") % {
        "key": phase.key,
        "name": phase.name,
        "decision": GateState(gate_state).label,
    }
    with record.act(ministry=phase.ministry, by=by, kind="phase-decide", says=says) as act:
        record.change(phase, gate_state=gate_state, gate_words=gate_words)
        return act
