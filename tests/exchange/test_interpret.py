"""Lines of written names in, one JSON object a line out."""

import io
import json
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from society.names.services import stamp_raise
from tests.make import make_host, make_taxon

pytestmark = pytest.mark.django_db

KEYS = ["text", "outcome", "reason", "name", "qualifier", "via", "confidence", "candidates"]


@pytest.fixture(autouse=True)
def checklist() -> None:
    make_taxon("Lactarius deterrimus", authorship="Gröger", english="False Saffron Milkcap")
    make_taxon("Lactarius deliciosus")
    badia = make_taxon("Imleria badia")
    make_taxon("Xerocomus badius", accepted=badia)
    make_taxon("Boletus glutinosus", accepted=badia)
    make_taxon("Agaricus placomyces", accepted=make_taxon("Agaricus moelleri"), is_misapplied=True)
    make_taxon("Amanita phalloides", danger="deadly", english="Death Cap")
    make_taxon("Inocybe", rank="genus")
    make_host("Betula pendula", english="silver birch")
    stamp_raise()


def interpreted(lines: bytes) -> list[dict[str, Any]]:
    out = io.StringIO()
    call_command("interpret", "name", stdin=io.BytesIO(lines), stdout=out)
    return [json.loads(line) for line in out.getvalue().splitlines()]


def of(text: str) -> dict[str, Any]:
    (answer,) = interpreted(text.encode() + b"\n")
    return answer


@pytest.mark.parametrize(
    ("text", "name", "qualifier", "via"),
    [
        ("Lactarius deterrimus", "Lactarius deterrimus", None, "exact"),
        ("Lactarius deterrimus Gröger", "Lactarius deterrimus", None, "exact"),
        ("LACTARIUS CF DETERRIMUS", "Lactarius deterrimus", "cf.", "exact"),
        ("Xerocomus badius", "Imleria badia", None, "combination"),
        ("Boletus glutinosus", "Imleria badia", None, "synonym"),
        ("false saffron milkcap", "Lactarius deterrimus", None, "vernacular"),
        ("L. det", "Lactarius deterrimus", None, "abbreviation"),
        ("L. det.", "Lactarius deterrimus", None, "abbreviation"),
        ("Lact. deterr.", "Lactarius deterrimus", None, "abbreviation"),
        ("false saffron milk cap", "Lactarius deterrimus", None, "vernacular"),
        ("lactarius deterimus", "Lactarius deterrimus", None, "spelling"),
        ("Inocybe sp. 3", "Inocybe", "sp.", "exact"),
        ("Lactarius deterrimus?, under spruce 12.10.2019", "Lactarius deterrimus", "?", "exact"),
        ("silver birch", "Betula pendula", None, "vernacular"),
        ("amanita phalloides", "Amanita phalloides", None, "exact"),
    ],
)
def test_a_name_comes_out_accepted_and_without_authorship(
    text: str, name: str, qualifier: str | None, via: str
) -> None:
    answer = of(text)
    assert list(answer) == KEYS
    assert answer["text"] == text
    assert (answer["outcome"], answer["reason"]) == ("resolved", None)
    assert (answer["name"], answer["qualifier"], answer["via"]) == (name, qualifier, via)
    assert 0.9 <= answer["confidence"] <= 1
    assert answer["candidates"][0] == {
        "name": name,
        "via": via,
        "confidence": answer["confidence"],
    }


@pytest.mark.parametrize(
    ("text", "reason", "first"),
    [
        ("Amanita faloides", "near_dangerous", "Amanita phalloides"),
        ("Deth Cap", "near_dangerous", "Amanita phalloides"),
        ("Agaricus placomyces", "another_sense", "Agaricus moelleri"),
        ("Lactarius deterrimus ss. Lange", "another_sense", "Lactarius deterrimus"),
        ("Lactarius deterrimus or deliciosus", "several_names", "Lactarius deterrimus"),
        ("A. phall.", "near_dangerous", "Amanita phalloides"),
        ("death cap x", "near_dangerous", "Amanita phalloides"),
    ],
)
def test_what_is_in_doubt_gives_candidates_and_chooses_none(
    text: str, reason: str, first: str
) -> None:
    answer = of(text)
    assert list(answer) == KEYS
    assert (answer["outcome"], answer["reason"]) == ("candidates", reason)
    assert (answer["name"], answer["via"], answer["confidence"]) == (None, None, None)
    assert answer["candidates"][0]["name"] == first
    assert list(answer["candidates"][0]) == ["name", "via", "confidence"]


@pytest.mark.parametrize("between", [" / ", "/", " or ", ", ", "; ", " × "])
def test_several_names_on_a_line_are_all_given(between: str) -> None:
    answer = of(f"Lactarius deliciosus{between}Amanita phalloides")
    assert (answer["outcome"], answer["reason"]) == ("candidates", "several_names")
    assert [one["name"] for one in answer["candidates"]] == [
        *("Lactarius deliciosus", "Amanita phalloides"),
    ]


def test_of_seven_names_on_a_line_the_deadly_last_one_is_given() -> None:
    names = [make_taxon(f"Russula {word}").scientific_name for word in ("vesca", "rosea", "lutea")]
    stamp_raise()
    harmless = ["Lactarius deliciosus", "Lactarius deterrimus", "Imleria badia", *names]
    answer = of(", ".join([*harmless, "Amanita phalloides"]))
    given = [one["name"] for one in answer["candidates"]]
    assert len(given) == 5
    assert "Amanita phalloides" in given


def test_an_abbreviation_that_fits_two_species_gives_both() -> None:
    answer = of("L. de")
    assert (answer["outcome"], answer["reason"]) == ("candidates", "fits_several")
    assert {one["name"] for one in answer["candidates"]} == {
        "Lactarius deterrimus",
        "Lactarius deliciosus",
    }


def test_at_most_five_candidates_are_given_best_first() -> None:
    for letter in "abcdefgh":
        make_taxon(f"Russula communi{letter}a")
    stamp_raise()
    answer = of("R. communi")
    shown = [one["confidence"] for one in answer["candidates"]]
    assert len(shown) == 5
    assert shown == sorted(shown, reverse=True)


def test_every_line_is_answered_in_order_blank_and_undecodable_ones_too() -> None:
    lines = b"Inocybe\r\n\n   \n\xff\xfe Inocybe\nQqqq zzzz\n\xef\xbb\xbfInocybe\nInocybe"
    answers = interpreted(lines)
    assert [answer["outcome"] for answer in answers] == [
        *("resolved", "unknown", "unknown", "unknown", "unknown", "resolved", "resolved"),
    ]
    assert [answer["reason"] for answer in answers] == [
        *(None, "blank", "blank", "undecodable", "not_listed", None, None),
    ]
    assert [answer["text"] for answer in answers] == [
        *("Inocybe", "", "   ", "\ufffd\ufffd Inocybe", "Qqqq zzzz", "Inocybe", "Inocybe"),
    ]
    assert all(list(answer) == KEYS for answer in answers)
    assert all(answer["candidates"] == [] for answer in answers[1:5])


def test_no_input_gives_no_output() -> None:
    assert interpreted(b"") == []


def test_other_signs_that_part_lines_stay_within_their_line() -> None:
    text = "Inocybe\u2028sp.\x0b\x0c\u0085"
    assert of(text)["text"] == text
    assert of("Inocybe\x00")["text"] == "Inocybe\x00"


def test_lines_are_plain_ascii_whatever_was_written() -> None:
    out = io.StringIO()
    call_command("interpret", "name", stdin=io.BytesIO("Gröger キノコ\n".encode()), stdout=out)
    assert out.getvalue().isascii()
    assert json.loads(out.getvalue())["text"] == "Gröger キノコ"


class Watched(io.StringIO):
    """Counts what is out of the buffer when the next line is asked for."""

    flushed = ""

    def flush(self) -> None:
        self.flushed = self.getvalue()


class Asking(io.RawIOBase):
    """Gives lines one by one and notes how many answers were out before each."""

    def __init__(self, out: Watched) -> None:
        self.out, self.seen = out, []
        self.left = [b"Inocybe\n", b"Imleria badia\n", b""]

    def readable(self) -> bool:
        return True

    def readline(self, size: int | None = -1, /) -> bytes:
        self.seen.append(self.out.flushed.count("\n"))
        return self.left.pop(0)

    def __next__(self) -> bytes:
        line = self.readline()
        if not line:
            raise StopIteration
        return line


def test_each_answer_is_out_before_the_next_line_is_read() -> None:
    out = Watched()
    asking = Asking(out)
    call_command("interpret", "name", stdin=asking, stdout=out)
    assert asking.seen == [0, 1, 2]


def test_only_kinds_that_work_are_offered() -> None:
    for kind in ("place", "nonsense"):
        with pytest.raises((CommandError, SystemExit)):
            call_command("interpret", kind, stdin=io.BytesIO(b"x\n"), stdout=io.StringIO())
