"""The call wiring as designed, as found and with a temporary measure."""
