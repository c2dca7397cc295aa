"""Write the tables of docs/site-file.md anew from the model of the site file."""

from pathlib import Path

from sourloam.site.schema import describe

PAGE = Path(__file__).parents[1] / "docs" / "site-file.md"
BEGIN, END = "<!-- keys: made by tools/describe_site_file.py -->", "<!-- end of keys -->"


def rewritten(page: str) -> str:
    """The page with its tables replaced; ValueError if its marks are missing."""
    before, begin, rest = page.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"{PAGE.name}: needs the marks {BEGIN} and {END}")
    return f"{before}{BEGIN}\n\n{describe()}\n{END}{after}"


if __name__ == "__main__":
    PAGE.write_text(rewritten(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
