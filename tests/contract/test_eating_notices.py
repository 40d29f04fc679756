"""Whatever a free text says on eating, wherever it is shown, its notice stands with it.

A statement with a mark of its own is put into every ``FreeTextField`` there is, found by asking the
models; then every address of the table is read by several of the cast.
"""

import html
from html.parser import HTMLParser
from typing import Any

import pytest
from django.apps import apps
from django.db import models
from django.test import Client

from society.core import triggers
from society.core.free_text import FreeTextField
from society.finds.models import DeterminationSlip
from society.names.models import LookAlike
from society.review.models import AccountCorrection, Verdict
from tests import make
from tests.cast import Cast
from tests.contract.permissions_table import TABLE, addresses
from tests.contract.walking import asked, text_of

Clients = dict[str, Client]
FieldName = tuple[str, str]
READERS = ("guest", "ann", "carl", "kay")
# Part of the notice in one line; nothing else on a page says it.
NOTICE = "Never eat on one feature, one picture, one opinion"
# The class of what the gate writes around a text that speaks of eating.
GATED = "on-eating"
# Where a writer edits the words there is no reader to warn.
EDITED_IN = frozenset({"textarea", "input", "option"})
VOID = frozenset({"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source"})
# Fields that no page or file shows yet.
NOT_SHOWN_YET = {("forays.Visit", "notes")}


def free_text_fields() -> list[tuple[type[models.Model], str]]:
    return [
        (model, field.name)
        for model in apps.get_models()
        for field in model._meta.local_fields
        if isinstance(field, FreeTextField)
    ]


def said(model: type[models.Model], field: str) -> str:
    return f"Delicious fried in butter, {mark(model._meta.label, field)}."


def mark(label: str, field: str) -> str:
    return f"zq{label.replace('.', '')}{field.replace('_', '')}zq"


@pytest.fixture
def speaking(cast: Cast) -> Cast:
    """The cast, every free text of which praises what was found."""
    make.make_visit(cast.open_site)
    other = make.make_taxon("Amanita lethalis", danger="deadly")
    LookAlike.objects.create(taxon=cast.milkcap, other=other, source="a book")
    kept = {trigger.table for trigger in triggers._declared if trigger.event == "UPDATE"}
    for model, field in free_text_fields():
        if model._meta.db_table not in kept:
            model._base_manager.update(**{field: said(model, field)})
    for find in cast.finds.values():
        _laid(find.slips.first(), "remarks", said(DeterminationSlip, "remarks"))
        verdict = find.verdicts.first()
        if verdict is not None:
            _laid(verdict, "reason", said(Verdict, "reason"))
    _laid(AccountCorrection.objects.get(), "remarks", said(AccountCorrection, "remarks"))
    return cast


def _laid(row: Any, field: str, words: str) -> None:
    """Lay a copy of a row that may not be edited, with other words."""
    values = {
        column.attname: getattr(row, column.attname)
        for column in row._meta.local_concrete_fields
        if column.name not in ("id", "uuid")
    }
    type(row).objects.create(**values | {field: words})


class _Places(HTMLParser):
    """Notes in which elements each mark stands."""

    def __init__(self, marks: list[str]) -> None:
        super().__init__(convert_charrefs=True)
        self.marks = marks
        self.open: list[tuple[str, str]] = []
        self.bare: list[str] = []
        self.gated: list[str] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        for name, value in attributes:
            for found in (one for one in self.marks if one in (value or "")):
                if tag not in EDITED_IN and NOTICE not in (value or ""):
                    self.bare.append(f"{found} in {name}= of <{tag}>")
        if tag not in VOID:
            self.open.append((tag, dict(attributes).get("class") or ""))

    def handle_startendtag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attributes)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        for found in (one for one in self.marks if one in data):
            if any(GATED in classes.split() for _, classes in self.open):
                self.gated.append(found)
            elif not any(tag in EDITED_IN for tag, _ in self.open):
                self.bare.append(f"{found} in <{self.open[-1][0]}>")


def faults_of_page(text: str, marks: list[str]) -> tuple[list[str], list[str]]:
    """Return the marks that stand in a page without their notice, and those that have it."""
    page = _Places(marks)
    page.feed(text)
    page.close()
    if page.gated and NOTICE not in html.unescape(text):
        return [*page.bare, *page.gated], []
    return page.bare, page.gated


def faults_of_file(text: str, marks: list[str]) -> tuple[list[str], list[str]]:
    """The same of a plain channel, where the notice follows the words within the cell."""
    bare, told = [], []
    plain = html.unescape(text)
    for one in marks:
        for piece in plain.split(one)[1:]:
            follows = piece[:200].lstrip(".")
            (told if follows.startswith(" [") and NOTICE in follows else bare).append(one)
    return bare, told


def test_every_statement_on_eating_carries_its_notice_wherever_it_is_shown(
    speaking: Cast, clients: Clients
):
    fields = [(model._meta.label, name) for model, name in free_text_fields()]
    marks = [mark(*field) for field in fields]
    known = addresses(speaking)
    bare: list[Any] = []
    shown: set[str] = set()
    for persona in READERS:
        for row in TABLE:
            address = row.path.format(**known)
            answer = asked(clients[persona], "get", address)
            is_page = answer.get("Content-Type", "").startswith("text/html")
            judge = faults_of_page if is_page else faults_of_file
            without, told = judge(text_of(answer), marks)
            bare += [(persona, address, fault) for fault in without]
            shown |= set(told)
    assert bare == []
    unseen = {field for field in fields if mark(*field) not in shown}
    assert unseen == NOT_SHOWN_YET


def test_every_free_text_there_is_holds_the_statement(speaking: Cast):
    for model, name in free_text_fields():
        assert model._base_manager.filter(**{name: said(model, name)}).exists(), (model, name)
        assert len(said(model, name)) < 200


@pytest.mark.parametrize(
    ("page", "is_fault"),
    [
        ("<p>Tasty, zqone.</p>", True),
        (f'<p title="zqone">{NOTICE}</p>', True),
        (f'<div class="on-eating">zqone<p>{NOTICE}</p></div>', False),
        ('<div class="on-eating">zqone</div>', True),
        (f'<div class="on-eating"><p>{NOTICE}</p></div><p>zqone</p>', True),
        ("<textarea>zqone</textarea>", False),
        (f'<details class="on-eating fold"><br><p>zqone<p>{NOTICE}</details>', False),
    ],
)
def test_a_page_that_shows_a_statement_without_its_notice_is_found_out(page: str, is_fault: bool):
    assert bool(faults_of_page(page, ["zqone"])[0]) == is_fault


def test_a_file_that_holds_a_statement_without_its_notice_is_found_out():
    assert faults_of_file("1,Tasty zqone.,x", ["zqone"]) == (["zqone"], [])
    assert faults_of_file(f"1,Tasty zqone. [{NOTICE}],x", ["zqone"]) == ([], ["zqone"])
