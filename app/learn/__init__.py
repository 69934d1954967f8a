"""What the decisions teach: the record of every pattern, and a confidence fitted to them."""
