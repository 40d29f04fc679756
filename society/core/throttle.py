"""Counting tries within a window, in the database so that every process sees the same count."""

import datetime as dt

from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.crypto import salted_hmac

from society.core.models import ThrottleCount


def tries_counted(purpose: str, who: str, *, window_minutes: int) -> int:
    """Count one more try of ``purpose`` by ``who`` and return how many this window holds."""
    now = timezone.now()
    minutes = now.hour * 60 + now.minute
    start = now.replace(hour=0, minute=0, second=0, microsecond=0) + dt.timedelta(
        minutes=minutes - minutes % window_minutes
    )
    key = salted_hmac(f"throttle.{purpose}", who, secret=settings.SECRET_KEY).hexdigest()
    with transaction.atomic():
        row, _ = ThrottleCount.objects.get_or_create(key=key, window_start=start)
        ThrottleCount.objects.filter(pk=row.pk).update(count=F("count") + 1)
        ThrottleCount.objects.filter(window_start__lt=now - dt.timedelta(days=1)).delete()
    return row.count + 1


def tries_forgotten(purpose: str, who: str) -> None:
    """Forget the tries of ``who``, as after a success."""
    key = salted_hmac(f"throttle.{purpose}", who, secret=settings.SECRET_KEY).hexdigest()
    ThrottleCount.objects.filter(key=key).delete()
