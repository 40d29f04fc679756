"""The checklist, the vocabulary of characters, and the species accounts."""

from society.names.models.accounts import (
    Account,
    AccountReading,
    AccountSpores,
    AccountState,
    Usual,
)
from society.names.models.checklist import (
    HOST_GROUPS,
    ChecklistStamp,
    Danger,
    Form,
    Group,
    ListedStatus,
    LookAlike,
    Need,
    Rank,
    Sensitivity,
    Taxon,
    TaxonQuerySet,
    TaxonSplit,
    VernacularName,
)
from society.names.models.files import ChecklistFile
from society.names.models.vocabulary import Character, CharacterState, Exposed, TurnedColour

__all__ = [
    "HOST_GROUPS",
    "Account",
    "AccountReading",
    "AccountSpores",
    "AccountState",
    "Character",
    "CharacterState",
    "ChecklistFile",
    "ChecklistStamp",
    "Danger",
    "Exposed",
    "Form",
    "Group",
    "ListedStatus",
    "LookAlike",
    "Need",
    "Rank",
    "Sensitivity",
    "Taxon",
    "TaxonQuerySet",
    "TaxonSplit",
    "TurnedColour",
    "Usual",
    "VernacularName",
]
