"""The facade: all that the command line and the pages may call."""

from rakelight.desk.all_pieces import ShopPlan, plan_desks
from rakelight.desk.one_piece import Answer, Desk, NotFound, Refused, open_desk
from rakelight.desk.shop_file import PieceRow, ShopDesk, open_shop

__all__ = [
    "Answer", "Desk", "NotFound", "PieceRow", "Refused", "ShopDesk", "ShopPlan", "open_desk", "open_shop", "plan_desks",
]  # fmt: skip
