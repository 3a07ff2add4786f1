"""Panels of the notebooks: typed readings and sliders in, one result, one picture and a sentence out.

A panel computes nothing itself: it reads text, calls one function of a lower layer and draws.
"""

from hvaccalc.panels.air import AirPanel
from hvaccalc.panels.base import Panel
from hvaccalc.panels.charge import ChargePanel
from hvaccalc.panels.fan import FanPanel
from hvaccalc.panels.freeze import FreezePanel
from hvaccalc.panels.inventory import InventoryPanel
from hvaccalc.panels.unit_field import UnitField
from hvaccalc.panels.water import WaterPanel
from hvaccalc.panels.wiring import WiringPanel

__all__ = [
    "AirPanel",
    "ChargePanel",
    "FanPanel",
    "FreezePanel",
    "InventoryPanel",
    "Panel",
    "UnitField",
    "WaterPanel",
    "WiringPanel",
]
