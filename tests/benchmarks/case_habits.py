"""What twenty-four habits of working a board bring and earn, and how long judging takes. Run: python FILE [BOARDS]."""

import sys
import time
from statistics import mean, median

from graders import sheets
from graders.demo.case_habits import HABITS
from graders.judging.judge import Answers, judge_part
from workbook.case import search
from workbook.case.playing import play

BENCH = sheets.find("signoff", "board-on-the-bench")


def table(boards):
    """Yield for each habit its words, what it brings, its share stopped, its points, and seconds of each judging."""
    for words, acts_of in HABITS.values():
        brought, stopped, points, seconds = [], 0, [], []
        for seed in boards:
            acts = acts_of(seed)
            played = play(seed, acts)
            stopped += bool(played.done.stopped)
            brought.append(played.brings)
            began = time.process_time()
            verdict = judge_part(BENCH, "job", BENCH.worked() | {"seed": seed}, Answers({"job": acts}))
            seconds.append(time.process_time() - began)
            points.append(verdict.points)
        yield words, mean(brought), stopped / len(brought), mean(points), seconds


if __name__ == "__main__":
    boards = range(500, 500 + int(sys.argv[1] if len(sys.argv) > 1 else 50))
    search.told_for_nothing()
    every = []
    print(f"{'habit':32} {'brings':>8} {'stopped':>8} {'points of 12':>13}")
    for words, brought, stopped, points, seconds in table(boards):
        print(f"{words:32} {brought:8.1f} {stopped:8.0%} {points:13.1f}")
        every += seconds
    middle, longest = (1000 * seconds for seconds in (median(every), max(every)))
    print(f"judging one list, seconds of processor: median {middle:.0f} ms, longest {longest:.0f} ms of {len(every)}")
