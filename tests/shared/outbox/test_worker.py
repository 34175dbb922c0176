import os
import random
import signal
import threading
import time
from datetime import timedelta
from typing import Any

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection
from django.utils import timezone

from shared.numbers.actions import take_count
from shared.numbers.models import Counter
from shared.outbox import actions, worker
from shared.outbox.actions import tell_fact
from shared.outbox.models import Job
from shared.outbox.worker import work_off, work_until

PLATES, KILLS = 80, 8


def start_worker() -> int:
    """A worker in a process of its own, which begins at once because everything is loaded already; its process id."""
    connection.close()  # a database line is never carried over into another process
    if child := os.fork():
        return child
    try:
        while Job.objects.filter(done_at=None).exists():
            if not actions.work_once(timezone.now()):
                time.sleep(0.02)
    finally:
        os._exit(0)


@pytest.mark.django_db(transaction=True)
@pytest.mark.both
def test_workers_killed_again_and_again_lose_nothing_and_do_nothing_twice(monkeypatch: Any) -> None:
    """Two workers on one database, one of them killed at a random moment, eight times."""

    def count_plate(*, at: Any, number: int) -> None:
        take_count("plates", year=2026)
        time.sleep(0.01)  # the moment in which a kill hurts most

    monkeypatch.setattr(actions, "LEASE", timedelta(seconds=1))  # a dead worker's job need not wait ten minutes
    monkeypatch.setattr(actions, "listeners_for", lambda kind: (count_plate,))
    for number in range(PLATES):
        tell_fact("plate_washed", at=timezone.now(), number=number)
    dice, workers, kills = random.Random(7), [start_worker(), start_worker()], 0
    end = time.monotonic() + 180
    while Job.objects.filter(done_at=None).exists() and time.monotonic() < end:
        time.sleep(dice.uniform(0.05, 0.2))
        if kills < KILLS and Job.objects.exclude(tries=0).count() > PLATES * kills // KILLS:
            victim = dice.randrange(2)
            os.kill(workers[victim], signal.SIGKILL)
            os.waitpid(workers[victim], 0)
            workers[victim] = start_worker()
            kills += 1
    for each in workers:
        os.kill(each, signal.SIGKILL)
        os.waitpid(each, 0)
    assert kills == KILLS
    assert Job.objects.filter(done_at=None).count() == Job.objects.exclude(parked_at=None).count() == 0
    assert Counter.objects.get(series="plates").last == PLATES


@pytest.mark.django_db(transaction=True)
@pytest.mark.both
def test_two_workers_never_hold_the_same_job() -> None:
    for number in range(20):
        tell_fact("nobody_listens", at=timezone.now(), number=number)
    at, taken = timezone.now(), []

    def hand() -> None:
        try:
            while job := actions._take_job(at):
                taken.append(job.pk)
        finally:
            connection.close()

    hands = [threading.Thread(target=hand) for _ in range(3)]
    [each.start() for each in hands]
    [each.join() for each in hands]
    while job := actions._take_job(at):
        taken.append(job.pk)
    assert len(taken) == len(set(taken)) == 20


@pytest.mark.django_db(transaction=True)
def test_a_worker_stops_when_told_and_outlives_a_database_that_does_not_answer(monkeypatch: Any) -> None:
    stop, said = threading.Event(), []

    def work(at: Any) -> bool:
        said.append("work")
        if len(said) < 4:
            raise DatabaseError("database is locked")
        stop.set()
        return False

    monkeypatch.setattr(worker, "work_once", work)
    monkeypatch.setattr(worker, "close_old_connections", lambda: None)
    work_until(stop, chores=[lambda at: said.append("chore")], pause=0.01)
    assert said == ["chore", "work", "work", "work"]


@pytest.mark.django_db
def test_the_work_command_does_what_is_due_and_ends(capsys: Any) -> None:
    tell_fact("nobody_listens", at=timezone.now())
    tell_fact("nobody_listens", at=timezone.now() + timedelta(hours=1))
    call_command("work", "--once")
    assert "1 jobs done." in capsys.readouterr().out
    assert work_off() == 0
