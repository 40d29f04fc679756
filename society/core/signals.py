"""The one way a room tells rooms to its right that something happened, inside its transaction."""

from django.dispatch import Signal

# Sent by the finds room with ``find_id: int`` and ``acted_by: int | None`` (a person's id) when
# slips or evidence of a find have changed; the review room then works out anew what stands.
find_changed = Signal()

# Sent by the names room with ``taxon_ids: list[int]`` when names were edited or merged.
names_changed = Signal()

# Sent by the members room with ``person_id: int`` when a member has left; the review room then ends
# what they refereed.
person_left = Signal()

# Asked by the names room with ``taxon_ids: list[int]``; the finds room answers how many finds bear
# one of these names or a synonym of one, so that a keeper sees what a change of names will touch.
finds_counted = Signal()

# Asked by the names room; the review room answers the orders and families that referees hold as
# scopes, as a set of (rank, name in small letters), so that a keeper sees what would leave one.
scopes_asked = Signal()
