"""Where a key stands: line numbers of every key of a TOML text.

A small scanner, run only when there is something to complain about. It also works on text that
is not valid TOML, as far as it gets, so that a syntax error can name the key it stands in. (A
full document parser would do too, but takes half a minute over a megabyte of blank lines.)
"""

import re
from dataclasses import dataclass, field

Location = tuple[str | int, ...]

_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"""(?!")|\'\'\'.*?\'\'\'(?!\')'
    r'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*|[\[\]{},=.\n]|[ \t\r]+|[^\s"\'#\[\]{},=.]+|.',
    re.S,
)
MAX_DEPTH = 60


@dataclass
class KeyLines:
    """Result of a scan.

    Attributes
    ----------
    lines : dict
        Line (from 1) of each place; lists count from 0, as in the parsed data.
    repeated : list of (location, first line, second line)
        Keys and tables that stand twice.
    statements : list of (line, location)
        Every ``key =`` and every header in order.
    lone_quote : int or None
        Line of the first quote that is never closed.
    """

    lines: dict[Location, int] = field(default_factory=dict)
    repeated: list[tuple[Location, int, int]] = field(default_factory=list)
    statements: list[tuple[int, Location]] = field(default_factory=list)
    lone_quote: int | None = None

    def line_of(self, location: Location) -> int | None:
        """Line of a place, or of the nearest place above it that the file has."""
        for end in range(len(location), 0, -1):
            if (line := self.lines.get(location[:end])) is not None:
                return line
        return None

    def statement_at(self, line: int) -> tuple[int, Location] | None:
        """The statement that a line belongs to."""
        earlier = [statement for statement in self.statements if statement[0] <= line]
        return earlier[-1] if earlier else None


class _Scanner:
    def __init__(self, text: str) -> None:
        self.tokens = _TOKEN.findall(text)
        self.place = 0
        self.line = 1
        self.found = KeyLines()
        self.table: Location = ()
        self.lists: dict[Location, int] = {}
        self.headers: set[Location] = set()

    def peek(self) -> str:
        return self.tokens[self.place] if self.place < len(self.tokens) else ""

    def take(self) -> str:
        token = self.peek()
        self.place += 1
        if token in ("'", '"') and self.found.lone_quote is None:
            self.found.lone_quote = self.line
        self.line += token.count("\n")
        return token

    def skip(self, newlines: bool) -> None:
        while (token := self.peek()) and (token[0] in " \t\r#" or (newlines and token == "\n")):
            self.take()

    def scan(self) -> KeyLines:
        while self.peek():
            self.skip(newlines=True)
            if self.peek() == "[":
                self.header()
            elif self.peek():
                self.key_and_value(self.table, statement=True)
            while self.peek() not in ("\n", ""):
                self.take()
        return self.found

    def key(self) -> Location:
        """Parts of a dotted key."""
        parts: list[str] = []
        dotted = True
        while self.peek() not in ("=", "]", "\n", "", "{", "}", ",", "["):
            token = self.peek()
            if token.strip(" \t\r") and token != ".":
                if not dotted:
                    break
                parts.append(_unquoted(token))
                dotted = False
            dotted = dotted or token == "."
            self.take()
        return tuple(parts)

    def header(self) -> None:
        line = self.line
        self.take()
        double = self.peek() == "["
        if double:
            self.take()
        named = self.resolve(self.key())
        while self.peek() == "]":
            self.take()
        if double:
            count = self.lists.get(named, -1) + 1
            self.lists[named] = count
            self.found.lines.setdefault(named, line)
            self.table = (*named, count)
        else:
            self.table = named
            if named in self.headers:
                self.found.repeated.append((named, self.found.lines.get(named, line), line))
            self.headers.add(named)
        self.note(self.table, line, again=True)
        self.found.statements.append((line, self.table))

    def resolve(self, named: Location) -> Location:
        """A header's name with the number of the list entry that it extends."""
        place: Location = ()
        for part in named[:-1]:
            place = (*place, part)
            if place in self.lists:
                place = (*place, self.lists[place])
        return (*place, *named[-1:])

    def note(self, location: Location, line: int, again: bool = False) -> None:
        for end in range(1, len(location)):
            self.found.lines.setdefault(location[:end], line)
        if location in self.found.lines and not again:
            self.found.repeated.append((location, self.found.lines[location], line))
        if again:
            self.found.lines[location] = line
        else:
            self.found.lines.setdefault(location, line)

    def key_and_value(self, table: Location, statement: bool = False, depth: int = 0) -> None:
        line = self.line
        location = (*table, *self.key())
        if location != table:
            self.note(location, line)
            if statement:
                self.found.statements.append((line, location))
        if self.peek() == "=":
            self.take()
            self.value(location, depth)

    def value(self, location: Location, depth: int) -> None:
        self.skip(newlines=False)
        if self.peek() not in ("[", "{") or depth > MAX_DEPTH:
            return
        inline, closing = self.peek() == "{", "}" if self.peek() == "{" else "]"
        self.take()
        entry = 0
        while self.peek() not in (closing, ""):
            self.skip(newlines=True)
            before = self.place
            if inline:
                self.key_and_value(location, depth=depth + 1)
            elif self.peek() not in (closing, ""):
                self.found.lines.setdefault((*location, entry), self.line)
                self.value((*location, entry), depth + 1)
                entry += 1
            while self.peek() not in (",", closing, ""):
                self.take()
            if self.peek() == ",":
                self.take()
                self.skip(newlines=True)
            elif self.place == before and self.peek() != closing:
                return
        self.take()


def _unquoted(token: str) -> str:
    if token[0] not in "\"'" or len(token) < 2:
        return token
    body = token[1:-1]
    if token[0] == "'" or "\\" not in body:
        return body
    return re.sub(r"\\u([0-9A-Fa-f]{4})", lambda m: chr(int(m[1], 16)), body)


def key_lines(text: str) -> KeyLines:
    """Scan a text; never raises, whatever the text."""
    return _Scanner(text).scan()


def key_text(location: Location) -> str:
    """A place as told to people: lists count from 1, ``visit[1].condition[2].air.airflow``.

    A name of more than 60 characters is cut; no key is that long.
    """
    text = ""
    for part in location:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part[:60]}" if text else part[:60]
    return text


def key_location(text: str) -> Location:
    """Inverse of `key_text`.

    Examples
    --------
    >>> key_location("visit[1].condition[2].air.airflow")
    ('visit', 0, 'condition', 1, 'air', 'airflow')
    """
    place: list[str | int] = []
    for name, number in re.findall(r"([^.\[\]]+)|\[(\d+)\]", text):
        place.append(name if name else int(number) - 1)
    return tuple(place)
