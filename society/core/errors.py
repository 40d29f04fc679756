"""What a service raises when it will not do what was asked."""

from collections.abc import Mapping

from django.core.exceptions import PermissionDenied


class Refused(Exception):
    """A change that was not made, with a sentence for the person and a code for the program.

    ``field`` names the form field the sentence belongs beside, where there is one.
    """

    def __init__(self, message: object, code: str, *, field: str | None = None) -> None:
        super().__init__(str(code))
        self.message = message
        self.code = code
        self.field = field


class NotPermitted(Refused, PermissionDenied):
    """The asker may see the thing but may not do this to it: Django answers 403 for a page."""

    def __init__(self, message: object, code: str = "not_permitted") -> None:
        super().__init__(message, code)


class Conflict(Refused):
    """Somebody changed it meanwhile; both versions are kept. ``theirs`` is the stored one."""

    def __init__(self, message: object, theirs: Mapping[str, object] | None = None) -> None:
        super().__init__(message, "conflict")
        self.theirs = dict(theirs or {})
