"""Work that needs the processor, done in other processes: the server itself only waits.

`desk` reads workbooks and writes papers within seconds; `queue` hands solves out, a bounded
number at once; `tasks` are the functions that the other processes run.
"""
