"""Facts, amounts and names as people say them."""
