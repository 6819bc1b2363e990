"""Reading pages of the plan in tests: their words, their tables and the addresses they are under."""

import re
from html import unescape
from typing import Any

from django.urls import reverse


def url(name: str, ministry: str = "first", **rest: Any) -> str:
    return reverse(name, kwargs={"ministry": ministry, **rest})


def words(answer: Any) -> str:
    """Return what a person reads on a page: without tags, spaces folded."""
    html = answer.content.decode()
    html = re.sub(r"<(script|style|svg)\b.*?</\1>", " ", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html))).replace(" .", ".").replace(" ,", ",")


def first_line(answer: Any) -> str:
    found = re.search(r"<h1>(.*?)</h1>", answer.content.decode(), re.DOTALL)
    assert found, "a page has one h1"
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", "", found[1]))).strip()


def cells(answer: Any, caption: str) -> list[list[str]]:
    """Return the rows of the table with this caption as texts."""
    tables = re.findall(r"<table.*?</table>", answer.content.decode(), re.DOTALL)
    table = next(one for one in tables if re.search(rf"<caption[^>]*>\s*{re.escape(caption)}", one))
    body = re.search(r"<tbody>(.*?)</tbody>", table, re.DOTALL)
    assert body
    return [
        [
            re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", cell))).strip()
            for cell in re.findall(r"<t[hd]\b[^>]*>(.*?)</t[hd]>", row, re.DOTALL)
        ]
        for row in re.findall(r"<tr\b.*?</tr>", body[1], re.DOTALL)
    ]


def minor(amount: str) -> int:
    """Return an amount as it is shown ($1,250.50, -£50) in minor units; '' and a dash are nothing."""
    figures = re.sub(r"[^\d.\-−]", "", amount).replace("−", "-")
    return round(float(figures) * 100) if figures.strip("-") else 0
