"""The form of one practical task, filled in as a trainer would who saw it done well."""

FORM = "/sign-offs/3/build-form"
SEEN = {f"criterion-{number}": "y" for number in range(6)}
GOOD = {
    "measure-overhang": "2 1/4 in",
    "measure-edge_thickness": "4",
    "measure-diagonal_difference": "1/16 in",
}
PASSED = {**SEEN, **GOOD, "outcome": "passed", "notes": "Square at once."}
