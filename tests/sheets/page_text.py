"""A page as a reader meets it: the texts it shows, and its elements."""

from __future__ import annotations

from html.parser import HTMLParser

SILENT = ("style", "script")


class PageText(HTMLParser):
    """Collects texts with the stack of classes around them, and every tag with its attributes."""

    VOID = frozenset({"meta", "wbr", "br", "link", "img"})

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[str] = []
        self.in_bdi: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self._open: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self._open and self._open.pop() == tag, f"a stray </{tag}>"

    def handle_data(self, data: str) -> None:
        if not data.strip() or (self._open and self._open[-1] in SILENT):
            return
        self.texts.append(" ".join(data.split()))
        if "bdi" in self._open:
            self.in_bdi.append(" ".join(data.split()))

    def close(self) -> None:
        super().close()
        assert not self._open, f"left open: {self._open}"

    def classes(self, name: str) -> int:
        """How many elements have a class."""
        return sum(name in (attrs.get("class") or "").split() for _, attrs in self.tags)
