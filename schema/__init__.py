"""The trade's words, typed: what every other room of firstcap speaks. Imports nothing of ours."""
