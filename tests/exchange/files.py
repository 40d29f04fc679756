"""Reading back the files that the logbook gives out."""

import csv
import io
from typing import Any

from django.http import FileResponse, StreamingHttpResponse
from django.test import Client
from python_calamine import CalamineWorkbook


def csv_of(client: Client, path: str, **query: Any) -> tuple[list[str], list[dict[str, str]], str]:
    """Return the headings, the rows, and the full notice of a CSV."""
    answer = client.get(path, query)
    assert answer.status_code == 200
    assert isinstance(answer, StreamingHttpResponse)
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    content = answer.getvalue()
    assert content.startswith(b"\xef\xbb\xbf")
    text = content.decode("utf-8-sig")
    assert text.endswith("\r\n")
    read = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    headings, rows, last = read[0], read[1:-1], read[-1]
    assert {len(row) for row in read} == {len(headings)}
    assert len(set(headings)) == len(headings)
    assert headings[-1] == "notice"
    assert last[0] == "notice"
    return headings, [dict(zip(headings, row, strict=True)) for row in rows], last[-1]


def xlsx_of(client: Client, path: str, **query: Any) -> tuple[list[list[Any]], list[list[Any]]]:
    """Return the cells of the sheet with the notice and of the sheet with the rows."""
    answer = client.get(path, query)
    assert answer.status_code == 200
    assert isinstance(answer, FileResponse)
    book = CalamineWorkbook.from_filelike(io.BytesIO(answer.getvalue()))
    assert book.sheet_names == ["Notice", "Species"]
    notice, rows = (book.get_sheet_by_name(name) for name in book.sheet_names)
    return notice.to_python(skip_empty_area=False), rows.to_python(skip_empty_area=False)
