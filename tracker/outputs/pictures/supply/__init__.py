"""The stock of each herb through time, and when it runs out."""
