"""Small values everything is made of: text, times, money, errors."""
