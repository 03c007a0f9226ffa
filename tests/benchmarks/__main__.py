"""Prints the table."""

from tests.benchmarks.table import rows

if __name__ == "__main__":
    print(f"{'work':58} {'ours ms':>9} {'plain ms':>9} {'ratio':>7}  agreement")
    for row in rows():
        plain = f"{row.plain_ms:9.0f} {row.plain_ms / row.ours_ms:6.0f}x" if row.plain_ms else f"{'':9} {'':7}"
        print(f"{row.work:58} {row.ours_ms:9.1f} {plain}  {row.agreement}")
