"""What each paper says: plain functions from frozen facts to what the template prints."""
