"""A jar's life through time: its moments and spans, for a terminal, the page and as SVG."""
