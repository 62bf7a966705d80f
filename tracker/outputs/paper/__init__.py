"""What goes on paper: first what is said, as data; then the page that says it."""
