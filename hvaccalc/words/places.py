"""Conditions by name: the file goes by numbers of visits, the customer by days."""

from __future__ import annotations

from enum import StrEnum

from hvaccalc.rows import complete
from hvaccalc.service.visits import Place
from hvaccalc.words.said import Rows, Said, alike

PLACES = complete(
    Place,
    {
        Place.LABEL: alike("{label}"),
        Place.ANYWHERE: alike("any condition"),
        Place.MORE: alike("{count} more"),
        Place.LABEL_OF_VISIT: Said("{visit}, {label}", "{day}, {label}"),
    },
)

SAID: dict[type[StrEnum], Rows] = {Place: PLACES}
