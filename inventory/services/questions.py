"""The questions a list left: asked once a column or pattern, answered one or ten at a time, each answer one act."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _

from inventory.compute.intake.draft import LEFT_OUT, Draft, Question, RowDraft
from inventory.compute.intake.settings import FIELD_OF
from inventory.compute.piece_columns import doubts, makes_a_piece, piece_columns, shortened
from inventory.compute.relisting import folded
from inventory.models import AskedQuestion, Piece, PieceFact, Place, Source, SourceRow, Twin
from inventory.services.intake_files import file_of, keep_draft
from inventory.services.intake_pieces import Changing, as_draft, new_pieces, site_of, source_row
from inventory.services.intake_places import DoubtfulPlace, PlaceBook
from inventory.services.intake_plan import with_notes
from inventory.services.intake_reading import OWN_CODES, draft_of, read_source
from inventory.services.twins import suggest_twins
from people.clock import today
from people.models import Act, Member, Ministry
from people.services import record

WHICH_PLACE = OWN_CODES + "PLACE"
A_PLACE_OF_ITS_OWN = "new"
NOT_KNOWN = "none"
KEY_WIDTH = 160


def field_of_code(questions: Iterable[Question | AskedQuestion]) -> dict[str, str]:
    """Return {question code: the field it is about, '' for the row}."""
    return FIELD_OF | {question.code: question.field for question in questions}


def ask_all(
    source: Source, questions: Sequence[Question], book: PlaceBook, answers: Mapping[str, str]
) -> list[AskedQuestion]:
    """Store a list's questions, those answered before with their answer. Inside an act."""
    on = today(source.ministry)
    asked = [_asked(source, question, order) for order, question in enumerate(questions)]
    asked += [_place_question(source, doubtful, len(asked) + n) for n, doubtful in enumerate(book.doubtful.values())]
    for question in asked:
        question.answer = str(answers.get(question.key, ""))[:200]
        question.answered_on = on if question.answer else None
    once = {question.key: question for question in reversed(asked)}
    return record.add_many(list(reversed(once.values())))


def leave_open(source: Source) -> None:
    """Take the open questions of a list away: a newer version of it asks them. Inside an act.

    Questions of ours about places stay: rows that say the same as before do not raise them again.
    """
    own = AskedQuestion.objects.filter(source=source, answer="").exclude(code__startswith=OWN_CODES)
    record.remove_many(list(own))


def short_key(key: str) -> str:
    """Return the key as the table keeps it: long ones end in a digest of the whole."""
    if len(key) <= KEY_WIDTH:
        return key
    return f"{key[: KEY_WIDTH - 17]}~{hashlib.sha256(key.encode()).hexdigest()[:16]}"


def _asked(source: Source, question: Question, order: int) -> AskedQuestion:
    return AskedQuestion(
        ministry_id=source.ministry_id,
        source=source,
        key=short_key(question.key),
        code=question.code[:40],
        sheet=question.sheet[:120],
        field=question.field[:40],
        text=shortened(question.text, 500),
        choices=[list(choice) for choice in question.choices],
        guess=question.guess[:120],
        rows=list(question.rows),
        order=order,
    )


def _place_question(source: Source, doubtful: DoubtfulPlace, order: int) -> AskedQuestion:
    words = {"words": doubtful.words, "site": doubtful.site.name}
    choices = [[str(place.uid), _("the same place as %(name)s") % {"name": place.name}] for place in doubtful.like]
    choices += [[A_PLACE_OF_ITS_OWN, _("a place of its own")], [NOT_KNOWN, _("not known yet")]]
    return AskedQuestion(
        ministry_id=source.ministry_id,
        source=source,
        key=short_key(f"{WHICH_PLACE}|{doubtful.site.code}|{folded(doubtful.words)}"),
        code=WHICH_PLACE,
        sheet=doubtful.sheet[:120],
        field="place",
        text=shortened(_("Which place at %(site)s is meant by “%(words)s”?") % words, 500),
        choices=choices,
        guess=choices[0][0] if doubtful.like else NOT_KNOWN,
        rows=doubtful.rows,
        order=order,
    )


def answer_each_list(
    *, ministry: Ministry, by: Member | None, answers: Mapping[AskedQuestion, str]
) -> tuple[Act, list[Piece]]:
    """Answer questions of one or several lists as one act; return it and the pieces that changed. Raises Unreadable.

    A list is read again with every answer given so far; a piece follows where its value changed in the list and
    nobody has changed it here since.
    """
    says = _("Answered %(count)s questions.") % {"count": len(answers)}
    if len(answers) == 1:
        says = _("Answered: %(text)s") % {"text": next(iter(answers)).text}
    touched: dict[int, Piece] = {}
    with record.act(ministry=ministry, by=by, kind="question-answer", says=shortened(says, 300)) as made:
        for source in dict.fromkeys(asked.source for asked in answers):
            own = {asked: value for asked, value in answers.items() if asked.source_id == source.pk}
            touched.update((piece.pk, piece) for piece in _answer(source, own))
    return made, list(touched.values())


def _answer(source: Source, answers: Mapping[AskedQuestion, str]) -> list[Piece]:
    on = today(source.ministry)
    record.change_each((asked, {"answer": value[:200], "answered_on": on}) for asked, value in answers.items())
    own = {asked: value for asked, value in answers.items() if asked.code.startswith(OWN_CODES)}
    touched = [piece for asked, value in own.items() for piece in _place_pieces(asked, value)]
    return touched + (_read_again(source) if len(own) < len(answers) else [])


def _place_pieces(asked: AskedQuestion, value: str) -> list[Piece]:
    """Put the pieces of the rows where the answer says, unless they have been put somewhere meanwhile."""
    source = asked.source
    rows = SourceRow.objects.filter(source=source, sheet=asked.sheet, row__in=asked.rows).select_related("piece")
    words = asked.key.rpartition("|")[2]
    pieces = [row.piece for row in rows if row.piece and folded(row.fields.get("place")) == words]
    if value == NOT_KNOWN or not pieces:
        return []
    book = PlaceBook(source.ministry)
    place: Place | None
    if value == A_PLACE_OF_ITS_OWN:
        site = site_of(source, book, asked.sheet)
        place = book.make_now(site, pieces[0].place_words.strip(" ?")) if site else None
    else:
        place = next((one for one in book.known.values() if str(one.uid) == value), None)
    if place is None:
        return []
    return record.change_many([piece for piece in pieces if piece.place_id is None], place=place)


def _read_again(source: Source) -> list[Piece]:
    questions = list(AskedQuestion.objects.filter(source=source))
    draft = read_source(source, file_of(source), _whole_answers(source, questions))
    codes = field_of_code(questions) | field_of_code(draft.questions)
    touched = _follow(source, draft, codes)
    _ask_what_is_left(source, draft, questions)
    keep_draft(source, draft)
    return touched


def _whole_answers(source: Source, questions: Iterable[AskedQuestion]) -> dict[str, str]:
    """Return {key of the reader: answer}; keys too long for the table are found in the draft of before."""
    given = {asked.key: asked.answer for asked in questions if asked.answer and not asked.code.startswith(OWN_CODES)}
    if any(len(key) == KEY_WIDTH for key in given):
        whole = {short_key(question.key): question.key for question in draft_of(source).questions}
        given = {whole.get(key, key): answer for key, answer in given.items()}
    return given


def _follow(source: Source, draft: Draft, codes: Mapping[str, str]) -> list[Piece]:
    """Carry the rows as read now over to their records and pieces; return the pieces that changed."""
    stored = {row_key(row): row for row in SourceRow.objects.filter(source=source).select_related("piece")}
    now = {row.key: with_notes(row) for row in draft.rows}
    both = [(stored[key], row) for key, row in now.items() if key in stored and _differ(stored[key], row)]
    book = PlaceBook(source.ministry)
    for row in now.values():
        if row.fields.get("place") and makes_a_piece(row):
            book.note(site_of(source, book, row.sheet), row.fields["place"], row.sheet, row.row)
    book.add_new()
    triples = [(old.piece, old, row) for old, row in both if old.piece and makes_a_piece(row)]
    touched = Changing(source, book, codes).apply(triples, {})
    touched += _come_and_go(source, book, codes, both, [row for key, row in now.items() if key not in stored])
    record.change_each((old, _row_values(row)) for old, row in both)
    gone = [old for key, old in stored.items() if key not in now]
    _take_off(source, codes, [old for old in gone if old.piece])
    record.remove_many(gone)
    return touched


def row_key(row: SourceRow) -> str:
    """Return the stored row's name inside its file, as RowDraft.key."""
    return as_draft(row).key


def _differ(old: SourceRow, now: RowDraft) -> bool:
    return old.fields != now.fields or set(old.flags) != set(now.flags) or _left(old.verdict) != _left(now.verdict)


def _left(verdict: str) -> bool:
    return verdict == LEFT_OUT


def _row_values(row: RowDraft) -> dict[str, Any]:
    return {
        "fields": row.fields,
        "flags": list(row.flags),
        "verdict": row.verdict,
        "reason": shortened(row.reason, 300),
    }


def _come_and_go(
    source: Source,
    book: PlaceBook,
    codes: Mapping[str, str],
    both: Sequence[tuple[SourceRow, RowDraft]],
    fresh: Sequence[RowDraft],
) -> list[Piece]:
    """Add pieces for rows that stand for a thing now, take off those that no longer do; return the added ones."""
    _take_off(source, codes, [old for old, row in both if old.piece and not makes_a_piece(row)])
    grown = [(old, row) for old, row in both if not old.piece and makes_a_piece(row)]
    rows = [row for _old, row in grown] + [row for row in fresh if makes_a_piece(row)]
    pieces = new_pieces(source, book, codes, rows)
    record.change_each((old, {"piece": piece}) for (old, _row), piece in zip(grown, pieces, strict=False))
    made = {row.key: piece.pk for row, piece in zip(rows, pieces, strict=True)}
    record.add_many([source_row(source, row, row.verdict, row.reason, made.get(row.key)) for row in fresh])
    suggest_twins(ministry=source.ministry, pieces=pieces)
    return pieces


def _take_off(source: Source, codes: Mapping[str, str], rows: Sequence[SourceRow]) -> None:
    """Take the pieces of rows that stand for nothing off the list, where nobody has touched or used them since."""
    untouched = [row for row in rows if row.piece and _untouched(row, source, codes)]
    used = _used_ids({row.piece_id for row in untouched}, {row.pk for row in untouched})
    going = [row for row in untouched if row.piece_id not in used]
    ids = [row.piece_id for row in going if row.piece_id is not None]
    record.change_each((row, {"piece": None}) for row in going)
    record.remove_many(list(Twin.objects.filter(Q(first__in=ids) | Q(second__in=ids))))
    record.remove_many(list(PieceFact.objects.filter(piece__in=ids)))
    record.remove_many(list(Piece.objects.filter(pk__in=ids)))


def _untouched(row: SourceRow, source: Source, codes: Mapping[str, str]) -> bool:
    columns = piece_columns(as_draft(row), source.ministry.currency) | {"doubts": doubts(as_draft(row), codes)}
    return all(getattr(row.piece, name) == value for name, value in columns.items())


def _used_ids(pieces: set[int | None], rows: set[int]) -> set[int]:
    """Return the pieces that anything but these rows, facts and undecided twins points at; one query a kind."""
    used: set[int] = set()
    for relation in Piece._meta.related_objects:
        name = relation.field.name
        pointing = relation.related_model._default_manager.filter(**{f"{name}__in": pieces})
        if relation.related_model is SourceRow:
            pointing = pointing.exclude(pk__in=rows)
        elif relation.related_model is Twin:
            pointing = pointing.exclude(ruling=Twin.Ruling.OPEN)
        elif relation.related_model is PieceFact:
            continue
        used.update(pointing.values_list(name, flat=True))
    return used


def _ask_what_is_left(source: Source, draft: Draft, before: Sequence[AskedQuestion]) -> None:
    """Add questions that have come up, take away open ones that have gone, follow those that changed."""
    known = {asked.key: asked for asked in before}
    wanted = [_asked(source, question, order) for order, question in enumerate(draft.questions)]
    record.add_many([asked for asked in wanted if asked.key not in known])
    record.change_each(
        (known[asked.key], {"rows": asked.rows, "text": asked.text, "choices": asked.choices, "guess": asked.guess})
        for asked in wanted
        if asked.key in known and not known[asked.key].answer
    )
    keys = {asked.key for asked in wanted}
    open_ones = [asked for asked in before if not asked.answer and not asked.code.startswith(OWN_CODES)]
    record.remove_many([asked for asked in open_ones if asked.key not in keys])
