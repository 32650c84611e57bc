"""Ruin and recreate, compiled: the search that makes good plans fast.

`given` turns a problem into arrays, `state` holds a packing and undoes a step, `money` prices it,
`places` asks the geometry and remembers, `moves` takes cases apart and packs anew, `walk` accepts
or takes back. `packer.decide.improve` is the front door.
"""
