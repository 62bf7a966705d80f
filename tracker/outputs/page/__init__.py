"""The whole shelf as one page: its contents as data, and the templates that set them."""
