from people.models.acts import Act
from people.models.base import Tracked
from people.models.letters import LetterCount
from people.models.ministries import Invitation, Member, Ministry, Person
from people.models.users import User

__all__ = ["Act", "Invitation", "LetterCount", "Member", "Ministry", "Person", "Tracked", "User"]
