"""What a memo is made of: the one block model that every renderer walks.

Blocks hold plain text; a renderer escapes it for its own form and decides how it looks. Nothing in
a block is markup, except the picture of a `Figure`, which is SVG drawn by this package.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 is the memo's title, 2 a section, 3 a part of a section."""

    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text, with words in front that stand out; `quoted` marks what somebody else said."""

    text: str
    lead: str = ""
    quoted: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of a list, with words in front that stand out."""

    text: str
    lead: str = ""


@dataclass(frozen=True, slots=True)
class Items:
    """A list; numbered where its order matters."""

    items: tuple[Item, ...]
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table.

    Attributes
    ----------
    header : tuple of str
        Repeated at the top of each page that the table runs over.
    rows : tuple of tuple of str
        Each as long as the header; the first cell heads its row.
    caption : str
    """

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str


@dataclass(frozen=True, slots=True)
class KeyValues:
    """Names with their values, such as the head of the memo."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Figure:
    """A picture, drawn when it is first looked at: most who ask a memo for its words never do.

    Attributes
    ----------
    draw : callable
        Gives the SVG; it holds `title` and `description` as its own text for those who cannot see it.
    title, description : str
        What it is, and what it shows, in words and numbers.
    caption : str
        Printed below.
    """

    draw: Callable[[], str] = field(repr=False)
    title: str
    description: str
    caption: str

    @cached_property
    def svg(self) -> str:
        """The picture."""
        return self.draw()


@dataclass(frozen=True, slots=True)
class Caution:
    """A box of warnings."""

    title: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Tag:
    """A tag to be cut out and hung up where the work is; an empty value leaves a line to write on.

    Attributes
    ----------
    title : str
    rows : tuple of (str, str)
    last : str
        Printed large at its foot.
    """

    title: str
    rows: tuple[tuple[str, str], ...]
    last: str


Block = Heading | Paragraph | Items | Table | KeyValues | Figure | Caution | Tag
