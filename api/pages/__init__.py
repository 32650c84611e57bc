"""The pages: server-rendered, with little script, over the same functions as the API."""
