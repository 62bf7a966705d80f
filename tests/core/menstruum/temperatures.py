"""Temperatures that tables of the trade are printed for."""

SIXTY_FAHRENHEIT_C = (60.0 - 32.0) / 1.8  # 15.56 °C: American and older European tables
