"""A static-site generator for comparison guides of electric bicycles."""
