"""A second thread for a stage of many small steps."""

import threading

import cv2
import pytest

from catalog.system.second_thread import second_thread


@pytest.fixture(autouse=True)
def opencv_on_two_threads():
    before = cv2.getNumThreads()
    cv2.setNumThreads(2)
    yield
    cv2.setNumThreads(before)


def test_work_is_done_beside_one_piece_after_another_in_the_order_begun():
    with second_thread() as begin:
        waits = [begin(lambda n=n: (n, threading.get_ident())) for n in range(5)]
        numbers, threads = zip(*(wait() for wait in waits), strict=True)
    assert numbers == (0, 1, 2, 3, 4)
    assert len(set(threads)) == 1
    assert threading.get_ident() not in threads


def test_what_the_work_raises_is_raised_where_it_is_waited_for():
    with second_thread() as begin:
        wait = begin(lambda: 1 // 0)
        with pytest.raises(ZeroDivisionError):
            wait()


def test_opencv_shares_out_no_step_meanwhile_and_does_so_again_afterwards():
    with second_thread() as begin:
        assert begin(cv2.getNumThreads)() == 1
    assert cv2.getNumThreads() == 2


def test_where_opencv_is_held_to_one_thread_all_is_done_on_this_one():
    cv2.setNumThreads(1)
    with second_thread() as begin:
        assert begin(threading.get_ident)() == threading.get_ident()
    assert cv2.getNumThreads() == 1
