"""Reads the sources of templates, and the pages made of them, for what must not be in them."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

from django.template.base import Lexer, Token, TokenType

from tests.contract.direction import ROOT

TEMPLATES = ROOT / "templates"
# Stands for what a tag or a variable will write: no letter, no space.
PUT = "\x1a"
# Tags whose own words are given to a translator, and their ends.
TRANSLATED = {"blocktranslate": "endblocktranslate", "blocktrans": "endblocktrans"}
# The block that fills a class attribute of the page's body.
CLASS_BLOCK = "block body_class"
READ_ALOUD = frozenset({"aria-label", "title", "placeholder", "alt", "label", "aria-description"})
TWO_LETTERS = re.compile(r"[^\W\d_]{2}")
# What may look at a free text without showing it, and what shows it through the gate.
LOOKS = frozenset({"if", "elif"})
# Takes a field of a form, which holds what its writer types.
FIELD_PARTIAL = 'include "parts/_field.html" with field='
GATE_TAGS = frozenset({"free_text", "free_text_line", "eating_note"})


def files() -> list[Path]:
    return sorted(path for path in TEMPLATES.rglob("*") if path.suffix in (".html", ".txt"))


def name_of(path: Path) -> str:
    return str(path.relative_to(TEMPLATES))


def tokens(source: str) -> Iterator[Token]:
    """Yield the tokens of a template that are not inside a comment."""
    in_comment = False
    for token in Lexer(source).tokenize():
        word = token.contents.split(" ", 1)[0] if token.token_type is TokenType.BLOCK else ""
        if word in ("comment", "endcomment"):
            in_comment = word == "comment"
        elif not in_comment and token.token_type is not TokenType.COMMENT:
            yield token


def bare_html(source: str) -> str:
    """Return a template's own HTML: what it writes by tags or a translator writes is put as PUT."""
    pieces: list[str] = []
    until = ""
    for token in tokens(source):
        if token.token_type is TokenType.BLOCK:
            word = token.contents.split(" ", 1)[0]
            if until:
                until = "" if word == until else until
            elif token.contents == CLASS_BLOCK:
                until = "endblock"
            else:
                until = TRANSLATED.get(word, "")
            pieces.append(PUT)
        elif token.token_type is TokenType.VAR:
            pieces.append(PUT)
        else:
            pieces.append(PUT if until else token.contents)
    return "".join(pieces)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.inline: list[str] = []
        self.texts: list[str] = []
        self._script = ""

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self._script = tag if tag in ("script", "style") else ""
        names = {name for name, _ in attributes}
        if tag == "style":
            self.inline.append("a <style> element")
        if tag == "script" and "src" not in names:
            self.inline.append("a <script> without src")
        for name, value in attributes:
            if name == "style" or re.fullmatch(r"on[a-z]+", name):
                self.inline.append(f"{name}= on <{tag}>")
            if (value or "").strip().lower().startswith("javascript:"):
                self.inline.append(f"a script in {name}= on <{tag}>")
            is_pressed = name == "value" and ("type", "submit") in attributes and tag == "input"
            if name in READ_ALOUD or is_pressed:
                self.texts.append(value or "")

    def handle_startendtag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attributes)
        self._script = ""

    def handle_endtag(self, tag: str) -> None:
        self._script = ""

    def handle_data(self, data: str) -> None:
        if self._script and data.replace(PUT, "").strip():
            self.inline.append(f"words inside <{self._script}>")
        elif not self._script:
            self.texts.append(data)


def _read(html: str) -> _Reader:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader


def inline_offences(html: str) -> list[str]:
    """Return what of ``html`` the content security policy would refuse to run or apply."""
    return _read(html).inline


def untranslated(source: str, *, is_plain: bool = False) -> list[str]:
    """Return words for people in a template that no translation tag holds."""
    html = bare_html(source)
    texts = [html] if is_plain else _read(html).texts
    pieces = [piece.strip() for text in texts for piece in text.split(PUT)]
    return [piece for piece in pieces if TWO_LETTERS.search(piece)]


def unescaped(source: str) -> list[str]:
    """Return the tags and filters of a template that write something without escaping it."""
    found = []
    for token in tokens(source):
        if token.token_type is TokenType.BLOCK and re.match(
            r"autoescape\s+off|filter\s.*\bsafe", token.contents
        ):
            found.append(token.contents)
        if token.token_type in (TokenType.VAR, TokenType.BLOCK) and re.search(
            r"\|\s*(safe|safeseq|striptags)\b", token.contents
        ):
            found.append(token.contents)
    return found


def free_text_offences(source: str, names: frozenset[str]) -> list[str]:
    """Return tags in which a free text (``names`` of fields) is written past the gate.

    A field of a form is no free text: it holds what its writer types.
    """
    wanted = re.compile(rf"(?<![\w.])([\w.]+)\.(?:{'|'.join(sorted(names))}|raw)(?![\w.])")
    offences = []
    for token in tokens(source):
        if token.token_type not in (TokenType.VAR, TokenType.BLOCK):
            continue
        is_block = token.token_type is TokenType.BLOCK
        word = token.contents.split(" ", 1)[0] if is_block else ""
        if token.contents.startswith(FIELD_PARTIAL):
            continue
        if re.search(r"\.raw\b", token.contents):
            offences.append(token.contents)
        elif word not in LOOKS | GATE_TAGS:
            owners = [match[1] for match in wanted.finditer(token.contents)]
            if any(not owner.split(".")[-1].endswith("form") for owner in owners):
                offences.append(token.contents)
    return offences
