"""One typed view of a thing, read by every output."""
