"""How panels look: the colours of the pictures, and a few shapes that carry what the colours carry."""

import base64
import re

from hvaccalc.pictures.canvas import INK, QUIET
from hvaccalc.report.blocks import Caution
from hvaccalc.words.said import escaped

STYLE = f"""<style>
.hvac-title {{ font: 600 16px/1.3 Arial, sans-serif; color: #24495c; background: #fff;
  margin: 4px 0 6px; padding-top: 6px; border-top: 2px solid #24495c; }}
.hvac-part {{ font: 600 13px/1.3 Arial, sans-serif; margin: 6px 2px 0; }}
.hvac-note {{ font: 13px/1.35 Arial, sans-serif; margin: 0 2px; }}
table.hvac-note th, table.hvac-note td {{ padding: 2px 16px 2px 0; text-align: left;
  vertical-align: top; }}
.hvac-beside {{ padding-left: 10.2em; }}
.hvac-say {{ font: 15px/1.45 Georgia, serif; color: {INK}; background: #f3f4f1;
  padding: 8px 12px; margin: 4px 0; }}
.hvac-say p {{ margin: 0 0 4px; max-width: 62em; }}
.hvac-cards {{ display: flex; flex-wrap: wrap; gap: 6px; margin: 4px 0; }}
.hvac-cards div {{ flex: 1 1 11em; font: 13px/1.35 Arial, sans-serif; color: {INK}; background: #fff;
  border: 1px solid #b9c0c6; padding: 6px 10px; }}
.hvac-cards b {{ display: block; font-size: 18px; }}
.hvac-cards i {{ font-style: normal; color: {QUIET}; }}
.hvac-caution {{ font: 13px/1.4 Arial, sans-serif; color: {INK}; background: #fff;
  border: 2px solid {INK}; padding: 6px 12px; margin: 6px 0 0; }}
.hvac-caution ul {{ margin: 2px 0; padding-left: 1.3em; }}
.hvac-refused {{ font: 13px/1.35 Arial, sans-serif; color: {INK}; background: #fff;
  border-left: 4px solid #8c1d18; padding: 3px 8px; margin: 2px 0 4px; }}
.hvac-stale {{ opacity: .4; filter: grayscale(1); }}
</style>"""


def refused(words: str) -> str:
    """What cannot be read, said to a screen reader at once."""
    return f'<div class="hvac-refused" role="alert"><b>Check:</b> {escaped(words)}</div>'


def cautioned(caution: Caution) -> str:
    """A box of warnings."""
    rows = "".join(f"<li><b>{escaped(item.lead)}</b> {escaped(item.text)}</li>" for item in caution.items)
    title = escaped(caution.title)
    return f'<div class="hvac-caution" role="note" aria-label="{title}"><b>{title}</b><ul>{rows}</ul></div>'


def image(svg: str) -> str:
    """A picture of ours as an image of its own, its title and description as the text that stands for it."""
    if not svg:
        return ""
    words = re.findall("<(?:title|desc)[^>]*>(.*?)</", svg)
    data = base64.b64encode(svg.encode()).decode()
    source = f"data:image/svg+xml;base64,{data}"
    return f'<img alt="{". ".join(words)}" src="{source}" style="background:#fff;width:100%;max-width:740px">'


def card(name: str, value: str, band: str) -> str:
    """One number with its name and its band."""
    return f"<div>{escaped(name)} <b>{escaped(value)}</b> <i>{escaped(band)}</i></div>"


def cards(shown: list[str]) -> str:
    """Numbers side by side."""
    return f'<div class="hvac-cards">{"".join(shown)}</div>'
