"""Tags that write what stands in every row of a list.

A list of a season has hundreds of rows, and a template filled for each part of a row costs most
of such a page's time. So the parts are written here, and the rows of a species list whole; words
and addresses are asked for once a list.
"""

import datetime as dt
from collections.abc import Iterable
from html import escape
from urllib.parse import quote

from django import template
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from society.finds.models import AssociatedOrganism, Find
from society.lists.queries import FindLine, SpeciesList, SpeciesRow

register = template.Library()

NAMES_PAGE = "lists:species"


@register.simple_tag
def find_name(line: FindLine, url: str = "") -> SafeString:
    """Write the name of a find's line, leading to ``url`` where one is given."""
    english = f' <span class="name-english">{escape(line.english)}</span>' if line.english else ""
    if line.parts and not line.as_written:
        tag, href = ("a", f' href="{escape(url)}"') if url else ("span", "")
        return mark_safe(f'<{tag} class="name"{href}>{_parts(line.parts)}</{tag}>{english}')
    if line.parts:
        words = f'<q class="as-written">{escape(line.parts[0][0])}</q>'
    else:
        words = escape(_("Not named yet"))
    return mark_safe((f'<a href="{escape(url)}">{words}</a>' if url else words) + english)


@register.simple_tag
def find_hosts(hosts: Iterable[AssociatedOrganism]) -> SafeString:
    """Write the trees and plants of a find's line."""
    return mark_safe(
        ", ".join(
            f"<i>{escape(host.taxon.current.scientific_name)}</i>"
            if host.taxon is not None
            else escape(host.as_written)
            for host in hosts
        )
    )


@register.simple_tag
def find_days(first: dt.date, last: dt.date) -> SafeString:
    """Write the first and last day in few letters; one where they are the same."""
    days = (first,) if first == last else (first, last)
    return mark_safe(
        " – ".join(
            f'<time datetime="{day.isoformat()}">{escape(date_format(day, "j M Y"))}</time>'
            for day in days
        )
    )


@register.simple_tag
def find_standing(find: Find) -> SafeString:
    """Write how a find stands, as ``parts/_standing.html`` does."""
    words = escape(str(find.get_standing_display()))
    return mark_safe(f'<span class="standing standing--{escape(find.standing)}">{words}</span>')


@register.simple_tag
def species_rows(
    species_list: SpeciesList, rows: Iterable[SpeciesRow], querystring: str
) -> SafeString:
    """Write these rows of a species list; ``querystring`` asks for the list."""
    writer = RowWriter(species_list, querystring)
    return mark_safe("".join(writer.row(row) for row in rows))


class RowWriter:
    """Writes the rows of one species list."""

    def __init__(self, species_list: SpeciesList, querystring: str) -> None:
        self.has_books = bool(species_list.from_the_books)
        self.has_family = not species_list.wanted.by_family
        self.finds_page = f"{reverse('lists:finds')}?{escape(querystring)}&amp;"
        self.before_id, _zero, self.after_id = reverse(NAMES_PAGE, args=[0]).rpartition("0")
        self.days: dict[dt.date, tuple[str, str]] = {}
        self.finds_of = _("%(n)s finds of %(name)s")
        self.first_for_society = _remark(_("first for the society"))
        self.first_for_site = _remark(_("first for the site"))
        self.apart = _remark(_("unconfirmed only"))
        self.not_counted = _remark(_("not counted: a member of it is listed"))
        self.earliest = _soft(_("at the earliest"))
        self.latest = _soft(_("at the latest"))
        self.nothing_held = _soft(_("nothing held"))
        self.confused = escape(_("Confused with:"))

    def row(self, row: SpeciesRow) -> str:
        """Write one row. Danger is in words, and never sorted by."""
        hosts = ", ".join(f"<i>{escape(host.name)}</i>" for host in row.hosts)
        books = f'<td class="num">{row.from_the_books or ""}</td>' if self.has_books else ""
        apart = ' class="apart"' if row.is_apart else ""
        family = f"<td>{escape(row.family)}</td>" if self.has_family else ""
        return (
            f"<tr{apart}>\n"
            f'<th scope="row" data-value="{escape(row.name)}">{self._name(row)}</th>\n'
            f'<td class="num">{self._finds(row)}</td>\n'
            f'<td class="num">{row.unconfirmed or ""}</td>\n'
            f"{self._day(row.first_date, self.earliest if row.first_is_vague else '')}\n"
            f"{self._day(row.last_date, self.latest if row.last_is_vague else '')}\n"
            f"{books}<td>{hosts}</td>\n<td>{self._danger(row)}</td>\n{family}</tr>\n"
        )

    def _species_page(self, taxon_id: int) -> str:
        return f"{self.before_id}{taxon_id}{self.after_id}"

    def _name(self, row: SpeciesRow) -> str:
        if row.taxon_id:
            url = self._species_page(row.taxon_id)
            written = [f'<a class="name" href="{url}">{_parts(row.parts)}</a>']
        else:
            written = [f'<q class="as-written">{escape(row.name)}</q>']
        if row.english:
            written.append(f'<span class="name-english">{escape(row.english)}</span>')
        if row.first_for_society:
            written.append(self.first_for_society)
        elif row.first_for_site:
            written.append(self.first_for_site)
        if row.is_apart:
            written.append(self.apart)
        elif not row.counts_as_species:
            written.append(self.not_counted)
        return "\n".join(written)

    def _finds(self, row: SpeciesRow) -> str:
        if row.taxon_id:
            which = f"taxon={row.taxon_id}&amp;qualifier={quote(row.qualifier)}"
        else:
            which = f"written={quote(row.name)}"
        label = escape(self.finds_of % {"n": row.finds, "name": row.name})
        return f'<a href="{self.finds_page}{which}" aria-label="{label}">{row.finds}</a>'

    def _day(self, day: dt.date, vague: str) -> str:
        if day not in self.days:
            self.days[day] = day.isoformat(), escape(date_format(day, "j M Y"))
        value, words = self.days[day]
        return f'<td class="nowrap" data-value="{value}">{words}{vague and " "}{vague}</td>'

    def _danger(self, row: SpeciesRow) -> str:
        words = self.nothing_held
        if row.danger:
            words = f'<span class="danger">{escape(row.danger_words)}</span>'
        if not row.dangerous_look_alikes:
            return words
        others = ", ".join(
            f'<a href="{self._species_page(other.taxon_id)}"><i>{escape(other.name)}</i></a>'
            f" ({escape(other.danger)})"
            for other in row.dangerous_look_alikes
        )
        return f'{words}\n<br>\n<span class="small">{self.confused} {others}</span>'


def _parts(parts: Iterable[tuple[str, bool]]) -> str:
    return "".join(f"<i>{escape(text)}</i>" if italic else escape(text) for text, italic in parts)


def _remark(words: str) -> str:
    return f'<span class="remark">{escape(words)}</span>'


def _soft(words: str) -> str:
    return f'<span class="soft">{escape(words)}</span>'
