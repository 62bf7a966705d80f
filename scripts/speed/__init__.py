"""What `scripts/bench.py` is made of: books, processes timed in pairs, rows and their limits."""
