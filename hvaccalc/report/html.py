"""Blocks as one HTML file that stands by itself: no script, no outside address, made to be printed.

The page carries a digest of itself, so that a page somebody has written into is told from one that
may be replaced.
"""

import hashlib
import re
from collections.abc import Iterable, Sequence
from functools import singledispatch

from hvaccalc.report.blocks import Block, Caution, Figure, Heading, Items, KeyValues, Paragraph, Table, Tag
from hvaccalc.words.said import escaped

STYLE = """\
:root { --ink: #1b1f23; --quiet: #50575e; --rule: #b9c0c6; --tint: #f3f4f1; --mark: #24495c; }
* { box-sizing: border-box; }
html { font: 100%/1.45 ui-serif, Georgia, serif; }
body { margin: 0 auto; max-width: 47rem; padding: 1.5rem 1.25rem 4rem; color: var(--ink); background: #fff;
  overflow-wrap: anywhere; }
h1, h2, h3, dt, th, caption, figcaption, nav, .caution, .skip { font-family: Arial, sans-serif; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .6rem; color: var(--mark); }
h2 { font-size: 1.15rem; margin: 1.9rem 0 .5rem; padding-top: .45rem; border-top: 2px solid var(--mark);
  color: var(--mark); }
h3 { font-size: 1rem; margin: 1.2rem 0 .35rem; }
p, ul, ol, dl { margin: .45rem 0; }
ul, ol { padding-left: 1.35rem; }
li { margin: .28rem 0; }
blockquote { margin: .5rem 0; padding: .1rem 0 .1rem .9rem; border-left: 3px solid var(--rule);
  white-space: pre-line; }
dl { display: grid; gap: .15rem 1.2rem; grid-template-columns: repeat(auto-fit, minmax(19rem, 1fr)); }
dl div { display: flex; gap: .6rem; }
dt { flex: 0 0 7.2rem; color: var(--quiet); font-size: .9rem; padding-top: .1rem; }
dd { margin: 0; }
.table { overflow-x: auto; margin: .7rem 0 1rem; }
table { border-collapse: collapse; width: 100%; font-size: .88rem; line-height: 1.3; }
caption { text-align: left; font-weight: 600; padding: .2rem 0 .35rem; }
th, td { min-width: 4.6rem; text-align: left; vertical-align: top; padding: .22rem .6rem .22rem 0;
  border-bottom: 1px solid var(--rule); }
thead th { border-bottom: 2px solid var(--ink); vertical-align: bottom; }
tbody th { font-weight: 400; min-width: 7rem; }
figure { margin: 1rem 0; }
figure svg { display: block; width: 100%; height: auto; }
figcaption { font-size: .88rem; line-height: 1.35; color: var(--quiet); margin-top: .3rem; }
.caution { border: 2px solid var(--ink); border-left-width: .7rem; background: var(--tint);
  padding: .35rem .9rem;
  margin: .8rem 0; font-size: .95rem; }
.tag { border: 2px dashed var(--ink); padding: .5rem .9rem; margin: 1rem 0; max-width: 34rem; }
.tag dl { display: block; }
.tag dd { flex: 1; }
.tag dd:empty { border-bottom: 1px solid var(--ink); min-height: 1.5em; }
nav { background: var(--tint); padding: .6rem 1rem; margin-bottom: 1.6rem; font-size: .9rem; }
nav ol { margin: 0; columns: 2; column-gap: 2rem; }
nav a { color: var(--mark); }
a:focus-visible, .table:focus-visible { outline: 3px solid var(--mark); outline-offset: 2px; }
main:focus { outline: none; }
.skip { position: absolute; left: -100rem; }
.skip:focus { position: static; }
@media (max-width: 40rem) { nav ol { columns: 1; } }
@page { margin: 11mm 14mm 12mm; @bottom-right { content: counter(page) " / " counter(pages);
  font: 8pt Arial, sans-serif; color: #50575e; } }
@media print {
  html { font-size: 9.3pt; line-height: 1.3; }
  body { max-width: none; padding: 0; }
  nav, .skip { display: none; }
  h1 { font-size: 17pt; }
  h2 { font-size: 11pt; margin: 6.5pt 0 2pt; padding-top: 2pt; border-top-width: 1.2pt; }
  h3 { margin: 8pt 0 2pt; }
  p, ul, ol, dl { margin: 3pt 0; }
  li { margin: 1.6pt 0; }
  h1, h2, h3, caption, p:has(+ ul), p:has(+ ol) { break-after: avoid; }
  p, li { orphans: 2; widows: 2; }
  figure, .caution, .tag, tr, dl div, blockquote { break-inside: avoid; }
  figure { margin: 5pt 0; }
  .table { overflow: visible; margin: 4pt 0 7pt; }
  table { font-size: 8.6pt; }
  thead { display: table-header-group; }
  .caution { background: none; border-width: 1.2pt; border-left-width: 6pt; margin: 4pt 0; }
}
"""


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
        title=escaped(title),
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
        f'<li><a href="#part-{number}">{escaped(section[0].text)}</a></li>'
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


def _led(text: str, lead: str) -> str:
    return f"<strong>{escaped(lead)}</strong> {escaped(text)}" if lead else escaped(text)


@singledispatch
def render(block: object) -> str:
    """One block as HTML."""
    raise TypeError(f"not a block: {type(block).__name__}")


@render.register
def _heading(block: Heading) -> str:
    return f"<h{block.level}>{escaped(block.text)}</h{block.level}>"


@render.register
def _paragraph(block: Paragraph) -> str:
    if block.quoted:
        return f"<blockquote><p>{escaped(block.text)}</p></blockquote>"
    return f"<p>{_led(block.text, block.lead)}</p>"


@render.register
def _items(block: Items) -> str:
    tag = "ol" if block.ordered else "ul"
    rows = "\n".join(f"<li>{_led(item.text, item.lead)}</li>" for item in block.items)
    return f"<{tag}>\n{rows}\n</{tag}>"


@render.register
def _table(block: Table) -> str:
    head = "".join(f'<th scope="col">{escaped(cell)}</th>' for cell in block.header)
    rows = "\n".join(
        f'<tr><th scope="row">{escaped(row[0])}</th>'
        + "".join(f"<td>{escaped(c)}</td>" for c in row[1:])
        + "</tr>"
        for row in block.rows
    )
    caption = escaped(block.caption)
    return (
        f'<div class="table" role="region" tabindex="0" aria-label="{caption}"><table>\n'
        f"<caption>{caption}</caption>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}\n</tbody>\n</table></div>"
    )


@render.register
def _key_values(block: KeyValues) -> str:
    rows = "\n".join(f"<div><dt>{escaped(k)}</dt><dd>{escaped(v)}</dd></div>" for k, v in block.rows)
    return f"<dl>\n{rows}\n</dl>"


@render.register
def _figure(block: Figure) -> str:
    return (
        f"<figure>\n{block.svg}\n<figcaption>{_led(block.caption, block.title + '.')}</figcaption>\n</figure>"
    )


@render.register
def _caution(block: Caution) -> str:
    rows = "\n".join(f"<li>{_led(item.text, item.lead)}</li>" for item in block.items)
    title = escaped(block.title)
    head = f'<aside class="caution" aria-label="{title}">\n'
    return f"{head}<p><strong>{title}</strong></p>\n<ul>\n{rows}\n</ul>\n</aside>"


@render.register
def _tag(block: Tag) -> str:
    rows = "\n".join(f"<div><dt>{escaped(k)}</dt><dd>{escaped(v)}</dd></div>" for k, v in block.rows)
    title = escaped(block.title)
    head = f'<aside class="tag" aria-label="{title}">\n<p><strong>{title}</strong></p>\n'
    return f"{head}<dl>\n{rows}\n</dl>\n<p><strong>{escaped(block.last)}</strong></p>\n</aside>"
