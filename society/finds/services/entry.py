"""What a find's writer hands to the services: plain values, already read by the forms."""

import datetime as dt
import hashlib
import json
from dataclasses import asdict, dataclass, field
from decimal import Decimal
from typing import Any
from uuid import UUID


@dataclass(frozen=True, slots=True)
class PlaceEntry:
    """A position in units of 1e-7 degree (WGS 84) with its radius of uncertainty in metres.

    ``verbatim`` is the place in words, ``position_verbatim`` the position as it was typed.
    """

    lat_e7: int | None = None
    lon_e7: int | None = None
    uncertainty_m: int | None = None
    source: str = ""
    verbatim: str = ""
    position_verbatim: str = ""


@dataclass(frozen=True, slots=True)
class OrganismEntry:
    as_written: str
    taxon_id: int | None = None
    part: str = "nearby"
    certainty: str = ""
    distance_m: Decimal | None = None
    state: str = ""
    uuid: UUID | None = None


@dataclass(frozen=True, slots=True)
class ReadingEntry:
    exposed: str
    minutes: Decimal
    seen: str = ""
    looked: bool = True
    reagent: str = ""
    device_at: dt.datetime | None = None
    uuid: UUID | None = None


@dataclass(frozen=True, slots=True)
class SlipEntry:
    """A name for a find. ``taxon_id`` is the checklist row it points at, if any."""

    name_written: str
    taxon_id: int | None = None
    qualifier: str = ""
    by_id: int | None = None  # who determined it; the finder when None
    basis: str = "eye"
    literature: str = ""
    remarks: str = ""
    uuid: UUID | None = None


@dataclass(frozen=True, slots=True)
class EatingNoteEntry:
    said_by: str
    text: str
    source: str = ""
    uuid: UUID | None = None


@dataclass(frozen=True, slots=True)
class PhotographEntry:
    """What is said anew of a photograph already with the find."""

    uuid: UUID
    view: str = ""
    caption: str = ""
    is_removed: bool = False


@dataclass(frozen=True, slots=True)
class FindEntry:
    """A whole find as posted or edited. Only ``finder_id``, the dates and a place are required."""

    finder_id: int
    date_start: dt.date
    date_end: dt.date
    date_verbatim: str = ""
    time_of_day: dt.time | None = None
    uuid: UUID | None = None
    site_id: int | None = None
    visit_id: int | None = None
    place: PlaceEntry = PlaceEntry()
    made_secret: int | None = None
    companion_ids: tuple[int, ...] = ()
    collector_number: str = ""
    slip: SlipEntry | None = None
    organisms: tuple[OrganismEntry, ...] = ()
    readings: tuple[ReadingEntry, ...] = ()
    state_ids: tuple[int, ...] = ()  # states of observed characters
    eating_notes: tuple[EatingNoteEntry, ...] = ()
    photographs: tuple[PhotographEntry, ...] = ()  # of an edit; those not named stay as they are
    # The plain fields of ``Find`` named in PLAIN_FIELDS, absent ones left as they are.
    plain: dict[str, Any] = field(default_factory=dict)


PLAIN_FIELDS = (
    "form",
    "substrate",
    "substrate_note",
    "wood_part",
    "wood_position",
    "wood_decay",
    "wood_girth_cm",
    "habitat",
    "soil",
    "moss_layer",
    "count",
    "growth",
    "stage",
    "base",
    "in_hand",
    "spore_print",
    "specimen_kept",
    "specimen_number",
    "fungarium",
    "notes",
)


def entry_digest(entry: FindEntry) -> str:
    """Return a digest of everything the writer gave, so that a resend can be told from an edit."""
    return hashlib.sha256(
        json.dumps(asdict(entry), sort_keys=True, default=str).encode()
    ).hexdigest()
