"""Paints pictures of crocheted hats: a height map of yarn strands, then light on it."""
