"""The local application: pages served on this machine. Confirming is the first of them."""
