"""Attachments to the roof and room for the fire service: arithmetic for the packet, not an engineer's seal."""
