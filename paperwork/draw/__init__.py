"""Drawings as SVG: plain functions from numbers to text. Points are the unit; presentation attributes only."""
