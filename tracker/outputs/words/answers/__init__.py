"""The answer to what was recorded, in words and as fields: one function for each kind of fact."""
