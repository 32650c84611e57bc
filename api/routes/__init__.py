"""The versioned API, one module for each noun of the trade; every answer is a shape."""

API = "/api/v1"
