"""Forms of the intake: bring a list, put its columns right, answer its questions, rule on twins."""

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from inventory.compute.intake.draft import Column
from inventory.compute.intake.grid import MAX_BYTES
from inventory.models import AskedQuestion, Site
from people.forms.base import MinistryForm

MOST_FILES = 8
MEGABYTE = 1_000_000
PASTED_NAME = _("pasted list.csv")
LEAVE_OUT = ""

# What a column may be taken for, in the order offered: the meanings the reader knows.
FIELD_WORDS = {
    "what": _("what it is"),
    "maker": _("maker"),
    "model": _("model"),
    "maker_model": _("maker and model"),
    "serial": _("serial"),
    "quantity": _("how many"),
    "condition": _("condition"),
    "place": _("place"),
    "bought": _("when bought"),
    "price": _("price"),
    "price_each": _("price for each"),
    "price_total": _("price for all"),
    "price_paid": _("what was paid"),
    "price_new": _("price of a new one"),
    "price_insured": _("insured for"),
    "owner": _("whose it is"),
    "tag": _("the list's own number"),
    "barcode": _("bar code"),
    "kg": _("weight"),
    "length_mm": _("length"),
    "size": _("size"),
    "watts": _("watts"),
    "rack_units": _("rack units"),
    "band": _("radio band"),
    "note": _("a remark"),
}


class FilesInput(forms.ClearableFileInput):
    allow_multiple_selected = True


class FilesField(forms.FileField):
    """Several files at once; cleans to a list."""

    widget = FilesInput

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        given = data if isinstance(data, (list, tuple)) else [data] if data else []
        return [super(FilesField, self).clean(each, initial) for each in given]


class BringForm(MinistryForm):
    """A list as files or as pasted text, and where it is about."""

    files = FilesField(label=_("Drop your list here"), required=False)  # type: ignore[assignment]
    pasted = forms.CharField(
        label=_("Or paste it"),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Copy the rows in your spreadsheet, the headings with them, and paste them here."),
    )
    site = forms.ModelChoiceField(
        label=_("Where the things on it are"),
        queryset=Site.objects.all(),
        required=False,
        empty_label=_("several sites, or not sure"),
    )
    from_words = forms.CharField(
        label=_("Who wrote it"),
        required=False,
        max_length=120,
        help_text=_("The next list of theirs will be read the way you put this one right."),
    )

    def _tidied(self, data: Any) -> Any:
        """Keep the pasted rows as they are: tabs part their cells."""
        tidied = super()._tidied(data)
        if "pasted" in data:
            tidied["pasted"] = data["pasted"]
        return tidied

    def clean_site(self) -> Site | None:
        """Where nobody was asked (a church's first list), the one building that is being left is meant."""
        chosen: Site | None = self.cleaned_data["site"]
        if chosen or self.add_prefix("site") in self.data:
            return chosen
        leaving = Site.objects.visible_to(self.viewer).filter(receives=False)[:2]
        return leaving[0] if len(leaving) == 1 else None

    def clean_files(self) -> list[UploadedFile]:
        files = self.cleaned_data["files"]
        if len(files) > MOST_FILES:
            raise forms.ValidationError(
                _("Bring at most %(most)s lists at once."), code="too_many", params={"most": MOST_FILES}
            )
        for file in files:
            if (file.size or 0) > MAX_BYTES:
                raise forms.ValidationError(
                    _(
                        "%(name)s has %(size)s MB; a list may have %(most)s MB. Photographs pasted into a sheet make "
                        "it so big: take them out, or save the sheet as CSV, and bring it again."
                    ),
                    code="too_big",
                    params={
                        "name": file.name,
                        "size": round(file.size / MEGABYTE),
                        "most": round(MAX_BYTES / MEGABYTE),
                    },
                )
        return files

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if not self.errors and not found.get("files") and not (found.get("pasted") or "").strip():
            raise forms.ValidationError(_("Choose a file, or paste the rows of your list."), code="nothing")
        return found

    def lists(self) -> list[tuple[str, bytes]]:
        """Return (name, bytes) of everything brought."""
        found = [(file.name or "", file.read()) for file in self.cleaned_data["files"]]
        pasted = self.cleaned_data.get("pasted") or ""
        if pasted.strip():
            found.append((str(PASTED_NAME), pasted.encode("utf-8", "replace")))
        return found


class ColumnsForm(MinistryForm):
    """One choice a column of a list: what it is taken for."""

    def __init__(self, *args: Any, columns: Sequence[Column], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.columns = columns
        choices = [(LEAVE_OUT, _("leave it out")), *FIELD_WORDS.items()]
        for number, column in enumerate(columns):
            taken = column.field or LEAVE_OUT
            own = [] if taken in FIELD_WORDS or not taken else [(taken, taken.replace("_", " "))]
            self.fields[f"c{number}"] = forms.ChoiceField(
                choices=[*choices, *own],
                initial=taken,
                required=False,
                label=_("What “%(heading)s” holds") % {"heading": column.heading or column.letter},
            )

    def chosen(self) -> dict[tuple[str, str], str | None]:
        """Return {(sheet, letter): field, None to leave it out}."""
        return {
            (column.sheet, column.letter): self.cleaned_data[f"c{number}"] or None
            for number, column in enumerate(self.columns)
            if f"c{number}" in self.data
        }

    def lines(self) -> list[tuple[Column, forms.BoundField]]:
        return [(column, self[f"c{number}"]) for number, column in enumerate(self.columns)]


class AnswersForm(MinistryForm):
    """Up to ten questions; `only` names the one that was sent alone."""

    def __init__(self, *args: Any, questions: Iterable[AskedQuestion], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.questions = {f"q{question.pk}": question for question in questions}
        for name, question in self.questions.items():
            self.fields[name] = _answer_field(question)

    def given(self) -> dict[AskedQuestion, str]:
        """Return the answers that were given, to all or to the only one sent."""
        only = self.data.get("only", "")
        return {
            question: self.cleaned_data[name]
            for name, question in self.questions.items()
            if self.cleaned_data.get(name) and only in ("", str(question.uid))
        }


def _answer_field(question: AskedQuestion) -> forms.Field:
    """Return the field that asks: a choice where there are answers to choose from, the guess chosen."""
    words: dict[str, Any] = {"label": question.text, "required": False, "initial": question.guess}
    if question.choices:
        choices = [(value, label) for value, label in question.choices]
        return forms.ChoiceField(choices=choices, widget=forms.RadioSelect, **words)
    return forms.CharField(max_length=200, **words)
