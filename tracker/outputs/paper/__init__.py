"""What goes on paper: first its contents as data, then the page."""
