"""Worked examples of scheduling from print, typed in as text: see each for its source."""

SIX_JOBS_SIX_MACHINES = """
2 1 0 3 1 6 3 7 5 3 4 6
1 8 2 5 4 10 5 10 0 10 3 4
2 5 3 4 5 8 0 9 1 1 4 7
1 5 0 5 2 5 3 3 4 8 5 9
2 9 1 3 4 5 5 4 0 3 3 1
1 3 3 3 5 9 0 10 4 4 2 1
"""
"""Fisher and Thompson (1963), the 6 x 6 job shop: a line a job, machine and time by turns. Typed
from memory."""

TEN_JOBS_FIVE_MACHINES = """
1 21 0 53 4 95 3 55 2 34
0 21 3 52 4 16 2 26 1 71
3 39 4 98 1 42 2 31 0 12
1 77 0 55 4 79 2 66 3 77
0 83 3 34 2 64 1 19 4 37
1 54 2 43 4 79 0 92 3 62
3 69 4 77 1 87 2 87 0 93
2 38 0 60 1 41 3 24 4 83
3 17 1 49 4 25 0 44 2 98
4 77 3 79 2 43 1 75 0 96
"""
"""Lawrence (1984), the first 10 x 5 job shop (LA01), as above. Typed from memory."""

THIRTY_ACTIVITIES = """
1 0 0 0 0 0 : 2 3 4
2 8 4 0 0 0 : 6 11 15
3 4 10 0 0 0 : 7 8 13
4 6 0 0 0 3 : 5 9 10
5 3 3 0 0 0 : 20
6 8 0 0 0 8 : 30
7 5 4 0 0 0 : 27
8 9 0 1 0 0 : 12 19 27
9 2 6 0 0 0 : 14
10 7 0 0 0 1 : 16 25
11 9 0 5 0 0 : 20 26
12 2 0 7 0 0 : 14
13 6 4 0 0 0 : 17 18
14 3 0 8 0 0 : 17
15 9 3 0 0 0 : 25
16 10 0 0 0 5 : 21 22
17 6 0 0 0 8 : 22
18 5 0 0 0 7 : 20 22
19 3 0 1 0 0 : 24 29
20 7 0 10 0 0 : 23 25
21 2 0 0 0 6 : 28
22 7 2 0 0 0 : 23
23 2 3 0 0 0 : 24
24 3 0 9 0 0 : 30
25 3 4 0 0 0 : 30
26 7 0 0 4 0 : 31
27 8 0 0 0 7 : 28
28 3 0 8 0 0 : 31
29 7 0 7 0 0 : 32
30 2 0 7 0 0 : 32
31 2 0 0 2 0 : 32
32 0 0 0 0 0 :
"""
"""Kolisch and Sprecher (1997), PSPLIB, instance J301_1: a line an activity, its duration, its
demand on four resources of 12, 13, 4 and 12 units, and what follows it. Typed from memory."""
THIRTY_ACTIVITIES_ROOM = (12, 13, 4, 12)

HEADS_AND_TAILS = (
    (10, 5, 7),
    (13, 6, 26),
    (11, 7, 24),
    (20, 4, 21),
    (30, 3, 8),
    (0, 6, 17),
    (30, 2, 0),
)
"""Carlier (1982), The one-machine sequencing problem, the worked example: seven jobs, each not
before its head, its time on the machine, its tail afterwards. From memory."""

FIVE_JOBS_DUE = ((121, 260), (79, 266), (147, 266), (83, 336), (130, 337))
"""Pinedo, Scheduling: Theory, Algorithms, and Systems, example 3.4.5: five jobs, each its time on
the machine and when it is due. From memory."""
