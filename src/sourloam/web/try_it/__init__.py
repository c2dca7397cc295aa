"""The page to play with: two vessels, one thing changed."""
