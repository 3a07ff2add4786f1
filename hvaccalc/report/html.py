"""Blocks as one HTML file that stands by itself: no script, no outside address, made to be printed.

The page carries a digest of itself, so that a page somebody has written into is told from one that
may be replaced.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Sequence
from functools import singledispatch
from html import escape

from hvaccalc.report.blocks import Block, Caution, Figure, Heading, Items, KeyValues, Paragraph, Table, Tag
from hvaccalc.report.page_style import STYLE
from hvaccalc.words.labels import printable

_STAMP = '<meta name="hvaccalc-memo" content="sha256-{}">'
_STAMPED = re.compile(re.escape(_STAMP).replace(r"\{\}", "([0-9a-f]{64})"))
_BLANK = "0" * 64

_PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
{stamp}
<title>{title}</title>
<style>
{style}</style>
</head>
<body>
<a class="skip" href="#memo">Skip to the memo</a>
{contents}
<main id="memo" tabindex="-1">
{body}
</main>
</body>
</html>
"""


def page(blocks: Iterable[Block], title: str) -> str:
    """One whole page.

    Parameters
    ----------
    blocks : iterable of Block
    title : str
        For the window and the list of files.

    Returns
    -------
    str
        The same blocks give the same page, byte for byte.
    """
    sections = _sections(tuple(blocks))
    filled = _PAGE.format(
        stamp=_STAMP.format(_BLANK),
        title=_text(title),
        style=STYLE,
        contents=_contents(sections),
        body="\n".join(_section(number, section) for number, section in enumerate(sections)),
    )
    return filled.replace(_STAMP.format(_BLANK), _STAMP.format(_digest(filled)), 1)


def untouched(text: str) -> bool:
    """Whether a page was written by `page` and nobody has changed it since.

    Examples
    --------
    >>> written = page((Heading("A memo", 1),), "A memo")
    >>> untouched(written), untouched(written.replace("A memo", "My memo")), untouched("<p>mine</p>")
    (True, False, False)
    """
    stamp = _STAMPED.search(text)
    if stamp is None:
        return False
    blank = text.replace(stamp[0], _STAMP.format(_BLANK), 1)
    return _digest(blank) == stamp[1]


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _sections(blocks: Sequence[Block]) -> list[list[Block]]:
    """The blocks cut before each heading of level 2; what comes before the first is section 0."""
    sections: list[list[Block]] = [[]]
    for block in blocks:
        if isinstance(block, Heading) and block.level == 2:
            sections.append([])
        sections[-1].append(block)
    return sections


def _contents(sections: Sequence[Sequence[Block]]) -> str:
    links = [
        f'<li><a href="#part-{number}">{_text(section[0].text)}</a></li>'
        for number, section in enumerate(sections)
        if number and isinstance(section[0], Heading)
    ]
    if not links:
        return ""
    return '<nav aria-label="Contents"><ol>\n' + "\n".join(links) + "\n</ol></nav>"


def _section(number: int, blocks: Sequence[Block]) -> str:
    inner = "\n".join(render(block) for block in blocks)
    if number == 0:
        return f"<header>\n{inner}\n</header>"
    return f'<section id="part-{number}">\n{inner}\n</section>'


def _text(text: str) -> str:
    """Text of anybody, as text."""
    return escape(printable(text))


def _led(text: str, lead: str) -> str:
    return f"<strong>{_text(lead)}</strong> {_text(text)}" if lead else _text(text)


@singledispatch
def render(block: object) -> str:
    """One block as HTML."""
    raise TypeError(f"not a block: {type(block).__name__}")


@render.register
def _heading(block: Heading) -> str:
    return f"<h{block.level}>{_text(block.text)}</h{block.level}>"


@render.register
def _paragraph(block: Paragraph) -> str:
    if block.quoted:
        return f"<blockquote><p>{_text(block.text)}</p></blockquote>"
    return f"<p>{_led(block.text, block.lead)}</p>"


@render.register
def _items(block: Items) -> str:
    tag = "ol" if block.ordered else "ul"
    rows = "\n".join(f"<li>{_led(item.text, item.lead)}</li>" for item in block.items)
    return f"<{tag}>\n{rows}\n</{tag}>"


@render.register
def _table(block: Table) -> str:
    head = "".join(f'<th scope="col">{_text(cell)}</th>' for cell in block.header)
    rows = "\n".join(
        f'<tr><th scope="row">{_text(row[0])}</th>'
        + "".join(f"<td>{_text(c)}</td>" for c in row[1:])
        + "</tr>"
        for row in block.rows
    )
    caption = _text(block.caption)
    return (
        f'<div class="table" role="region" tabindex="0" aria-label="{caption}"><table>\n'
        f"<caption>{caption}</caption>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}\n</tbody>\n</table></div>"
    )


@render.register
def _key_values(block: KeyValues) -> str:
    rows = "\n".join(f"<div><dt>{_text(k)}</dt><dd>{_text(v)}</dd></div>" for k, v in block.rows)
    return f"<dl>\n{rows}\n</dl>"


@render.register
def _figure(block: Figure) -> str:
    return (
        f"<figure>\n{block.svg}\n<figcaption>{_led(block.caption, block.title + '.')}</figcaption>\n</figure>"
    )


@render.register
def _caution(block: Caution) -> str:
    rows = "\n".join(f"<li>{_led(item.text, item.lead)}</li>" for item in block.items)
    title = _text(block.title)
    head = f'<aside class="caution" aria-label="{title}">\n'
    return f"{head}<p><strong>{title}</strong></p>\n<ul>\n{rows}\n</ul>\n</aside>"


@render.register
def _tag(block: Tag) -> str:
    rows = "\n".join(f"<div><dt>{_text(k)}</dt><dd>{_text(v)}</dd></div>" for k, v in block.rows)
    title = _text(block.title)
    head = f'<aside class="tag" aria-label="{title}">\n<p><strong>{title}</strong></p>\n'
    return f"{head}<dl>\n{rows}\n</dl>\n<p><strong>{_text(block.last)}</strong></p>\n</aside>"
