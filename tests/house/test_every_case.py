"""Cases that stand in one test are all run, and each that fails is named."""

import pytest

from tests.every_case import every_case


def test_each_case_that_fails_is_named_and_hides_no_other():
    ran = []

    @every_case("number", [1, 2, 3, 4])
    def check(number):
        ran.append(number)
        assert number % 2, f"{number} is even"

    with pytest.raises(pytest.fail.Exception) as told:
        check()
    assert ran == [1, 2, 3, 4]
    assert "2 of 4 cases fail" in str(told.value)
    assert "2 is even" in str(told.value)
    assert "4 is even" in str(told.value)


def test_a_check_within_a_case_that_expects_an_error_fails_the_case():
    @every_case("text", ["1", "none"])
    def check(text):
        with pytest.raises(ValueError, match="invalid"):
            int(text)

    with pytest.raises(pytest.fail.Exception, match="1 of 2 cases fail"):
        check()


def test_no_case_at_all_fails():
    @every_case("number", [])
    def check(number):
        pass

    with pytest.raises(AssertionError, match="no case"):
        check()


@every_case(("one", "other"), [(1, 2), (3, 4)])
def test_what_is_no_case_is_a_fixture(one, other, tmp_path):
    assert one < other
    assert tmp_path.is_dir()


@every_case("one", [1, 2])
@every_case("other", [10, 20])
def test_cases_upon_cases(one, other):
    assert one < other
