"""What the terms are worth: each module makes one report from the catalogue's views and the arithmetic of `worth`."""
