"""From a question or a name to the page that answers."""
