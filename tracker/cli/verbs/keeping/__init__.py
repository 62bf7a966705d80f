"""The book itself and its reminders: mistakes, pauses, rules, copies."""
