"""The screens of the page, a module for each: its addresses, what it shows, and the verbs that it calls."""

from grouper.faces.page.screens.after import after
from grouper.faces.page.screens.by_hand import by_hand
from grouper.faces.page.screens.door import door
from grouper.faces.page.screens.evidence import evidence
from grouper.faces.page.screens.home import home
from grouper.faces.page.screens.keeping import keeping
from grouper.faces.page.screens.play import even_games, play, stations
from grouper.faces.page.screens.ratings import suggested, test_results
from grouper.faces.page.screens.roll import roll
from grouper.faces.page.screens.screen import screen
from grouper.faces.page.screens.setup import following, setup
from grouper.faces.page.screens.tasks import tasks
from grouper.faces.page.screens.unit import unit

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
