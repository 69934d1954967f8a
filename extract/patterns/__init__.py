"""Token patterns by family; each with a name, a reason, an example and a counter-example that the tests run."""
