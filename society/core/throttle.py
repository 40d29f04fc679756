"""Counting tries within a window, in the database so that every process sees the same count."""

import datetime as dt
import ipaddress
from typing import Any

from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from society.core.models import ThrottleCount


def tries_counted(purpose: str, who: str, *, window_minutes: int) -> int:
    """Count one more try of ``purpose`` by ``who`` and return how many this window holds.

    Windows begin at midnight (UTC) and follow one another; a longer one than a day is cut there.
    """
    now = timezone.now()
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    window = dt.timedelta(minutes=window_minutes)
    row: dict[str, Any] = {
        "key": _key(purpose, who),
        "window_start": now - (now - midnight) % window,
    }
    with transaction.atomic():
        _, is_new = ThrottleCount.objects.get_or_create(**row)
        ThrottleCount.objects.filter(**row).update(count=F("count") + 1)
        if is_new:
            old = now - dt.timedelta(days=1)
            ThrottleCount.objects.filter(window_start__lt=old).delete()
        return ThrottleCount.objects.get(**row).count


def tries_forgotten(purpose: str, who: str) -> None:
    """Forget the tries of ``who``, as after a success."""
    ThrottleCount.objects.filter(key=_key(purpose, who)).delete()


def address_of(request: HttpRequest) -> str:
    """Return the network address a request came from.

    Behind TLS a proxy of ours stands before the site, on this machine or its inner network; it
    adds the address it saw at the end of X-Forwarded-For. Whatever else stands there anybody may
    have written.
    """
    near = request.META.get("REMOTE_ADDR", "")
    if not settings.TLS or not _is_inner(near):
        return near
    return request.headers.get("X-Forwarded-For", "").rsplit(",", 1)[-1].strip() or near


def _is_inner(address: str) -> bool:
    """Whether the address is of this machine or its own network; a socket file has none."""
    try:
        return not address or ipaddress.ip_address(address).is_private
    except ValueError:
        return False


def _key(purpose: str, who: str) -> str:
    return salted_hmac(f"throttle.{purpose}", who).hexdigest()
