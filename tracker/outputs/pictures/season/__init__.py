"""What becomes ready and what expires, month by month."""
