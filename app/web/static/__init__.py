"""Styles and scripts of the local application, served as they are."""
