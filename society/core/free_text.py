"""Free text that cannot be shown by accident, and the field that stores it.

Whatever a person writes may speak of eating, and what speaks of eating carries a notice in every
channel. So a text leaves the database as a ``FreeText``, which has no plain string form: only the
gate (``safety/gate.py``) renders it. What a text says on eating is found by
``science.statements.detect`` and stored beside it, in a column the field brings along.
"""

import zlib
from typing import Any, NoReturn

from django.core import checks, validators
from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.db.models.query_utils import DeferredAttribute
from django.forms import CharField, Textarea
from django.utils.functional import Promise, cached_property
from django.utils.translation import gettext_lazy as _

from society.science.statements import DETECTOR_VERSION, detect

GATE = "society.safety.gate (as_html, as_text) or the template tag free_text"


class FreeText:
    """A text as written, with what it says on eating. Equal to a string of the same characters.

    ``raw`` is for storing, comparing and searching; to show it, pass the value to the gate.
    The detection runs when first asked for, unless a stored one of this detector's version and of
    this very text is at hand.
    """

    __slots__ = ("_found", "_is_loaded", "_raw", "_stored")

    def __init__(self, raw: "str | Promise | FreeText", *, is_loaded: bool = False) -> None:
        self._raw = raw.raw if isinstance(raw, FreeText) else str(raw)
        self._is_loaded = is_loaded
        self._stored = ""
        self._found: tuple[bool, str | None, int] | None = None

    @property
    def raw(self) -> str:
        return self._raw

    @property
    def on_eating(self) -> bool:
        return self._detection()[0]

    @property
    def kind(self) -> str | None:
        return self._detection()[1]

    @property
    def detector_version(self) -> int:
        return self._detection()[2]

    @property
    def statement(self) -> str:
        """The detection as stored: version, kind and a checksum of the text, '' for no text.

        The checksum unmasks a detection that a partial update left behind its text.
        """
        if not self._raw:
            return ""
        return f"{self.detector_version}:{self.kind or ''}:{_checksum(self._raw)}"

    def believe(self, stored: str) -> None:
        """Take over a stored detection where it is of this version and of this text."""
        self._stored = stored

    def _detection(self) -> tuple[bool, str | None, int]:
        if self._found is None:
            self._found = self._read_stored() or self._detect()
        return self._found

    def _read_stored(self) -> tuple[bool, str | None, int] | None:
        parts = self._stored.split(":")
        if len(parts) != 3 or parts[0] != str(DETECTOR_VERSION):
            return None
        if parts[2] != _checksum(self._raw):
            return None
        return bool(parts[1]), parts[1] or None, DETECTOR_VERSION

    def _detect(self) -> tuple[bool, str | None, int]:
        found = detect(self._raw)
        return found.on_eating, found.kind, DETECTOR_VERSION

    def __bool__(self) -> bool:
        return bool(self._raw)

    def __len__(self) -> int:
        return len(self._raw)

    def __eq__(self, other: object) -> bool:
        if isinstance(other, FreeText):
            return self._raw == other._raw
        if isinstance(other, str):
            return self._raw == other
        return NotImplemented

    def __hash__(self) -> int:
        return hash(self._raw)

    def __repr__(self) -> str:
        return f"<FreeText of {len(self._raw)} characters>"

    def __str__(self) -> NoReturn:
        raise TypeError(f"Free text has no plain form; show it through {GATE}.")

    def __html__(self) -> NoReturn:
        raise TypeError(f"Free text has no HTML of its own; show it through {GATE}.")

    def __format__(self, spec: str) -> NoReturn:
        raise TypeError(f"Free text cannot be put into a string; show it through {GATE}.")

    def __reduce__(self) -> tuple[type["FreeText"], tuple[str]]:
        return FreeText, (self._raw,)


def _checksum(raw: str) -> str:
    return f"{zlib.crc32(raw.encode('utf-8', 'surrogatepass')):08x}"


def statement_name(field_name: str) -> str:
    """Return the name of the column that holds what the text of ``field_name`` says on eating."""
    return f"{field_name}_statement"


def with_statements(model: type[models.Model], names: list[str]) -> list[str]:
    """Return ``names`` and the companion columns of free texts among them, for update_fields."""
    texts = {f.name for f in model._meta.local_concrete_fields if isinstance(f, FreeTextField)}
    return [*names, *(statement_name(name) for name in names if name in texts)]


class FreeTextAttribute(DeferredAttribute):
    """Wraps what is assigned, and hands the stored detection to what was loaded."""

    def __get__(self, instance: models.Model | None, cls: type | None = None) -> Any:
        value = super().__get__(instance, cls)
        if instance is not None and isinstance(value, FreeText) and value._is_loaded:
            value._is_loaded = False
            value.believe(instance.__dict__.get(statement_name(self.field.attname)) or "")
        return value

    def __set__(self, instance: models.Model, value: Any) -> None:
        # None stays None; an expression for the database stays one.
        if isinstance(value, (str, Promise)):
            value = FreeText(value)
        instance.__dict__[self.field.attname] = value


class FreeTextFormField(CharField):
    """A form's text field that can start from a stored text: the writer edits the raw words."""

    def prepare_value(self, value: Any) -> Any:
        return value.raw if isinstance(value, FreeText) else value


class FreeTextField(models.TextField):
    """A text column whose values are ``FreeText``, with a companion ``<name>_statement`` column.

    ``with_statement=False`` stands in migrations, where the companion is listed as a column of its
    own and must not be brought along a second time.
    """

    descriptor_class = FreeTextAttribute

    def __init__(self, *args: Any, with_statement: bool = True, **kwargs: Any) -> None:
        self.with_statement = with_statement
        super().__init__(*args, **kwargs)

    def deconstruct(self) -> Any:
        name, path, args, kwargs = super().deconstruct()
        return name, path, args, {**kwargs, "with_statement": False}

    def contribute_to_class(
        self, cls: type[models.Model], name: str, private_only: bool = False
    ) -> None:
        super().contribute_to_class(cls, name, private_only)
        if self.with_statement:
            # Made now, hence later in creation order: saved after the text has been read.
            field: models.CharField[str, str] = models.CharField(
                max_length=40, default="", blank=True, editable=False
            )
            field.contribute_to_class(cls, statement_name(name))
            # Copies of this field (inheritance, altered tables) come with a copy of the companion.
            self.with_statement = False

    def check(self, **kwargs: Any) -> list[checks.CheckMessage]:
        faults = super().check(**kwargs)
        if self.null:
            hint = "Leave null out; an empty text says that nothing was written."
            faults.append(
                checks.Error("A free text is never NULL.", hint=hint, obj=self, id="core.E001")
            )
        return faults

    @cached_property
    def validators(self) -> list[Any]:
        found = [*super().validators, validators.ProhibitNullCharactersValidator(), _no_surrogate]
        if self.max_length is not None:
            found.append(validators.MaxLengthValidator(self.max_length))
        return found

    def from_db_value(self, value: str | None, expression: Any, connection: Any) -> Any:
        return None if value is None else FreeText(value, is_loaded=True)

    def to_python(self, value: Any) -> Any:
        """Return the plain string: what validators and lookups work on."""
        return value.raw if isinstance(value, FreeText) else super().to_python(value)

    def clean(self, value: Any, model_instance: models.Model | None) -> Any:
        cleaned = super().clean(value, model_instance)
        return None if cleaned is None else FreeText(cleaned)

    def get_prep_value(self, value: Any) -> Any:
        return value.raw if isinstance(value, FreeText) else super().get_prep_value(value)

    def pre_save(self, model_instance: models.Model, add: bool) -> Any:
        value = getattr(model_instance, self.attname)
        companion = statement_name(self.attname)
        if isinstance(value, FreeText) and hasattr(model_instance, companion):
            setattr(model_instance, companion, value.statement)
        return value

    def value_to_string(self, obj: models.Model) -> str:
        """Return the raw text for a dump or a backup, which are not shown to readers."""
        value = self.value_from_object(obj)
        return value.raw if isinstance(value, FreeText) else str(value or "")

    def formfield(self, **kwargs: Any) -> Any:
        return super().formfield(**{"form_class": FreeTextFormField, "widget": Textarea, **kwargs})


def _no_surrogate(raw: str) -> None:
    """Refuse half of a character pair, which no database can encode."""
    if any("\ud800" <= sign <= "\udfff" for sign in raw):
        raise ValidationError(_("This text holds a broken character."), code="broken_character")


def on_eating_q(field_name: str) -> models.Q:
    """Return the condition for rows whose text of ``field_name`` was found to speak of eating."""
    companion = statement_name(field_name)
    return ~models.Q(**{companion: ""}) & ~models.Q(**{f"{companion}__contains": "::"})


def recompute_statements(
    model: type[models.Model], field_name: str, *, chunk: int = 500
) -> tuple[int, int]:
    """Find anew what stored texts say on eating, where the stored word is old or of another text.

    Works through the rows by key in short transactions and is safe to run twice. A text changed
    meanwhile keeps its text: only the companion column is written, and its checksum tells a
    mismatch. Returns (rows read, rows changed).
    """
    companion = statement_name(field_name)
    read = changed = 0
    last = None
    while True:
        rows = model._base_manager.order_by("pk")
        if last is not None:
            rows = rows.filter(pk__gt=last)
        batch = list(rows.only("pk", field_name, companion)[:chunk])
        if not batch:
            return read, changed
        read += len(batch)
        last = batch[-1].pk
        stale = []
        for row in batch:
            text = getattr(row, field_name)
            fresh = text.statement if text else ""
            if getattr(row, companion) != fresh:
                setattr(row, companion, fresh)
                stale.append(row)
        with transaction.atomic():
            model._base_manager.bulk_update(stale, [companion])
        changed += len(stale)
