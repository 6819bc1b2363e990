from inventory.models.accounts import Account
from inventory.models.needs import Choice, Must, RoomNeed, TvChannel
from inventory.models.pieces import Check, Move, NeedsLink, Photo, Piece, PieceFact
from inventory.models.places import Place, Site
from inventory.models.sources import AskedQuestion, ColumnMemory, Source, SourceRow, Twin

__all__ = [
    "Account",
    "AskedQuestion",
    "Check",
    "Choice",
    "ColumnMemory",
    "Move",
    "Must",
    "NeedsLink",
    "Photo",
    "Piece",
    "PieceFact",
    "Place",
    "RoomNeed",
    "Site",
    "Source",
    "SourceRow",
    "TvChannel",
    "Twin",
]
