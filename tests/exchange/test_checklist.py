"""The checklist as CSV, and that its own import reads it back."""

import csv
import io

import pytest
from django.test import Client

from society.names.models import Taxon
from society.names.services import checklist_file_add
from society.safety.gate import NoticeContext, notice_line
from tests.contract.walking import body_of
from tests.make import make_account, make_host, make_society, make_taxon, viewer

pytestmark = pytest.mark.django_db


def downloaded(client: Client) -> bytes:
    answer = client.get("/keeper/names/checklist.csv")
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert "checklist" in answer["Content-Disposition"]
    return body_of(answer)


def test_the_checklist_comes_as_darwin_core_taxa_with_danger_and_cautions(client: Client) -> None:
    make_society()
    client.force_login(make_account(is_keeper=True))
    deadly = make_taxon(
        "Amanita virosa", authorship="Bertill.", danger="deadly", english="Destroying Angel"
    )
    synonym = make_taxon("Agaricus virosus", accepted=deadly)
    make_taxon("Agaricus formula", source="=1+1", authorship="=cmd()")
    make_host("Picea abies")
    text = downloaded(client).decode("utf-8-sig")
    rows = {row["scientificName"]: row for row in csv.DictReader(io.StringIO(text))}
    row = rows["Amanita virosa"]
    assert (row["taxonID"], row["acceptedNameUsageID"]) == (str(deadly.pk), str(deadly.pk))
    assert (row["scientificNameAuthorship"], row["kingdom"], row["taxonomicStatus"]) == (
        "Bertill.",
        "Fungi",
        "accepted",
    )
    assert (row["danger"], row["vernacularName"]) == ("deadly", "Destroying Angel")
    assert row["cautions"] == notice_line(NoticeContext(danger="deadly"))
    other = rows["Agaricus virosus"]
    assert (other["acceptedNameUsageID"], other["acceptedNameUsage"]) == (
        str(deadly.pk),
        "Amanita virosa",
    )
    # Under its old name it is no less deadly.
    assert other["cautions"] == row["cautions"]
    assert other["taxonID"] == str(synonym.pk)
    assert rows["Agaricus formula"]["scientificNameAuthorship"] == "'=cmd()"
    assert rows["Picea abies"]["kingdom"] == "Plantae"
    assert text.rstrip().splitlines()[-1].startswith("notice,")


def test_what_was_exported_is_held_when_it_comes_back_and_new_elsewhere(client: Client) -> None:
    make_society()
    keeper = make_account(is_keeper=True)
    client.force_login(keeper)
    deadly = make_taxon("Amanita virosa", authorship="Bertill.", danger="deadly")
    make_taxon("Agaricus virosus", accepted=deadly)
    make_taxon("Agaricus meus", authorship="auct.", accepted=deadly, is_misapplied=True)
    make_taxon("Armillaria mellea agg.", rank="aggregate")
    make_taxon("Lactarius", rank="genus")
    make_taxon("Lactarius sect. Deliciosi", rank="section")
    make_taxon("Fuligo septica", form="slime_mould", is_doubtful=True)
    make_host("Picea abies", authorship="(L.) H. Karst.")
    content = downloaded(client)
    by = viewer(keeper)
    counts = checklist_file_add(kind="taxa", name="a.csv", content=content, by=by).report["counts"]
    assert counts == {"new": 0, "changed": 0, "held": 8, "kept": 0, "left": 0}
    Taxon.objects.exclude(accepted=None).delete()
    Taxon.objects.all().delete()
    counts = checklist_file_add(kind="taxa", name="a.csv", content=content, by=by).report["counts"]
    assert counts == {"new": 8, "changed": 0, "held": 0, "kept": 0, "left": 0}


def test_the_checklist_reads_as_often_for_more_names_within_a_portion(client: Client) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    make_society()
    client.force_login(make_account(is_keeper=True))
    asked = []
    for _round in range(2):
        for _number in range(20):
            make_taxon(english="Some Name")
        with CaptureQueriesContext(connection) as queries:
            downloaded(client)
        asked.append(len(queries))
    assert asked[0] == asked[1]
