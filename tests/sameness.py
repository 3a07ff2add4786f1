"""Whether two outputs are the same to a reader: one comparer for notebooks, memos and `tests.compare`.

Another processor rounds the last bits otherwise, so outputs are not compared byte by byte. Structure and
words are the same exactly, places in a picture within half a pixel, a printed number within one in its last
printed place, raw floats of JSON to eight digits. A whole number is a name or a count unless a unit
follows it: "circuit 2", "cool 1" and a date never pass for their neighbours.
"""

from __future__ import annotations

import base64
import difflib
import json
import math
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from itertools import islice, pairwise

from hvaccalc import units
from hvaccalc.unit_table import KINDS

PIXEL = 0.5
"""Places in a picture closer than this are one place [user units; a picture is drawn 1:1]."""

RELATIVE, NOTHING = 1e-8, 1e-9
"""Raw floats [1 of themselves; SI]. What is iterated, or is left of two nearly equal temperatures, keeps
nine decimals rather than digits."""

MOST = 40
"""Differences named of one output."""

_WHOLE = {unit for kind in KINDS.values() for unit, decimals in (kind.us, kind.metric) if decimals == 0}
# Amounts of water are printed to two digits, whatever their size.
_WHOLE |= {"gal/h", "gal/day", "L/h", "L/day"}
_UNIT = "|".join(
    re.escape(units.DISPLAY_NAMES.get(unit, unit)) for unit in sorted(_WHOLE, key=len, reverse=True)
)
_NUMBER = re.compile(r"(?<![\w.,:/-])[-−+]?(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?(?![\w:/]|[-,.]\d|-\w)")
_IN_UNITS = re.compile(rf"\s*(?:{_UNIT})(?![\w/])")
_BAND = re.compile(
    rf"(?:\(|%: )[-−]?[\d.,]+ to [-−]?[\d.,]+|[-−]?[\d.,]+ to [-−]?[\d.,]+(?= (?:{_UNIT})(?![\w/]))"
)
_PLACES = {"x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "rx", "ry", "width", "height", "points"}
_FLOAT = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?")
_MOVED = re.compile(r"translate\(([^)]*)\)")
_STEP = re.compile(r"[A-Za-z]|" + _FLOAT.pattern)
_GLYPH = re.compile(r"#?.*DejaVuSans[A-Za-z-]*-([0-9a-f]+)$")
_HASHED = re.compile(r"(?<=[pmh])[0-9a-f]{10}\b")
_WITHIN_A_LINE = {"a", "b", "code", "em", "i", "span", "strong", "sub", "sup", "tspan"}
_PICTURE = "data:image/svg+xml;base64,"

Piece = tuple[str, str, str]
"""What it is (tag, attribute, text), its key, its text."""


def text_differs(was: str, now: str) -> bool:
    """Whether two texts differ in a word, or in a number by more than one in its last place."""
    if was == now:
        return False
    if _NUMBER.sub("#", was) != _NUMBER.sub("#", now):
        return True
    pairs = zip(_NUMBER.finditer(was), _NUMBER.finditer(now), strict=True)
    return any(_number_differs(a, b) for a, b in pairs)


def _number_differs(was: re.Match[str], now: re.Match[str]) -> bool:
    a, b = was[0], now[0]
    if a == b:
        return False
    if not (_measured(was) and _measured(now)):
        return True
    finer, coarser = sorted(10.0 ** -len(n.partition(".")[2]) for n in (a, b))
    # A number that lost its closing zero, as in "6" for 6.0, has not grown coarser.
    allowed = max(finer, coarser / 2.0)
    return abs(_value(a) - _value(b)) > allowed * (1.0 + 1e-9)


def _measured(found: re.Match[str]) -> bool:
    """Whether a number is a reading or a result: it has decimals, a unit, or is an end of a band."""
    if "." in found[0] or _IN_UNITS.match(found.string, found.end()):
        return True
    return any(band.start() <= found.start() < band.end() for band in _BAND.finditer(found.string))


def _value(text: str) -> float:
    return float(text.replace(",", "").replace("−", "-"))


class _Pieces(HTMLParser):
    """A page or picture as its tags, attributes and texts, in order; what no reader sees is left out."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.pieces: list[Piece] = []
        self._ids: dict[str, str] = {}
        self._lettering = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {key: value or "" for key, value in attrs}
        if tag == "use" and (glyph := _GLYPH.match(given.get("xlink:href", ""))):
            self._lettering += chr(int(glyph[1], 16))
            return
        if tag == "defs" or tag == "path" and _GLYPH.match(given.get("id", "")):
            return
        if tag == "meta" and given.get("name") == "hvaccalc-memo":
            return  # A sum of the page's bytes.
        self._flush()
        self.pieces.append(("tag", tag, f"<{tag}>"))
        for key, value in given.items():
            if value.startswith(_PICTURE):
                self.pieces += pieces(base64.b64decode(value.removeprefix(_PICTURE)).decode("utf-8"))
            else:
                self.pieces.append(("attribute", key, _HASHED.sub(self._in_order, value)))

    def handle_endtag(self, tag: str) -> None:
        if tag not in ("use", "defs", "path"):
            self._flush()
            self.pieces.append(("tag", tag, f"</{tag}>"))

    def handle_data(self, data: str) -> None:
        if data.strip():
            self._flush()
            self.pieces.append(("text", "", " ".join(data.split())))

    def close(self) -> None:
        super().close()
        self._flush()

    def _flush(self) -> None:
        if self._lettering:
            self.pieces.append(("text", "", self._lettering))
            self._lettering = ""

    def _in_order(self, found: re.Match[str]) -> str:
        """Names made of a sum of what they name: by their order."""
        return self._ids.setdefault(found[0], f"({len(self._ids) + 1})")


def pieces(page: str) -> list[Piece]:
    """A page or picture, piece by piece."""
    parser = _Pieces()
    parser.feed(page)
    parser.close()
    return parser.pieces


def _piece_differs(was: Piece, now: Piece) -> bool:
    if was[:2] != now[:2]:
        return True
    what, key, text = was
    if text == now[2]:
        return False
    if what == "attribute" and key == "d":
        return _path_differs(text, now[2])
    if what == "attribute" and key == "transform":
        moved = [" ".join(_MOVED.findall(one[2])) for one in (was, now)]
        return _MOVED.sub("", text) != _MOVED.sub("", now[2]) or _places_differ(*moved)
    if what == "attribute" and key in _PLACES:
        return _places_differ(text, now[2])
    return text_differs(text, now[2])


def _places_differ(was: str, now: str) -> bool:
    if _FLOAT.sub("#", was) != _FLOAT.sub("#", now):
        return True
    pairs = zip(_FLOAT.findall(was), _FLOAT.findall(now), strict=True)
    return any(abs(float(a) - float(b)) > PIXEL for a, b in pairs)


def _path_differs(was: str, now: str) -> bool:
    """Whether two paths part: step by step, else as lines, for one may pass a corner that the other names."""
    a, b = _STEP.findall(was), _STEP.findall(now)
    if [s if s.isalpha() else "#" for s in a] == [s if s.isalpha() else "#" for s in b]:
        pairs = zip(a, b, strict=True)
        return any(not x.isalpha() and abs(float(x) - float(y)) > PIXEL for x, y in pairs)
    first, second = _line(a), _line(b)
    if first is None or second is None:
        return True
    return any(_off(p, second) > PIXEL for p in first) or any(_off(p, first) > PIXEL for p in second)


def _line(steps: list[str]) -> list[tuple[float, float]] | None:
    """Corners of a path made of one straight stroke after another; None for any other."""
    letters = [s for s in steps if s.isalpha()]
    if letters[:1] != ["M"] or letters.count("M") != 1 or set(letters) - {"M", "L", "z"}:
        return None
    numbers = [float(s) for s in steps if not s.isalpha()]
    corners = list(zip(numbers[::2], numbers[1::2], strict=True))
    return corners + corners[:1] if letters[-1] == "z" else corners


def _off(point: tuple[float, float], line: list[tuple[float, float]]) -> float:
    """Distance of a point from a line of corners."""

    def from_stroke(a: tuple[float, float], b: tuple[float, float]) -> float:
        dx, dy = b[0] - a[0], b[1] - a[1]
        long = dx * dx + dy * dy
        t = 0.0 if long == 0.0 else ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / long
        t = min(max(t, 0.0), 1.0)
        return math.hypot(a[0] + t * dx - point[0], a[1] + t * dy - point[1])

    return min((from_stroke(a, b) for a, b in pairwise(line)), default=math.inf)


def page_differences(was: str, now: str) -> list[str]:
    """What a reader would see changed between two pages, pictures or texts of marked-up words."""
    if was == now:
        return []
    before, after = pieces(was), pieces(now)
    if len(before) == len(after):
        changed = [(a, b) for a, b in zip(before, after, strict=True) if _piece_differs(a, b)]
        unread = [f"{a[1]} was: {_short(a[2])} | now: {_short(b[2])}" for a, b in changed if a[0] != "text"]
        if not changed:
            return []
    else:
        unread = [f"{len(before)} tags, attributes and texts, now {len(after)}"]
    return [*_sequences(_lines(before), _lines(after), text_differs, str), *unread][:MOST]


def _lines(page: list[Piece]) -> list[str]:
    """What a page says, a paragraph, cell or label a line."""
    lines = [""]
    for what, tag, text in page:
        if what == "text":
            lines[-1] = f"{lines[-1]} {text}".strip()
        elif what == "tag" and tag not in _WITHIN_A_LINE and lines[-1]:
            lines.append("")
    return lines if lines[-1] else lines[:-1]


def text_differences(was: str, now: str) -> list[str]:
    """What a reader would see changed between two plain texts, line by line; a unit may stand on the next."""
    if not text_differs(was, now):
        return []
    return list(_sequences(was.splitlines(), now.splitlines(), text_differs, str))[:MOST]


def _sequences(was: list, now: list, differs, shown) -> Iterator[str]:
    if len(was) == len(now):
        for a, b in zip(was, now, strict=True):
            if differs(a, b):
                yield f"was: {_short(shown(a))} | now: {_short(shown(b))}"
        return
    plain = [[_NUMBER.sub("#", shown(one)) for one in side] for side in (was, now)]
    for kind, a, b, c, d in difflib.SequenceMatcher(None, *plain, autojunk=False).get_opcodes():
        if kind == "equal":
            yield from _sequences(was[a:b], now[c:d], differs, shown)
        elif b - a == d - c:
            yield from _sequences(was[a:b], now[c:d], differs, shown)
        else:
            gone, new = (" ".join(shown(x) for x in side) for side in (was[a:b], now[c:d]))
            yield f"was: {_short(gone)} | now: {_short(new)}"


def _short(text: str) -> str:
    return text if len(text) <= 300 else text[:297] + "..."


def data_differences(was: object, now: object, most: int = MOST) -> list[str]:
    """What changed between two values as JSON holds them."""
    return list(islice(_data(was, now, ""), most))


def _data(was: object, now: object, place: str) -> Iterator[str]:
    if isinstance(was, dict) and isinstance(now, dict):
        for key in {**was, **now}:
            where = f"{place}.{key}"
            if key not in was or key not in now:
                gone, new = (_short(json.dumps(side.get(key))) for side in (was, now))
                yield f"{where}: new: {new}" if key in now else f"{where}: gone: {gone}"
            else:
                yield from _data(was[key], now[key], where)
    elif isinstance(was, list) and isinstance(now, list):
        if len(was) != len(now):
            yield f"{place}: {len(was)} entries, now {len(now)}"
        for n, (a, b) in enumerate(zip(was, now, strict=False)):
            yield from _data(a, b, f"{place}[{n}]")
    elif isinstance(was, float) and isinstance(now, float):
        same = (
            math.isclose(was, now, rel_tol=RELATIVE, abs_tol=NOTHING) or math.isnan(was) and math.isnan(now)
        )
        if not same:
            yield f"{place}: was: {was!r} | now: {now!r}"
    elif isinstance(was, str) and isinstance(now, str):
        if text_differs(was, now):
            yield f"{place}: was: {_short(was)} | now: {_short(now)}"
    elif type(was) is not type(now) or was != now:
        yield f"{place}: was: {_short(json.dumps(was))} | now: {_short(json.dumps(now))}"


def notebook_differences(stored: list, run: list) -> list[str]:
    """What changed between the outputs of a cell as stored and as run: streams joined, by kind."""
    was, now = _outputs(stored), _outputs(run)
    if list(was) != list(now):
        return [f"mismatch: stored {', '.join(was) or 'nothing'}; ran to {', '.join(now) or 'nothing'}"]
    changed = []
    for form in was:
        marked = any(word in form for word in ("html", "svg"))
        found = (page_differences if marked else text_differences)(was[form], now[form])
        changed += [f"mismatch '{form}': {one}" for one in found]
    return changed


def _outputs(outputs: list) -> dict[str, str]:
    """Texts of a cell's outputs by form, in the order of the forms; widget views have random names."""
    found: dict[str, str] = {}
    for output in outputs:
        forms = (
            {output["name"]: output["text"]} if output["output_type"] == "stream" else output.get("data", {})
        )
        if output["output_type"] == "error":
            forms = {"error": f"{output['ename']}: {output['evalue']}"}
        for form, text in forms.items():
            if form != "application/vnd.jupyter.widget-view+json":
                found[form] = found.get(form, "") + (text if isinstance(text, str) else "".join(text))
    return dict(sorted(found.items()))
