"""One refrigerant circuit: compressor, condenser, metering, lines and the charge in them."""
