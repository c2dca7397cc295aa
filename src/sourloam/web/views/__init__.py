"""One module a page: a view asks the store, lets a page module make the context, renders."""
