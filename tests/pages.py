"""An answer as a person reads it: words, forms with their fields, and the sentences beside them."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser


@dataclass
class FormField:
    """One field of a form: what it would send as it stands, and what it offers."""

    name: str
    kind: str
    value: str = ""
    options: list[str] = field(default_factory=list)
    is_set: bool = True


@dataclass
class Form:
    """One form."""

    action: str
    method: str
    fields: dict[str, FormField] = field(default_factory=dict)

    @property
    def values(self) -> dict[str, str]:
        """What it would send as it stands."""
        return {one.name: one.value for one in self.fields.values() if one.is_set}


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.forms: list[Form] = []
        self.texts: list[str] = []
        self.errors: list[str] = []
        self.links: list[tuple[str, str]] = []
        self.handlers: list[str] = []
        self.scripts = 0
        self._form: Form | None = None
        self._select: FormField | None = None
        self._area: FormField | None = None
        self._link: str | None = None
        self._quiet = 0
        self._in_error = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {name: value or "" for name, value in attrs}
        self.handlers += [name for name in said if name.startswith("on")]
        self.scripts += tag == "script" and not said.get("src")
        if tag in ("script", "style"):
            self._quiet += 1
        elif tag == "form":
            self._form = Form(said.get("action", ""), said.get("method", "get"))
            self.forms.append(self._form)
        elif tag == "a" and "href" in said:
            self._link = said["href"]
            self.links.append((said["href"], ""))
        elif tag == "p" and "error" in said.get("class", "").split():
            self._in_error = True
            self.errors.append("")
        elif self._form is not None:
            self._field(tag, said)

    def _field(self, tag: str, said: dict[str, str]) -> None:
        name = said.get("name", "")
        if tag == "option" and self._select is not None:
            value = said.get("value", "")
            if not self._select.options or "selected" in said:
                self._select.value = value
            self._select.options.append(value)
        elif not name or tag == "button" or self._form is None:
            return
        elif tag == "select":
            self._select = self._form.fields.setdefault(name, FormField(name, "select"))
        elif tag == "textarea":
            self._area = self._form.fields.setdefault(name, FormField(name, "textarea"))
        elif tag == "input":
            self._input(self._form, name, said)

    @staticmethod
    def _input(form: Form, name: str, said: dict[str, str]) -> None:
        kind, value = said.get("type", "text"), said.get("value", "")
        if kind in ("radio", "checkbox"):
            one = form.fields.setdefault(name, FormField(name, kind, is_set=False))
            one.options.append(value)
            if "checked" in said:
                one.value, one.is_set = value, True
        else:
            form.fields[name] = FormField(name, kind, value, is_set=kind != "file")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("script", "style"):
            self._quiet -= 1
        elif tag == "form":
            self._form = None
        elif tag == "select":
            self._select = None
        elif tag == "textarea":
            if self._area is not None:
                self._area.value = self._area.value.removeprefix("\n")
            self._area = None
        elif tag == "a":
            self._link = None
        elif tag == "p":
            self._in_error = False

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area.value += data
            return
        if self._quiet:
            return
        self.texts.append(data)
        if self._in_error:
            self.errors[-1] += data
        if self._link is not None:
            address, words = self.links[-1]
            self.links[-1] = (address, words + data)


@dataclass
class Page:
    """One answer."""

    path: str
    status: int
    headers: dict[str, str]
    content: bytes

    @property
    def text(self) -> str:
        """The answer's text as sent."""
        return self.content.decode("utf-8", errors="replace")

    @cached_property
    def _read(self) -> _Reader:
        reader = _Reader()
        reader.feed(self.text)
        return reader

    @property
    def words(self) -> str:
        """What can be read, spaces squeezed."""
        return " ".join(" ".join(self._read.texts).split())

    @property
    def errors(self) -> list[str]:
        """The sentences beside fields."""
        return self._read.errors

    @property
    def forms(self) -> list[Form]:
        """Every form on the page."""
        return self._read.forms

    @property
    def links(self) -> list[tuple[str, str]]:
        """Every link: address and words."""
        return self._read.links

    @property
    def runs_inline(self) -> bool:
        """Whether anything in the page's own text would run: a handler, or a script that comes from no file."""
        return bool(self._read.handlers or self._read.scripts)

    def form(self, action: str, **holding: str) -> Form:
        """The form that leads somewhere, told from others by fields it holds."""
        found = [
            one
            for one in self.forms
            if one.action == action and all(one.values.get(name) == value for name, value in holding.items())
        ]
        assert found, f"no form of {self.path} leads to {action}: {[one.action for one in self.forms]}"
        return found[0]
