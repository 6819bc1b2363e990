"""A list comes in: looked at, its columns put right, taken in as one act; the same list again changes what changed.

The file is read in a child process (`intake_child`); `intake_plan` says what each row would do; here it is done.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inventory.compute.intake.columns import ONCE
from inventory.compute.intake.draft import ASK, CHANGES, LEFT_OUT, NEW, Draft, RowDraft
from inventory.compute.piece_columns import shortened
from inventory.compute.relisting import folded
from inventory.models import ColumnMemory, Piece, Site, Source
from inventory.services.intake_files import file_of, fingerprint_of, keep_draft, keep_file
from inventory.services.intake_pieces import Changing, new_pieces, site_of, source_row
from inventory.services.intake_places import PlaceBook
from inventory.services.intake_plan import Plan, PlannedRow, plan
from inventory.services.intake_reading import draft_of, earlier_answers, read_source
from inventory.services.questions import ask_all, field_of_code, leave_open
from inventory.services.twins import suggest_twins
from people.compute.cleaning import one_line
from people.models import Act, Member, Ministry
from people.services import record

MEANINGS = frozenset(ONCE | {"note", "category", "other", "person"})  # what a column may be taken for


def bring(
    *, ministry: Ministry, by: Member | None, name: str, data: bytes, site: Site | None = None, from_words: str = ""
) -> Source:
    """Look at a list and keep it for a decision: nothing is on the list of pieces yet. Raises Unreadable.

    The same file waiting already is looked at again and not kept twice.
    """
    sha = fingerprint_of(data)
    source = Source.objects.filter(ministry=ministry, sha256=sha, taken_in=None).first() or Source(
        ministry=ministry, sha256=sha, name=one_line(name)[-200:] or _("list")
    )
    values: dict[str, Any] = {"site": site, "from_words": one_line(from_words)[:120]}
    answers = earlier_answers(source)
    draft = read_source(source, data, answers)
    mapping = source.mapping | remembered_mapping(ministry, values["from_words"], draft)
    if mapping != source.mapping:
        draft = read_source(source, data, answers, mapping=mapping)
    values |= {"mapping": mapping, "title": shortened(" | ".join(draft.notes[:1]), 300)}
    values |= {"draft": {"file": keep_file(ministry, data), **_summary(draft)}}
    with record.act(
        ministry=ministry, by=by, kind="intake-look", says=_("Looked at the list %(name)s.") % {"name": source.name}
    ):
        _keep(source, values)
    keep_draft(source, draft)
    return source


def _keep(source: Source, values: Mapping[str, Any]) -> None:
    if source.pk is not None:
        record.change(source, **values)
        return
    for name, value in values.items():
        setattr(source, name, value)
    record.add(source)


def _summary(draft: Draft) -> dict[str, Any]:
    return {
        "sheets": [asdict(sheet) for sheet in draft.sheets],
        "notes": list(draft.notes),
        "totals": draft.totals,
    }


def remembered_mapping(ministry: Ministry, from_words: str, draft: Draft) -> dict[str, str]:
    """Return {'sheet!letter': field or ''} where headings were once read otherwise than suggested now."""
    known: dict[str, str] = {}
    memories = ColumnMemory.objects.filter(ministry=ministry, from_words__in={"", from_words})
    for memory in memories.order_by("from_words"):  # the sender's own come last and win
        known[memory.heading_key] = memory.field
    found = {}
    for column in draft.columns:
        key = _heading_key(column.heading)
        if key in known and known[key] != (column.field or ""):
            found[f"{column.sheet}!{column.letter}"] = known[key]
    return found


def _heading_key(heading: str) -> str:
    return folded(heading)[:120] or one_line(heading)[:120]


def map_columns(*, source: Source, by: Member | None, chosen: Mapping[tuple[str, str], str | None]) -> Source:
    """Read a waiting list again with some columns taken for something else, and remember their headings.

    chosen: (sheet, letter) -> one of MEANINGS, None to leave the column out; columns as suggested may be among them.
    Raises Unreadable, ValueError for a meaning there is not.
    """
    before = draft_of(source)
    differing = [c for c in before.columns if (key := (c.sheet, c.letter)) in chosen and chosen[key] != c.field]
    unknown = {to for c in differing if (to := chosen[c.sheet, c.letter]) and to not in MEANINGS}
    if unknown:
        raise ValueError(f"A column of a list cannot hold: {', '.join(sorted(unknown))}.")
    mapping = source.mapping | {f"{c.sheet}!{c.letter}": chosen[c.sheet, c.letter] or "" for c in differing}
    draft = read_source(source, file_of(source), earlier_answers(source), mapping=mapping)
    says = _("Put the columns of %(name)s right.") % {"name": source.name}
    with record.act(ministry=source.ministry, by=by, kind="intake-columns", says=says):
        record.change(source, mapping=mapping, draft={**source.draft, **_summary(draft)})
        for column in differing:
            _remember(source, column.heading, chosen[column.sheet, column.letter] or "")
    keep_draft(source, draft)
    return source


def _remember(source: Source, heading: str, to: str) -> None:
    key = _heading_key(heading)
    if not key:
        return
    which = {"ministry": source.ministry, "heading_key": key, "from_words": source.from_words}
    known = ColumnMemory.objects.filter(**which).first()
    if known:
        record.change(known, field=to)
    else:
        record.add(ColumnMemory(field=to, **which))


def take_in(
    *,
    ministry: Ministry,
    by: Member | None,
    name: str,
    data: bytes,
    site: Site | None = None,
    answers: Mapping[str, str] | None = None,
    from_words: str = "",
) -> Source:
    """Read a list and take it in, as one act; return the source. Raises Unreadable, and then nothing has changed.

    answers: question key -> chosen value, as if a person had given them at once.
    """
    says = _("Took in the list %(name)s.") % {"name": one_line(name)}
    with record.act(ministry=ministry, by=by, kind="intake", says=says):
        source = bring(ministry=ministry, by=by, name=name, data=data, site=site, from_words=from_words)
        if answers:
            keep_draft(source, read_source(source, data, answers))
        return take_in_source(source=source, by=by, answers=answers)


def take_in_source(*, source: Source, by: Member | None, answers: Mapping[str, str] | None = None) -> Source:
    """Take a waiting list in as one act: pieces, rows, questions and twins. A list that is in already is left alone."""
    with transaction.atomic():
        taken = Source.objects.select_for_update().filter(pk=source.pk).values_list("taken_in_id", flat=True).get()
        if taken is None:
            _take(source, by, answers or {})
        elif source.taken_in_id is None:  # somebody else was faster
            source.refresh_from_db()
    return source


def _take(source: Source, by: Member | None, answers: Mapping[str, str]) -> None:
    draft = draft_of(source)
    planned = plan(source, draft)
    says = _("Took in the list %(name)s.") % {"name": source.name}
    with record.act(ministry=source.ministry, by=by, kind="intake", says=says) as made:
        _Taking(source, draft, planned).do({**earlier_answers(source), **answers})
        counts = planned.counts
        record.change(
            source,
            taken_in=made,
            rows_new=counts[NEW],
            rows_changed=counts[CHANGES],
            rows_asked=counts[ASK],
            rows_left_out=counts[LEFT_OUT],
        )
        record.retell(f"{says} {count_sentence(counts)}")


def set_aside(*, source: Source, by: Member | None) -> Act:
    """Forget a list that only waits; return the act, which can be taken back."""
    says = _("Set the list %(name)s aside.") % {"name": source.name}
    with record.act(ministry=source.ministry, by=by, kind="intake-aside", says=says) as made:
        record.remove(source)
    return made


def count_sentence(counts: Mapping[str, int]) -> str:
    """Return "214 rows: 160 new to us, 12 change ones we have, 31 need a word from you, 11 left out."; no noughts."""
    rows = sum(counts.values())
    parts = (
        (counts[NEW], _("%(n)s new to us")),
        (counts[CHANGES], ngettext("%(n)s changes one we have", "%(n)s change ones we have", counts[CHANGES])),
        (counts[ASK], ngettext("%(n)s needs a word from you", "%(n)s need a word from you", counts[ASK])),
        (counts[LEFT_OUT], _("%(n)s left out")),
    )
    told = ", ".join(words % {"n": n} for n, words in parts if n)
    head = ngettext("%(n)s row", "%(n)s rows", rows) % {"n": rows}
    return f"{head}: {told}." if told else _("No row could be read.")


@dataclass
class _Taking:
    """One list on its way in, inside its act."""

    source: Source
    draft: Draft
    plan: Plan

    def do(self, answers: Mapping[str, str]) -> None:
        self.book = PlaceBook(self.source.ministry)
        self.codes = field_of_code(self.draft.questions)
        for planned in self.plan.rows:
            if planned.draft.fields.get("place") and (planned.adds or planned.verdict == CHANGES):
                row = planned.draft
                self.book.note(self.site_of(row), row.fields["place"], row.sheet, row.row)
        self.book.add_new()
        added = self._add_pieces([planned for planned in self.plan.rows if planned.adds])
        pairs = [(self.plan.pieces[p.piece_id], p) for p in self.plan.rows if p.piece_id and p.verdict == CHANGES]
        Changing(self.source, self.book, self.codes).apply(
            [(piece, p.before, p.draft) for piece, p in pairs], self.plan.pieces
        )
        self._add_rows(added)
        if self.plan.previous:
            leave_open(self.plan.previous)
        ask_all(self.source, self.draft.questions, self.book, answers)
        suggest_twins(ministry=self.source.ministry, pieces=list(added.values()))

    def site_of(self, row: RowDraft) -> Site | None:
        """Return the site of a row: the one its sheet is named for, else the list's own."""
        return site_of(self.source, self.book, row.sheet)

    def _add_pieces(self, rows: list[PlannedRow]) -> dict[str, Piece]:
        pieces = new_pieces(self.source, self.book, self.codes, [planned.draft for planned in rows])
        return {planned.draft.key: piece for planned, piece in zip(rows, pieces, strict=True)}

    def _add_rows(self, added: Mapping[str, Piece]) -> None:
        record.add_many(
            [source_row(self.source, p.draft, p.verdict, p.reason, _piece_of(p, added)) for p in self.plan.rows]
        )


def _piece_of(planned: PlannedRow, added: Mapping[str, Piece]) -> int | None:
    made = added.get(planned.draft.key)
    return made.pk if made else planned.piece_id
