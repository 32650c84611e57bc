"""Holdall over HTTP: a small versioned API, and pages that a tired person understands at once.

In come workbooks, wishes, ticks and weights; out go findings, plans, papers and pages. Everything
that decides, checks or draws is `packer`; this package stores (`api.store`), guards (`api.safety`),
works in other processes (`api.work`), answers (`api.routes`) and shows (`api.pages`).
"""
