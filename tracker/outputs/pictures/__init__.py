"""The shelf in pictures: what all of them share, the pen for SVG first of all."""
