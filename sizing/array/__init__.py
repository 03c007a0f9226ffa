"""From sunlight on the open roof plane to alternating current at the meter."""
