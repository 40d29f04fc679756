"""Reading pages as text."""

from django.test import Client

from society.finds.models import Find


def text(client: Client, address: str, status: int = 200) -> str:
    """Return a page with runs of spaces made one."""
    answer = client.get(address)
    assert answer.status_code == status, address
    return " ".join(answer.content.decode().split())


def find_address(find: Find) -> str:
    return f"/finds/{find.year}/{find.number}/"
