"""Addresses of the page, a module for each moment of a lesson; they call verbs, show views, and decide nothing."""

from grouper.faces.page.routes.after import after
from grouper.faces.page.routes.by_hand import by_hand
from grouper.faces.page.routes.door import door
from grouper.faces.page.routes.evidence import evidence
from grouper.faces.page.routes.home import home
from grouper.faces.page.routes.keeping import keeping
from grouper.faces.page.routes.next_unit import following
from grouper.faces.page.routes.play import even_games, play, stations
from grouper.faces.page.routes.roll import roll
from grouper.faces.page.routes.screen import screen
from grouper.faces.page.routes.setup import setup
from grouper.faces.page.routes.suggested import suggested
from grouper.faces.page.routes.tasks import tasks
from grouper.faces.page.routes.test_results import test_results
from grouper.faces.page.routes.unit import unit

ADDRESSES = (
    home,
    setup,
    door,
    by_hand,
    screen,
    after,
    play,
    stations,
    even_games,
    evidence,
    unit,
    following,
    roll,
    suggested,
    tasks,
    keeping,
    test_results,
)

__all__ = ["ADDRESSES"]
