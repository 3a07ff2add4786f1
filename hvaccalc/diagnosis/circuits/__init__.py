"""Each refrigerant circuit as read: saturations, superheat, subcooling, line set, standing pressure."""
