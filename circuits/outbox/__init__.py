"""Django app: work queued in the same transaction as the data it is about.

``enqueue`` writes a row beside the data; on commit the row's id goes to the broker, or the work runs right there where
no broker is configured. A sweep sends again what got lost, so that a row once committed is always worked off: with the
broker away, with a worker killed in mid-task, after a restart. Work may therefore run twice; every registered function
must bear that.
"""
