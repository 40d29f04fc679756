"""The template tags of the gate."""

from types import SimpleNamespace

from django.template import Context, Template

from society.core.free_text import FreeText
from society.names.models import Taxon
from society.safety.gate import NoticeContext, notice_full, notice_line

PRAISE = FreeText("Delicious & fried <b>in butter</b>.")


def rendered(source: str, **values: object) -> str:
    return Template("{% load safety %}" + source).render(Context(values))


def test_free_text_is_shown_escaped_once_with_its_notice():
    shown = rendered("{% free_text text %}", text=PRAISE)
    assert "<details" in shown
    assert notice_line() in shown
    assert "Delicious &amp; fried &lt;b&gt;in butter&lt;/b&gt;." in shown
    assert "&amp;amp;" not in shown


def test_free_text_takes_the_context_of_the_page():
    shown = rendered(
        "{% free_text text page.notice %}",
        text=PRAISE,
        page=SimpleNamespace(notice=NoticeContext(danger="deadly")),
    )
    assert "Deadly poisonous. Never eat" in shown


def test_a_context_the_page_does_not_have_leaves_the_general_notice():
    assert notice_line() in rendered("{% free_text text page.notice %}", text=PRAISE)
    assert str(notice_full()[0]) in rendered("{% eating_notice page.notice %}")


def test_a_line_of_free_text_has_no_paragraph_breaks():
    shown = rendered("{% free_text_line text %}", text=FreeText("Under birch,\n\nin moss"))
    assert shown == "Under birch, in moss"
    assert notice_line() in rendered("{% free_text_line text %}", text=PRAISE)


def test_a_missing_text_shows_nothing():
    assert rendered("{% free_text text %}{% free_text_line text %}") == ""


def test_a_note_on_eating_is_folded_even_when_its_words_alone_would_pass():
    note = SimpleNamespace(text=FreeText("My aunt swears by them."))
    shown = rendered("{% eating_note note %}", note=note)
    assert "<details" in shown
    assert notice_line() in shown


def test_the_full_notice_lists_every_sentence_and_leads_to_the_sheet():
    context = NoticeContext("confirmed", "deadly", ("Amanita virosa",))
    shown = rendered("{% eating_notice context %}", context=context)
    for sentence in notice_full(context):
        assert str(sentence) in shown
    assert 'href="/poisoning/"' in shown
    assert 'href="/about-safety/"' in shown


def test_danger_is_said_of_a_name_and_of_none():
    taxon = Taxon(scientific_name="Galerina marginata", danger="deadly", danger_note="<amatoxin>")
    assert rendered("{% danger_words taxon %}", taxon=taxon) == "deadly: &lt;amatoxin&gt;"
    assert rendered("{% danger_words taxon %}") == (
        "nothing held here, which says nothing about harm"
    )
