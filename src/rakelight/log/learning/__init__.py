"""What this shop's log has taught: its own figures beside the book's, and how far they are trusted."""

from rakelight.log.learning.learned import Learned, Row, learn
from rakelight.log.learning.past import Past, taught_by
from rakelight.log.learning.seen import Seen, Taught

__all__ = ["Learned", "Past", "Row", "Seen", "Taught", "learn", "taught_by"]
