"""E-mail: what stands in the outbox is written in plain words and sent, to customers and to the office."""
