"""The documents as a small site of pages that ask nothing from outside."""
