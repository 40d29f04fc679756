"""The gate: no text that speaks of eating leaves without its notice, in any channel."""

import re

import pytest
from django.utils.html import escape
from django.utils.safestring import SafeString
from hypothesis import given
from hypothesis import strategies as st

from society.core.free_text import FreeText
from society.names.models import Danger, Taxon
from society.safety.gate import (
    GENERAL,
    NoticeContext,
    as_html,
    as_text,
    danger_words,
    notice_context,
    notice_full,
    notice_line,
    speaks_of_eating,
)
from society.science.statements import detect

PLAIN = "Under birch, milk white."
PRAISE = "Delicious fried in butter."
WARNING = "Deadly poisonous, never eat it."
EATEN = "We ate three of them last night."
FOLDED = [
    PRAISE,
    "Not poisonous.",
    "Can be eaten after boiling.",
    "Is it edible?",
    "A medicinal mushroom.",
]

VOCABULARY = """
edible delicious not poisonous <b>fry</b> it & eat, we ate nie jadalny comestible birch is ?
<script>alert(1)</script> "quoted" 'medicine' smell of flour
"""
SAYINGS = st.lists(st.sampled_from([*VOCABULARY.split(), "\n\n"]), min_size=1, max_size=20).map(
    " ".join
)
TEXTS = st.one_of(st.text(max_size=200), SAYINGS)
CONTEXTS = st.builds(
    NoticeContext,
    standing=st.sampled_from([None, "unconfirmed", "confirmed", "disputed", "left_open", "odd"]),
    danger=st.sampled_from([None, "", "deadly", "serious", "illness", "odd"]),
    look_alikes=st.lists(st.sampled_from(["Amanita phalloides", "<i>x</i>"]), max_size=2).map(
        tuple
    ),
    danger_note=st.sampled_from(["", "raw", "muscarine", "delicious"]),
)


def core(context: NoticeContext | None = None) -> str:
    """The sentence every form of the notice holds."""
    line = notice_line(context)
    return line[line.index("Never eat") :]


def sentences(context: NoticeContext) -> str:
    return " ".join(str(sentence) for sentence in notice_full(context))


@given(TEXTS, st.one_of(st.none(), CONTEXTS))
def test_whatever_speaks_of_eating_carries_the_notice_in_every_channel(text, context):
    on_eating = detect(text).on_eating
    plain, page = as_text(FreeText(text), context), as_html(FreeText(text), context)
    row = as_html(FreeText(text), context, one_line=True)
    for shown in (plain, page, row):
        assert (core() in shown) == on_eating
    assert plain.startswith(text)
    if not on_eating:
        assert plain == text
    assert isinstance(page, SafeString)
    assert isinstance(row, SafeString)


@given(TEXTS)
def test_html_is_escaped_whatever_is_written(text):
    tags = {"p", "br", "div", "details", "summary", "span"}
    for shown in (as_html(text), as_html(text, one_line=True), as_html(text, structured=True)):
        for tag in re.findall(r"<\s*/?\s*([^\s>/]*)", shown):
            assert tag in tags
        for attributes in re.findall(r"<\w+ ([^>]*)>", shown):
            assert re.fullmatch(r'(?:(?:class|data-kind)="[a-z_ -]*"\s*)+/?', attributes)


@given(TEXTS)
def test_a_structured_note_carries_the_notice_whatever_its_words(text):
    shown = bool(text)
    assert (core() in as_text(text, structured=True)) == shown
    assert (core() in as_html(text, structured=True)) == shown


@given(CONTEXTS)
def test_no_context_takes_the_notice_away(context):
    assert core() in notice_line(context)
    text = sentences(context)
    for needed in (
        "never leave to eat",
        "Never eat on one feature",
        "call the poison centre or the emergency number at once",
        "do not wait for signs",
    ):
        assert needed in text


@pytest.mark.parametrize("text", FOLDED)
@pytest.mark.parametrize(
    "standing", [None, "confirmed", "unconfirmed", "determined_by_its_referee"]
)
def test_praise_and_use_are_folded_behind_the_notice_whatever_the_standing(text, standing):
    shown = as_html(FreeText(text), NoticeContext(standing=standing))
    before, summary, behind = re.split(r"</?summary>", shown)
    assert before.strip().startswith("<details")
    assert " open" not in before
    assert core() in summary
    assert text not in summary
    assert f"<p>{escape(text)}</p>" in behind
    assert behind.strip().endswith("</details>")


@pytest.mark.parametrize("text", [WARNING, EATEN])
def test_warnings_and_what_was_eaten_stand_open_with_the_notice_beside(text):
    shown = as_html(FreeText(text))
    assert "<details" not in shown
    assert text in shown
    assert f'<p class="caution-line">{notice_line()}</p>' in shown


def test_praise_with_a_warning_in_it_is_folded():
    assert "<details" in as_html(FreeText("Delicious, but deadly raw."))


def test_a_plain_text_is_shown_plainly():
    assert as_text(FreeText(PLAIN)) == PLAIN
    assert as_html(FreeText(PLAIN)) == f"<p>{PLAIN}</p>"
    assert as_html(FreeText("one\ntwo\n\nthree")) == "<p>one<br>two</p>\n\n<p>three</p>"
    assert as_html(FreeText(" one\n two "), one_line=True) == "one two"


def test_nothing_written_is_nothing_shown():
    for nothing in (None, "", FreeText("")):
        assert as_text(nothing) == ""
        assert as_html(nothing) == ""
        assert as_text(nothing, structured=True) == ""


def test_a_bare_string_passes_no_gate_unread():
    assert core() in as_text(PRAISE)
    assert "<details" in as_html(PRAISE)


def test_the_plain_form_puts_the_notice_behind_the_text():
    assert as_text(FreeText(PRAISE)) == f"{PRAISE} [{notice_line()}]"


def test_a_text_cannot_close_its_fold():
    shown = as_html(FreeText("Delicious</div></details><p>safe to eat"))
    assert shown.count("</details>") == 1
    assert "&lt;/details&gt;" in shown


def test_the_line_names_the_danger_and_says_what_is_no_medical_advice():
    assert notice_line(NoticeContext(danger="deadly")).startswith("Deadly poisonous. Never eat")
    assert notice_line(NoticeContext(danger="serious")).startswith("Seriously poisonous. Never eat")
    assert notice_line(NoticeContext(danger="illness")) == notice_line()
    assert notice_line(NoticeContext(kind="medicine")).startswith("No medical advice.")
    assert as_text(FreeText("A folk remedy.")).endswith(f"[No medical advice. {core()}]")


def test_the_full_notice_says_whether_the_name_is_confirmed():
    assert "The name is not confirmed" in sentences(NoticeContext(standing="unconfirmed"))
    assert "The name is not confirmed" in sentences(NoticeContext(standing="a code unknown here"))
    confirmed = sentences(NoticeContext(standing="confirmed"))
    assert "this one collection" in confirmed
    assert "basket" in confirmed
    assert "nobody else has looked" in sentences(
        NoticeContext(standing="determined_by_its_referee")
    )
    assert "old records" in sentences(NoticeContext(standing="from_the_books"))
    assert "disputed" in sentences(NoticeContext(standing="disputed"))
    assert "cannot settle" in sentences(NoticeContext(standing="left_open"))


def test_every_standing_of_a_find_has_a_sentence_of_its_own():
    from society.finds.models import Standing

    said = {sentences(NoticeContext(standing=standing)) for standing in Standing.values}
    assert len(said) == len(Standing.values)


def test_the_full_notice_names_dangerous_look_alikes_and_says_that_they_are_no_test():
    text = sentences(NoticeContext(look_alikes=("Amanita phalloides", "Amanita virosa")))
    assert "Amanita phalloides, Amanita virosa" in text
    assert "no test for eating" in text
    assert "something not named here" in text
    assert "no test for eating" not in sentences(GENERAL)


def test_the_full_notice_says_the_harm_held_or_that_nothing_held_says_nothing():
    assert "is deadly" in sentences(NoticeContext(danger="deadly"))
    assert "seriously poisonous" in sentences(NoticeContext(danger="serious"))
    assert "causes illness: raw or undercooked." in sentences(
        NoticeContext(danger="illness", danger_note="raw")
    )
    for nothing in (None, "", "a class unknown here"):
        assert "says nothing about harm" in sentences(NoticeContext(danger=nothing))


def test_the_full_notice_answers_talk_of_medicine():
    assert "doctor or a pharmacist" in sentences(NoticeContext(kind="medicine"))
    assert "doctor" not in sentences(GENERAL)


def test_danger_is_said_in_words_with_its_condition():
    assert danger_words("deadly", "amatoxin") == "deadly: amatoxin"
    assert danger_words("serious") == "seriously poisonous"
    assert danger_words("illness", "alcohol") == (
        "causes illness: with alcohol, even days after the meal"
    )
    assert danger_words("illness", "some_people") == "causes illness: in some people"
    for nothing in (None, ""):
        assert danger_words(nothing) == "nothing held here, which says nothing about harm"


def test_every_danger_class_has_words():
    assert len({danger_words(each) for each in Danger.values}) == len(Danger.values)


def test_a_condition_that_praises_is_left_out():
    assert danger_words("illness", "delicious when cooked") == "causes illness"
    assert "delicious" not in sentences(
        NoticeContext(danger="illness", danger_note="delicious when cooked")
    )


def test_the_context_is_drawn_from_rows_at_hand():
    taxon = Taxon(scientific_name="Amanita rubescens", danger="illness", danger_note="raw")
    other = Taxon(scientific_name="Amanita pantherina", danger="serious")
    assert notice_context(taxon, standing="confirmed", dangerous=[other]) == NoticeContext(
        standing="confirmed",
        danger="illness",
        look_alikes=("Amanita pantherina",),
        danger_note="raw",
    )
    assert notice_context(None) == GENERAL


def test_a_page_knows_whether_it_speaks_of_eating():
    assert speaks_of_eating([None, "", PLAIN, FreeText(PRAISE)])
    assert not speaks_of_eating([None, "", PLAIN])


def test_the_notice_never_calls_anything_safe_or_edible():
    everything = " ".join(
        sentences(NoticeContext(standing, danger, ("Amanita phalloides",), kind))
        + notice_line(NoticeContext(standing, danger, (), kind))
        for standing in (None, "confirmed", "unconfirmed", "from_the_books", "disputed")
        for danger in (None, *Danger.values)
        for kind in (None, "praise", "medicine")
    )
    assert not re.search(r"\b(safe|edible|harmless|not poisonous)\b", everything)
