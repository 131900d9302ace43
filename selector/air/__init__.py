"""Air and heat: density, factors, delivered heat, the duct curve."""
