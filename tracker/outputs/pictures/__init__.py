"""The shelf in pictures: what each shows as data, drawn for a terminal and as SVG."""
