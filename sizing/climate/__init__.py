"""The weather over a site: typical years, years made from monthly means, and design temperatures."""
