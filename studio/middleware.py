"""Stands round every view: what the whole house reckons with while one page is answered."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase

from shoots.uses.queries import trees_of_the_books


class TreesOfTheBooks:
    """A page is answered with one version of the media and territories: the newest of the books when it first asks."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        with trees_of_the_books():
            return self.get_response(request)
