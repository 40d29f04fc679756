"""The demo's drawings: each species and view is drawn once and shared by its finds."""

import hashlib
import io
import os
import secrets
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image

from society.demo.rules import Plan, World
from society.demo.sketches import draw

SIZE = (900, 700)
THUMB = 320


@dataclass(frozen=True, slots=True)
class Drawing:
    """A stored drawing: the keys of original and sizes, its digest and size in bytes."""

    original: str
    renditions: dict[str, str]
    sha256: str
    byte_size: int


Drawings = dict[tuple[str, str], Drawing]


def drawings_make(world: World, plan: Plan) -> Drawings:
    """Draw whatever the plan's finds were photographed by, on every processor there is."""
    rows = {species.name: dict(species.row) for species in world.species}
    wanted = sorted({(find.species, view) for find in plan.finds for view in find.views})
    tasks = [(rows[name], view) for name, view in wanted]
    with ProcessPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        drawn = list(pool.map(_drawn, tasks, chunksize=16))
    return {key: _stored(*pictures) for key, pictures in zip(wanted, drawn, strict=True)}


def _drawn(task: tuple[dict[str, object], str]) -> tuple[bytes, bytes]:
    """Return a drawing and its small size; runs in a process of its own, without the database."""
    row, view = task
    picture = draw(row, view, SIZE)
    with Image.open(io.BytesIO(picture)) as image:
        image.thumbnail((THUMB, THUMB))
        out = io.BytesIO()
        image.convert("RGB").save(out, "JPEG", quality=85)
    return picture, out.getvalue()


def _stored(picture: bytes, thumb: bytes) -> Drawing:
    digest = hashlib.sha256(picture).hexdigest()
    original = f"originals/{digest[:2]}/{digest}"
    if not default_storage.exists(original):
        default_storage.save(original, ContentFile(picture))
    # The drawing bears no metadata and is smaller than the larger sizes: it serves as both.
    whole = _saved(picture)
    return Drawing(
        original=original,
        renditions={str(THUMB): _saved(thumb), "1024": whole, "2048": whole},
        sha256=digest,
        byte_size=len(picture),
    )


def _saved(content: bytes) -> str:
    return default_storage.save(f"renditions/{secrets.token_hex(16)}.jpg", ContentFile(content))
