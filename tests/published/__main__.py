"""Prints the published cases and how many there are: ``python -m tests.published``."""

from tests.published.cases import STANDINGS, claimed, count, listed

if __name__ == "__main__":
    tested = claimed()
    for item in listed():
        print(f"{item.key:9} {item.standing:10} {item.subject} [{item.source}]")
        for test in tested.get(item.key, ["no test"]):
            print(f"{'':20} {test}")
    by_standing = count()
    print()
    for standing, meaning in STANDINGS.items():
        print(f"{by_standing[standing]:4} {standing}: {meaning}")
    print(f"{by_standing.total():4} distinct published cases")
