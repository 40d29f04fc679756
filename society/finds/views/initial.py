"""What the form of a find starts with: a stored find to change, or the spot of an earlier one."""

from typing import Any
from uuid import UUID

from society.core.free_text import FreeText
from society.finds.forms.when_where import position_text, words_text
from society.finds.models import Find
from society.finds.services.entry import PLAIN_FIELDS

# What is carried over to another find from the same spot.
CARRIED = (
    "site",
    "position",
    "position_source",
    "uncertainty",
    "place_text",
    "date",
    "date_words",
    "finder",
    "companions",
    "visit",
    "habitat",
    "soil",
    "moss_layer",
    "made_secret",
)
ORGANISM_FIELDS = ("as_written", "taxon", "part", "distance_m", "state", "certainty")

Initial = dict[str, Any]
Rows = dict[str, list[dict[str, Any]]]


def carried_over(find: Find) -> tuple[Initial, Rows]:
    """Return what another find from the same spot starts with: place, day, company, trees."""
    initial, rows = initial_of(find, find.uuid)
    return {name: initial[name] for name in CARRIED}, {"organisms": rows["organisms"]}


def initial_of(find: Find, uuid: UUID) -> tuple[Initial, Rows]:
    """Return a stored find as the form's starting values. Six queries."""
    one_day = find.date_start == find.date_end and not find.date_verbatim
    initial = {name: getattr(find, name) for name in PLAIN_FIELDS}
    initial |= {
        "uuid": uuid,
        "base_version": find.version,
        "notes": FreeText(find.notes).raw,
        "site": find.site_id,
        "position": position_text(find),
        "position_source": find.position_source,
        "uncertainty": find.uncertainty_m,
        "place_text": words_text(find),
        "date": find.date_start if one_day else None,
        "date_words": "" if one_day else _date_words(find),
        "time_of_day": find.time_of_day,
        "finder": find.finder_id,
        "companions": list(find.companions.values_list("pk", flat=True)),
        "visit": find.visit_id,
        "collector_number": find.collector_number,
        "made_secret": find.made_secret,
        "states": list(find.observed_characters.values_list("state_id", flat=True)),
    }
    rows = {
        "organisms": list(find.organisms.filter(removed_at=None).values(*ORGANISM_FIELDS)),
        "readings": [
            {
                "exposed": row.exposed,
                "reagent": row.reagent,
                "minutes": row.minutes,
                "seen": row.seen,
                "not_looked": not row.looked,
            }
            for row in find.readings.filter(removed_at=None)
        ],
        "eating": [
            {"said_by": row.said_by, "source": row.source, "text": FreeText(row.text).raw}
            for row in find.eating_notes.filter(removed_at=None)
        ],
        "photos": [
            {
                "uuid": row.uuid,
                "view": row.view,
                "caption": FreeText(row.caption).raw,
                "is_removed": row.removed_at is not None,
                "photograph": row,
            }
            for row in find.photographs.all()
        ],
    }
    return initial, rows


def _date_words(find: Find) -> str:
    return find.date_verbatim or f"{find.date_start.isoformat()} - {find.date_end.isoformat()}"
