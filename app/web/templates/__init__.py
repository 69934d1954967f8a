"""Pages and parts of pages of the local application."""
