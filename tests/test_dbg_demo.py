import pytest, sys, time, cProfile, pstats
from datetime import date
pytestmark = pytest.mark.django_db
def test_it(monkeypatch, settings):
    import studio.demo.actions as a
    p=cProfile.Profile(); t=time.time(); p.enable()
    try:
        a.load_demo(on=date(2026,11,25),log_ins=[a.LogIn(n,r,"qwertzuiop1234") for n,_,r in a.LOG_INS],pictures=12)
    finally:
        p.disable()
        print("took",time.time()-t)
        p.dump_stats("/tmp/d/demo.prof")
