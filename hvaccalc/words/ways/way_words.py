"""What every way of the water needs in words."""

from dataclasses import dataclass

from hvaccalc.words.said import Said

CATCH = Said(
    "Until it has stopped: catch the water, move what stands below, and switch the unit off where water "
    "comes near live parts.",
    "catch the water and move what stands below; have the unit switched off where water comes near its "
    "wiring.",
)
"""Today, where the way is not shown or not mended; common practice, no source."""

PAN_FULL = Said(
    "Keep the cooling off while the pan stands full: lock out and prove dead before it is emptied. Catch "
    "what runs over and move what stands below.",
    "keep the cooling off while the drain pan is full. Catch what runs over and move what stands below.",
)
"""Today, where the pan was seen full, whatever the way."""


@dataclass(frozen=True, slots=True)
class Case:
    """Words that differ where the fan blows through the coil.

    Attributes
    ----------
    weather : Said
        In which it comes.
    cannot : Said
        What it cannot do.
    look : Said
        What to read or look at to decide.
    repair : Said
        What mends it; ``{no_drain_work}`` is left empty where the drain needs work as well.
    """

    weather: Said
    cannot: Said
    look: Said
    repair: Said


@dataclass(frozen=True, slots=True)
class WayWords:
    """Words of one way; a text that is not told is a written choice.

    Attributes
    ----------
    title : Said
        Its name in a sentence; for the customer short, in a list.
    label : str
        Beside its bar in the picture.
    plain : str
        What it is, for the customer.
    usual : Case
    under_pressure : Case or None
        Of a coil that the fan blows through; None where that is no case of its own.
    proof : tuple of Said
        Steps of the return visit; none where the usual steps prove it.
    today : Said
        What to do at once, where it is the way at work.
    """

    title: Said
    label: str
    plain: str
    usual: Case
    under_pressure: Case | None
    proof: tuple[Said, ...]
    today: Said

    def case(self, under_pressure: bool) -> Case:
        """The words of one case."""
        return self.under_pressure if under_pressure and self.under_pressure is not None else self.usual
