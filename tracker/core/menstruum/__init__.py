"""What is really in the jar: strength, volume and mass of a menstruum. Pure, no rounding."""
