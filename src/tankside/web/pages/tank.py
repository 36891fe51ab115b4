"""Tank and water: volumes and who lives in them; readings with their age and what they mean."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from tankside.report.page import open_case, strip
from tankside.report.page_tank import tank_page
from tankside.report.page_water import water_page
from tankside.web.contexts import TankContext, WaterContext
from tankside.web.pages.find import find_case
from tankside.web.render import case_base, html

router = APIRouter(prefix="/case/{file}")


@router.get("/tank", response_class=HTMLResponse)
def show_tank(request: Request, file: str) -> HTMLResponse:
    """Show the waters and what lives in them."""
    case = open_case(find_case(request, file))
    return html(request, TankContext("tank", case_base(file), strip(case), tank_page(case)))


@router.get("/water", response_class=HTMLResponse)
def show_water(request: Request, file: str) -> HTMLResponse:
    """Show the readings."""
    case = open_case(find_case(request, file))
    return html(request, WaterContext("water", case_base(file), strip(case), water_page(case)))
